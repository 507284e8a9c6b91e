"""How sure, how well colours read, which repairs to keep for: what several actions let her ask, checked only here."""

from __future__ import annotations

from collections.abc import Iterable

from matcher.errors import BadInput
from matcher.materials.colours.vision import DEFICIENCIES, WHOSE
from matcher.materials.lots import MENDING
from matcher.materials.people import parse_eyes
from matcher.materials.reading.numerals import Unreadable
from matcher.materials.rules import CONTRASTS
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Field, Term, listed, reason

LEAST_SURE, MOST_SURE = 0.5, 0.999
LONGEST_S = 24 * 3600.0  # a choice


def several(asked: str | Iterable[str]) -> tuple[str, ...]:
    """What may be asked for once or more often."""
    return (asked,) if isinstance(asked, str) else tuple(asked)


def check_sure(sure: float | None) -> None:
    """The least chance that yarn suffices; None leaves it to the catalogue. Raises BadInput."""
    if sure is not None and not LEAST_SURE <= sure <= MOST_SURE:
        raise BadInput(
            reason("{sure} isn't a chance that can be asked for", sure=Number(float(sure), 6)),
            Field("sure"),
            reason(
                "give a number from {least} to {most}, such as {such}",
                least=Number(LEAST_SURE, 3),
                most=Number(MOST_SURE, 3),
                such=Number(0.95, 3),
            ),
        )


def check_time(seconds: float) -> None:
    """How long to look for something better. Raises BadInput."""
    if not 0 <= seconds <= LONGEST_S:  # nor for what is no number
        what = reason("this isn't a time that can be waited for")
        todo = reason("give seconds, such as 20; 0 takes the first set that is found")
        raise BadInput(what, Field("time limit"), todo)


def check_contrast(level: str | None) -> None:
    """The least contrast that colours must have; None leaves it to each accessory. Raises BadInput."""
    if level is not None and level not in CONTRASTS:
        raise BadInput(
            reason('"{level}" isn\'t a level of contrast', level=level),
            Field("least contrast"),
            reason("give {levels}", levels=listed(map(Term, CONTRASTS), "or")),
        )


def mending_asked(choice: str | None) -> str | None:
    """Which repairs to keep yarn for, None where nothing is asked. Raises BadInput for what is none of `MENDING`."""
    if choice is not None and choice not in MENDING:
        todo = reason("give {choices}", choices=listed(map(Term, MENDING), "or"))
        raise BadInput(reason('"{choice}" isn\'t a choice of repairs', choice=choice), Field("mending"), todo)
    return None if choice is None else str(choice)


def either_eyes(*eyes: tuple[str, ...]) -> tuple[str, ...]:
    """The deficiencies of all of them, each once."""
    return tuple(kind for kind in DEFICIENCIES if any(kind in one for one in eyes))


def eyes_asked(eyes: str | None) -> tuple[str, ...]:
    """The deficiencies that decide besides ordinary eyes, for one of `WHOSE` as people call it; None is nobody's.

    Raises BadInput.
    """
    if eyes is None:
        return ()
    try:
        return WHOSE[parse_eyes(eyes).value]
    except Unreadable as fault:
        raise BadInput(
            fault.said, Field("eyes"), reason("give {whose}", whose=listed(map(Term, WHOSE), "or"))
        ) from None
