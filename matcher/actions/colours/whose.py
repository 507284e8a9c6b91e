"""Whose scrap is this? Likely yarns of the bin for an untagged scrap, and what to measure next."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from matcher.actions.colours.scrap import clues_given
from matcher.actions.desk import DeskLike, desk_of
from matcher.errors import BadInput
from matcher.matching.pools import Pool
from matcher.matching.scraps.identify import Clues, Suspects, left_g, posterior, suspects, thickness_told
from matcher.matching.scraps.measure_next import doubt, gains
from matcher.materials.clues import IdentifyRules
from matcher.materials.colours.apart import seen_apart
from matcher.reasons.quantities import Mass, Number, Tex
from matcher.reasons.reason import Action, Field, Term, Words, listed, reason

if TYPE_CHECKING:
    import pandas as pd

NONE = Term("none of these")
# A chance below this is not worth a line.
_LEAST_SHOWN = 0.0005
_HOW = {
    "weighed": reason("weigh a measured length of it, as long as you can, on the finest scale you have"),
    "wraps": reason("wind it round a ruler without stretching and count the wraps in an inch"),
    "plies": reason("untwist an end and count its plies"),
    "felts": reason("wet two ends, rub them hard between your palms, and see whether they felt together"),
    "colour": reason("find its colour: in daylight beside white paper, by eye or by {photo}", photo=Action("photo")),
}


# How a thickness was found: by weighing, by winding.
_MEASURED = ("{tex} weighed", "{tex} by its wraps")


@dataclass(frozen=True)
class Candidate:
    """A yarn of the bin (lots that count as one) and the chance that the scrap is of it."""

    pool: Pool
    probability: float
    because: Words

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "lot": self.pool.name,
            "lots": [lot.name for lot in self.pool.lots],
            "yarn": self.pool.yarn.name,
            "probability": round(self.probability, 4),
            "because": self.because,
        }


@dataclass(frozen=True)
class Whose:
    """The likeliest yarns first; `none` is the chance that it is of none in the bin, `others` of all not listed.

    measure_next: in words, "" where nothing more would tell the first two apart; `gains`: bits that each clue not
    given is expected to tell between the `first_two`, whose doubt is `doubt_bits` now.
    """

    candidates: tuple[Candidate, ...]
    none: float
    others: float
    measure_next: Words
    first_two: tuple[Words, Words]
    doubt_bits: float
    gains: Mapping[str, float]
    notes: tuple[Words, ...]

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "candidates": [one.as_dict() for one in self.candidates],
            "none": round(self.none, 4),
            "others": round(self.others, 4),
            "measure_next": self.measure_next,
            "first_two": list(self.first_two),
            "doubt_bits": round(self.doubt_bits, 3),
            "gains": [{"clue": clue, "bits": round(bits, 3)} for clue, bits in self.gains.items()],
            "notes": list(self.notes),
        }

    def frame(self) -> pd.DataFrame:
        """One row a candidate and one for none, as a pandas frame."""
        import pandas as pd

        rows = [{key: value for key, value in one.as_dict().items() if key != "lots"} for one in self.candidates]
        rows.append({"lot": NONE, "yarn": "", "probability": round(self.none, 4), "because": ""})
        return pd.DataFrame(rows)


def whose(
    bin: DeskLike = None,
    *,
    colour: str | None = None,
    weighed: str | None = None,
    wraps: float | None = None,
    plies: int | None = None,
    felts: str | None = None,
    photo: Path | str | None = None,
    box: str | None = None,
    white: str | None = None,
    top: int = 5,
    catalog: Path | str | None = None,
) -> Whose:
    """The chance of each yarn in the bin that an untagged scrap is of it; only what is given counts.

    Parameters
    ----------
    colour : as in a sheet; a plain word is taken as less exact than a code.
    weighed : a measured length and its weight, "12 m = 5.1 g".
    wraps : wraps in an inch. plies : as counted. felts : "yes", "no" or "?".
    photo : a photograph that shows the scrap, in place of `colour`; box and white as for `matcher photo`.

    Raises
    ------
    BadInput, NotFound, BadSheets
    """
    desk = desk_of(bin, catalog)
    catalogue = desk.catalogue
    rules = catalogue.identify
    if top < 1:
        raise BadInput(reason("found {top}", top=top), Field("top"), reason("give 1 or more"))
    clues, notes = clues_given(
        catalogue,
        colour=colour,
        weighed=weighed,
        wraps=wraps,
        plies=plies,
        felts=felts,
        photo=photo,
        box=box,
        white=white,
    )
    pools = desk.undecided.pools
    if not pools:
        where = desk.bin.source or "bin"
        raise BadInput(reason("there are no lots to compare the scrap with"), where, reason("put lots into it first"))
    of = suspects(pools, clues, rules, catalogue.together)
    chance = posterior(of, clues, rules)
    order = np.argsort(-chance, kind="stable").tolist()
    two = (order[0], order[1])
    bits = gains(of, two, chance, clues, rules)
    odds = chance[list(two)] / chance[list(two)].sum()
    if clues.plies is not None and all(known is None for known in of.plies):
        notes.append(reason("plies were not used: no lot tells its own (write it in the note, such as 2 plies)"))
    likely = [place for place in order if place < len(of.pools) and chance[place] >= _LEAST_SHOWN][:top]
    candidates = tuple(
        Candidate(of.pools[place], float(chance[place]), _because(of, place, clues, rules)) for place in likely
    )
    none = float(chance[-1])
    names = (_name(of, two[0]), _name(of, two[1]))
    return Whose(
        candidates,
        none,
        max(0.0, 1.0 - none - sum(one.probability for one in candidates)),
        _next(bits, names, rules),
        names,
        doubt(odds),
        bits,
        tuple(notes),
    )


def _name(of: Suspects, place: int) -> Words:
    return of.pools[place].name if place < len(of.pools) else NONE


def _because(of: Suspects, place: int, clues: Clues, rules: IdentifyRules) -> Words:
    """Each clue beside what the lot's own row says, and what could be left of it."""
    pool = of.pools[place]
    words: list[Words] = []
    if clues.colour is not None:
        apart = float(seen_apart(clues.colour, [pool.colour], whole=False)[0])
        away = reason("colour {apart} visible steps away", apart=Number(apart, 1, exact=True))
        words.append(reason("{away}, as far as its word tells", away=away) if pool.colour.guessed else away)
    told = thickness_told(clues, rules)
    if told:
        ways = [way for way, clue in zip(_MEASURED, (clues.weighed, clues.wraps), strict=True) if clue is not None]
        measured = [reason(way, tex=Tex(math.exp(one.mean))) for way, one in zip(ways, told, strict=True)]
        words.append(
            reason(
                "{measured}, {tex} (give or take {error}) known",
                measured=listed(measured, "and"),
                tex=Tex(pool.yarn.tex.mean),
                error=Number(pool.yarn.tex.sd),
            )
        )
    if clues.plies is not None and (known := of.plies[place]) is not None:
        words.append(reason("{plies} plies counted, {known} known", plies=clues.plies, known=known))
    if clues.felts is not None:
        chance = of.felts[place]
        likely = "should felt" if chance > 0.5 else "shouldn't felt" if chance < 0.5 else "may felt"
        felts = Term("felts" if clues.felts else "doesn't felt")
        words.append(
            reason("{felts}, and {fibre} {likely}", felts=felts, fibre=pool.yarn.blend.words(), likely=Term(likely))
        )
    left = Mass(round(sum(left_g(lot, rules) for lot in pool.lots)))
    words.append(reason("up to {left} of it is unaccounted for", left=left))
    return listed(words, between="; ")


def _next(bits: Mapping[str, float], two: tuple[Words, Words], rules: IdentifyRules) -> Words:
    clue = next(iter(bits), None)
    if clue is None or bits[clue] < rules.helpful_bits:
        return ""
    return reason("{how}: the best next test to tell {a} from {b}", how=_HOW[clue], a=two[0], b=two[1])
