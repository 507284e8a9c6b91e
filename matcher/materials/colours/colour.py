"""The colour of a lot: one colour, a heather, or several colours with their shares.

A colour that she gave as a word is a guess: its lab is a mean, and `sds` says how far off that may be.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from matcher.materials.colours.cielab import Lab, hex_from_lab, lab_from_code, lab_from_linear, linear_from_lab
from matcher.materials.colours.words import Meant, folded_colour
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.names import did_you_mean
from matcher.materials.reading.numerals import LONGEST_READ, Unreadable
from matcher.reasons.quantities import Share
from matcher.reasons.reason import listed, reason

KNOWN: Lab = (0.0, 0.0, 0.0)
"""The spread of a colour that is no guess."""

_HEX = re.compile(r"#?([0-9a-f]{6}|[0-9a-f]{3})$", re.IGNORECASE)
_NUMBER = r"[-+]?\d+(?:\.\d+)?"
_LAB = re.compile(rf"lab\s*\(?\s*({_NUMBER})\s*[ ,]\s*({_NUMBER})\s*[ ,]\s*({_NUMBER})\s*\)?$", re.IGNORECASE)
_SHARE = re.compile(r"^(.*?)[\s:]*(\d+(?:[.,]\d+)?)\s*%$")
_APART = re.compile(r"[,;/+&](?![^(]*\))|\s(?:and|with|'?n'?)\s", re.IGNORECASE)
_EXPECTED = reason('a code such as #6b7f4a, "lab(52, -8, 25)" or a plain word such as navy')
_KINDS = {"heather": "heather", "heathered": "heather", "variegated": "variegated"}


@dataclass(frozen=True)
class Colour:
    """What a yarn looks like. Shares sum to 1.

    kind is "solid" (one colour), "heather" (fibres of several colours mixed before spinning: at the size of
    a stitch the eye sees their mean) or "variegated" (stretches of several colours: each stitch shows one).
    sds: of each part the standard deviations in L*, a*, b*, `KNOWN` for one that is no guess; empty where none is.
    said: her words, where there are any.
    """

    kind: str
    parts: tuple[tuple[Lab, float], ...]
    sds: tuple[Lab, ...] = ()
    said: str = field(default="", compare=False)

    @property
    def guessed(self) -> bool:
        """Whether any of it is guessed from a word."""
        return bool(self.sds)

    def stitches(self) -> tuple[tuple[Lab, float], ...]:
        """The colours that single stitches show, with their shares; a heather shows its mean (in linear light)."""
        return ((self.mean(), 1.0),) if self.kind == "heather" else self.parts

    def stitch_sds(self) -> tuple[Lab, ...]:
        """How far off each of `stitches` may be; each part of a heather errs by itself, as far as its share."""
        if not self.sds or self.kind != "heather":
            return self.sds or (KNOWN,) * len(self.stitches())
        shares = np.array([share for _, share in self.parts])
        return (_triple(np.sqrt((shares[:, None] ** 2 * np.array(self.sds) ** 2).sum(axis=0))),)

    def mean(self) -> Lab:
        """What the eye sees from far away: the mean of all colours by their shares, in linear light."""
        if len(self.parts) == 1:
            return self.parts[0][0]
        labs = np.array([lab for lab, _ in self.parts])
        shares = np.array([share for _, share in self.parts])
        return _triple(lab_from_linear(shares @ linear_from_lab(labs)))

    def codes(self) -> tuple[str, ...]:
        """The code of each part, such as "#6b7f4a"."""
        return tuple(_code(lab) for lab, _ in self.parts)

    def patches(self) -> tuple[tuple[str, float], ...]:
        """Codes with their shares, as a patch of the yarn shows them: as `stitches`."""
        return tuple((_code(lab), share) for lab, share in self.stitches())

    def words(self) -> str:
        """How a file would write it: her own words, else codes in shares of whole percents that make 100 together."""
        if self.said:
            return self.said
        if len(self.parts) == 1:
            return self.codes()[0]
        percents = whole_percents([share for _, share in self.parts])
        shares = ", ".join(f"{code} {percent}%" for code, percent in zip(self.codes(), percents, strict=True))
        return f"heather {shares}" if self.kind == "heather" else shares


def whole_percents(shares: Sequence[float]) -> list[int]:
    """Shares, in any unit, as whole percents that make 100 together (largest remainders); none falls to 0.

    For at most 100 shares above 0.
    """
    total = sum(shares)
    exact = [100 * share / total for share in shares]
    whole = [max(1, int(one)) for one in exact]
    places = range(len(shares))
    while (left := 100 - sum(whole)) != 0:
        if left > 0:
            whole[max(places, key=lambda place: exact[place] - whole[place])] += 1
        else:
            # Tiny shares were raised to 1: what they got comes off those that were rounded down the least.
            large = [place for place in places if whole[place] > 1]
            whole[min(large, key=lambda place: exact[place] - whole[place])] -= 1
    return whole


@lru_cache(maxsize=65536)
def _code(lab: Lab) -> str:
    """One code; remembered, since lots of one colour are many and each is asked for its name several times."""
    return hex_from_lab(lab)


def _triple(lab: np.ndarray) -> Lab:
    return float(lab[0]), float(lab[1]), float(lab[2])


def marled(colours: list[tuple[Colour, float]]) -> Colour:
    """Strands held together: every colour of every strand, by the strand's part of the thickness."""
    total = sum(weight for _, weight in colours)
    parts: dict[tuple[Lab, Lab], float] = {}
    for colour, weight in colours:
        for (lab, share), sd in zip(colour.stitches(), colour.stitch_sds(), strict=True):
            parts[lab, sd] = parts.get((lab, sd), 0.0) + share * weight / total
    kind = "solid" if len(parts) == 1 else "variegated"
    return Colour(kind, tuple((lab, share) for (lab, _), share in parts.items()), _sds(sd for _, sd in parts))


def _sds(each: Iterable[Lab]) -> tuple[Lab, ...]:
    """Spreads of all parts; none where no part is a guess."""
    sds = tuple(each)
    return sds if any(sd != KNOWN for sd in sds) else ()


def parse_colour(text: str, words: Mapping[str, Meant]) -> Colour:
    """Read "#6b7f4a", "lab(52, -8, 25)", "moss green", or several with shares, "#6b7f4a 60%, cream 40%".

    A leading "heather" says that the colours are blended in the fibre. Shares may be left out when all are
    alike. words: `ColourWords`, or none. Raises Unreadable.
    """
    found = text.strip()
    if len(found) > LONGEST_READ:
        raise Unreadable(found, _EXPECTED)
    if measured := _measured(found):  # most cells
        return Colour("solid", ((measured, 1.0),))
    kind, rest = "variegated", found
    first, _, tail = found.partition(" ")
    if first.lower().rstrip(":") in _KINDS and tail:
        kind, rest = _KINDS[first.lower().rstrip(":")], tail.strip()
    pieces = [piece.strip() for piece in _APART.split(rest) if piece.strip()]
    if len(pieces) == 1 and not _measured(pieces[0]):
        pieces = [found.strip(" ,;/+&")]  # "heather grey" and the like are words of their own
    named = [_part(piece, words) for piece in pieces]
    if not named:
        raise Unreadable(found, _EXPECTED)
    given = [share for _, share in named if share is not None]
    if len(named) == 1 and given and abs(given[0] - 1) > 0.005:
        mend = reason("this is {share} of one colour: name the others as well", share=Share(given[0]))
        raise Unreadable(found, reason("shares that make 100%"), mend)
    if given and len(given) < len(named):
        raise Unreadable(found, reason("a share for each colour, such as 60% and 40%, or for none"))
    shares = given or [1 / len(named)] * len(named)
    if any(share <= 0 for share in shares) or abs(sum(shares) - 1) > 0.015:
        mend = reason("they come to {total}", total=Share(sum(shares)))
        raise Unreadable(found, reason("shares above 0 that make 100%"), mend)
    total = sum(shares)
    parts = tuple((meant.lab, share / total) for (meant, _), share in zip(named, shares, strict=True))
    sds = _sds(meant.sd for meant, _ in named)
    return Colour(kind if len(named) > 1 else "solid", parts, sds, " ".join(found.split()) if sds else "")


def heard_colour(text: str, words: Mapping[str, Meant]) -> Heard[Colour]:
    """The same, and that it is a guess where she gave words. Raises Unreadable."""
    colour = parse_colour(text, words)
    if not colour.guessed:
        return Heard(colour)
    codes = listed(colour.codes(), "and")
    return Heard(colour, reason("near {codes}: photograph it, or compare it in daylight", codes=codes), sure=False)


def _part(piece: str, words: Mapping[str, Meant]) -> tuple[Meant, float | None]:
    share = None
    match = _SHARE.match(piece)
    if match:
        piece, share = match[1].strip(), float(match[2].replace(",", ".")) / 100
    measured = _measured(piece)
    return (Meant(measured, KNOWN) if measured else _meant(piece, words)), share


def _measured(text: str) -> Lab | None:
    """A code or figures; None for words."""
    code = _HEX.match(text)
    if code and (text.startswith("#") or len(code[1]) == 6):
        digits = code[1] if len(code[1]) == 6 else "".join(2 * digit for digit in code[1])
        return lab_from_code(digits.lower())
    lab = _LAB.match(text)
    if lab is None:
        return None
    triple = (float(lab[1]), float(lab[2]), float(lab[3]))
    if not 0 <= triple[0] <= 100 or max(abs(triple[1]), abs(triple[2])) > 160:
        raise Unreadable(text, reason("L* from 0 to 100, a* and b* within 160 of 0"))
    return triple


def _meant(text: str, words: Mapping[str, Meant]) -> Meant:
    try:
        return words[text]
    except KeyError:
        folded = folded_colour(text)
        raise Unreadable(text, _EXPECTED, lambda: did_you_mean(folded, words, 0.75)) from None
