"""Readers of single cells that need nothing of the catalogue but limits: what lies outside is a slip and refused."""

from __future__ import annotations

import re
from collections.abc import Callable

from matcher.knitting.fit.measured import LIMITS_CM
from matcher.materials.lots import ALL, LITTLE, MENDING, USUAL
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.names import did_you_mean, fold
from matcher.materials.reading.numerals import NUMBER, Unreadable
from matcher.materials.reading.units import parse_cm, parse_count, parse_length_m
from matcher.reasons.quantities import Measure, Number
from matcher.reasons.reason import Term, Words, counted, reason
from matcher.store.sheets.columns import Kind

SHORTEN = reason("shorten it")
_HELD = reason("how many metres to hold back, such as 40 or 44 yd")
_NOT_MENDING = reason("write a length, or leave the cell empty: what mending takes is kept without it")
_ABOUT = re.compile(r"^(?:about|approx(?:imately|\.)?|roughly|around|ca?\.|ca|~)\s*", re.IGNORECASE)
_FROM_TO = re.compile(rf"({NUMBER})\s*(?:-|–|to)\s*({NUMBER})\s*(cm|mm|ins?\.?|inch(?:es)?|\"|″|'')?", re.IGNORECASE)
_BARE = re.compile(rf"{NUMBER}|\d*[½¼¾⅓⅔]")
_INCH_CM = 2.54
_EITHER_BELOW = 12.0
"""A choice: a hand or a foot may measure fewer inches round, and a baby's so few centimetres."""
_MENDS = {
    LITTLE: reason("little, for darned holes: for none at all write 0 as the reserve of its lots"),
    USUAL: reason("usual, for darned holes and any one larger repair"),
    ALL: reason("all repairs at once"),
}
_MENDING = {
    **dict.fromkeys(("none", "no", "n", "nothing", "never", "a bit", "a little", "bit", "some", "darning"), LITTLE),
    **dict.fromkeys(("yes", "y", "normal", "as usual", "enough"), USUAL),
    **dict.fromkeys(("everything", "lots", "plenty", "a lot", "all of it", "as much as possible"), ALL),
}
_MENDED = re.compile(r"\b(?:elbow|cuff|hem|neck|sleeve|collar|rib)")
_NO_REPAIR = re.compile(r"\d|\b(?:no|not|never|except|but|without)\b")
_ROLE = re.compile(
    r"(main|mc|main (?:colou?r|col|yarn)|(?:back)?ground(?: colou?r)?)"
    r"|(?:cc|contrast|contrast(?:ing)? (?:colou?r|col))[ -]?([1-9])?"
)
_LABELS = {
    **dict.fromkeys(("yes", "y", "true", "whole", "have", "have it", "kept", "band"), "yes"),
    **dict.fromkeys(("partly", "part", "torn", "half", "some", "partial"), "partly"),
    **dict.fromkeys(("no", "n", "false", "none", "lost", "gone", "missing", "-", "?", "unknown"), "no"),
}


def between(
    parse: Callable[[str], float | Heard[float]] | Callable[[str], int | Heard[int]],
    low: float,
    high: float,
    expected: Words,
    mend: Words,
    at_zero: Words = "",
) -> Callable[[str], Heard[float]]:
    """A reader that refuses what lies outside; and nothing at all, where `at_zero` says how to mend that."""

    def read(text: str) -> Heard[float]:
        found = parse(text)
        heard: Heard[float] = Heard(found.value, found.taken, found.sure) if isinstance(found, Heard) else Heard(found)
        if at_zero and heard.value == 0:
            raise Unreadable(text, expected, at_zero)
        if not low <= heard.value <= high:
            raise Unreadable(text, expected, mend)
        return heard

    return read


def within(text: str, longest: float, mend: Words = SHORTEN) -> str:
    """The text itself. Raises Unreadable where it has more letters than `longest`."""
    if len(text) > longest:
        raise Unreadable(text, reason("at most {n} characters", n=Number(longest)), mend)
    return text


def knittable(low: float, high: float) -> Words:
    said = "{least} to {most} is what knitting has; is it counted over 10 cm?"
    return reason(said, least=Number(low), most=Number(high))


def body(part: Kind) -> Callable[[str], Heard[float]]:
    """A reader of what was measured round a part of a body: "56", "22 in", "about 56", "56-57 cm". A bare number too
    small for centimetres is inches, as a guess; one that may be either stays centimetres, and is told."""
    low, high = LIMITS_CM[part]
    expected = reason(
        "what the {body} measures, from {least} to {most}", body=Term(part), least=Measure(low), most=Measure(high)
    )

    def parse(text: str) -> float | Heard[float]:
        plain = _ABOUT.sub("", text.strip())
        span = _FROM_TO.fullmatch(plain)
        ends = [f"{one} {span[3] or ''}" for one in span.group(1, 2)] if span else [plain]
        cm = sum(map(parse_cm, ends)) / len(ends)
        bare = _BARE.fullmatch(ends[-1].strip()) is not None
        if bare and cm < low <= cm * _INCH_CM <= high:
            return Heard(cm * _INCH_CM, reason("inches, {measure}", measure=Measure(cm * _INCH_CM)), sure=False)
        if bare and low <= cm < _EITHER_BELOW:
            return Heard(cm, reason("{measure}: write the unit if it is inches", measure=Measure(cm)), sure=False)
        return cm if plain == text.strip() and not span else Heard(cm, reason("{measure}", measure=Measure(cm)))

    return between(parse, low, high, expected, reason("measure round it; write inches as 22 in"))


def label(text: str) -> str | Heard[str]:
    """Whether there is a ball band: yes, partly or no; words behind it do no harm. Raises Unreadable."""
    folded = " ".join(text.casefold().split())
    if folded in _LABELS:
        return _LABELS[folded]
    first = re.match(r"[a-z]+", folded)
    if first and first[0] in _LABELS and not folded[first.end() :].strip().startswith("?"):
        return Heard(_LABELS[first[0]], Term(_LABELS[first[0]]))
    raise Unreadable(text, reason("yes, partly or no"), lambda: did_you_mean(text, ("yes", "partly", "no")))


def role(text: str) -> str | Heard[str]:
    """A lot's part in its garment; "MC", "CC" and "contrast colour 2" are main and contrasts by what patterns call
    them. Any other word stays as it is."""
    folded = fold(text)
    found = _ROLE.fullmatch(folded)
    if not found:
        return folded
    meant = "main" if found[1] else f"contrast {found[2] or ''}".strip()
    return meant if meant == folded else Heard(meant, Term(meant))


def pieces(text: str) -> int | Heard[int]:
    """How many pieces: "3", "3 balls", "2 + bits", "2-3". Raises Unreadable."""
    try:
        return parse_count(text)
    except Unreadable:
        folded = " ".join(text.casefold().split())
        found = re.fullmatch(
            r"(?:about |ca\.? |~ ?)?(\d+)\s*(?:-|to|or)?\s*(\d+)?\s*([a-z][a-z ,+&]*|\+[a-z ]*)?", folded
        )
        if not found:
            raise
        number = int(found[2] or found[1])
        odd = bool(found[2]) or folded.startswith(("about", "ca", "~")) or "+" in folded or "bit" in folded
        return Heard(number, counted(number, "{n} piece", "{n} pieces"), sure=not odd)


def reserve(text: str) -> float | Heard[float]:
    """Metres to hold back; "none" is 0. Raises Unreadable."""
    if text.casefold().strip(" .") in ("none", "no", "nothing", "nil", "-"):
        return Heard(0.0, reason("nothing held back"))
    if not re.search(r"\d", text):
        raise Unreadable(text, _HELD, _NOT_MENDING)
    return parse_length_m(text)


def mending(text: str) -> str | Heard[str]:
    """Which repairs to keep yarn for: little, usual or all; other words for them are guesses. Raises Unreadable."""
    folded = fold(text).strip(" .!")
    if folded in MENDING:
        return folded
    parts = {found[0] for found in _MENDED.finditer(folded)} if not _NO_REPAIR.search(folded) else set()
    meant = _MENDING.get(folded) or ("" if not parts else ALL if len(parts) > 1 else USUAL)
    if meant:
        return Heard(meant, _MENDS[meant], sure=False)
    mend = did_you_mean(text, MENDING) or reason("usual keeps yarn for darned holes and any one larger repair")
    raise Unreadable(text, reason("little, usual or all"), mend)
