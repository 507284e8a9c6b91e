"""Whose scrap is this? Likely yarns of the bin for an untagged scrap, and what to measure next."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from matcher.actions.desk import DeskLike, desk_of
from matcher.errors import BadInput
from matcher.matching.pools import Pool
from matcher.matching.scraps.identify import Clues, Suspects, left_g, posterior, suspects, thickness_told
from matcher.matching.scraps.measure_next import doubt, gains
from matcher.materials.clues import IdentifyRules, Weighed, parse_weighed
from matcher.materials.colours.apart import seen_apart
from matcher.materials.colours.colour import Colour, parse_colour
from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.reason import Words

if TYPE_CHECKING:
    import pandas as pd

NONE = "none of these"
# A chance below this is not worth a line.
_LEAST_SHOWN = 0.0005
# Standard errors between two measurements of one thickness that hardly happen by chance; a choice.
_DISAGREE = 3.0
_HOW = {
    "weighed": "weigh a measured length of it, as long as you can, on the finest scale you have",
    "wraps": "wind it round a ruler without stretching and count the wraps in an inch",
    "plies": "untwist an end and count its plies",
    "felts": "wet two ends, rub them hard between your palms, and see whether they felt together",
    "colour": "find its colour: in daylight beside white paper, by eye or with `matcher photo`",
}


@dataclass(frozen=True)
class Candidate:
    """A yarn of the bin (lots that count as one) and the chance that the scrap is of it."""

    pool: Pool
    probability: float
    because: str

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
    measure_next: str
    first_two: tuple[str, str]
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
        raise BadInput(f"found {top}", "--top", "give 1 or more")
    notes: list[Words] = []
    seen, se = _colour(colour, photo, box, white, catalogue.colour_words, rules, catalog, notes)
    clues = Clues(
        seen,
        se,
        _weighed(weighed, catalogue.measuring) if weighed is not None else None,
        _wraps(wraps),
        _plies(plies, rules),
        _felts(felts),
    )
    if not clues.given:
        raise BadInput(
            "nothing is known of the scrap",
            "whose",
            'give one thing or more: --colour or --photo, --weighed "12 m = 5.1 g", --wraps 9, --plies 2, --felts yes',
        )
    pools = desk.shelf.pools
    if not pools:
        where = desk.bin.source or "bin"
        raise BadInput("there are no lots to compare the scrap with", where, "put lots into it first")
    of = suspects(pools, clues, rules, catalogue.together)
    chance = posterior(of, clues, rules)
    order = np.argsort(-chance, kind="stable").tolist()
    two = (order[0], order[1])
    bits = gains(of, two, chance, clues, rules)
    odds = chance[list(two)] / chance[list(two)].sum()
    if clues.plies is not None and all(known is None for known in of.plies):
        notes.append("plies were not used: no lot tells its own (write it in the note, such as 2 plies)")
    notes += _disagree(clues, rules)
    listed = [place for place in order if place < len(of.pools) and chance[place] >= _LEAST_SHOWN][:top]
    candidates = tuple(
        Candidate(of.pools[place], float(chance[place]), _because(of, place, clues, rules)) for place in listed
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


def _colour(
    text: str | None,
    photo: Path | str | None,
    box: str | None,
    white: str | None,
    words: Mapping[str, str],
    rules: IdentifyRules,
    catalog: Path | str | None,
    notes: list[Words],
) -> tuple[Colour | None, float]:
    """The scrap's colour and its root mean square error [CIEDE2000]."""
    if text is not None and photo is not None:
        raise BadInput("two colours are given", "--colour, --photo", "give one of them")
    if photo is not None:
        from matcher.actions.colours.photo import photo as read_photo

        shown = read_photo(photo, () if box is None else (box,), white, catalog=catalog)
        notes += shown.warnings
        if len(shown.regions) != 1:
            raise BadInput(
                f"{len(shown.regions)} yarns are seen in {shown.file}",
                "--photo",
                "name the place of the scrap with --box X,Y,W,H (`matcher photo` shows the boxes)",
            )
        region = shown.regions[0].region
        return region.colour, region.se
    if box is not None or white is not None:
        raise BadInput("there is no photograph", "--box" if box is not None else "--white", "give it with --photo")
    if text is None:
        return None, 0.0
    try:
        read = parse_colour(text, words)
    except ValueError as fault:
        raise BadInput(str(fault), "--colour") from None
    try:
        parse_colour(text, {})
    except ValueError:
        notes.append("a plain word says little of a colour: a code or --photo tells more")
        return read, rules.word_colour_se
    return read, rules.eye_colour_se


def _weighed(text: str, measuring: Any) -> Weighed:
    try:
        return parse_weighed(text, measuring)
    except Unreadable as fault:
        raise BadInput(str(fault), "--weighed") from None


def _wraps(wraps: float | None) -> float | None:
    if wraps is not None and not 1.0 <= wraps <= 100.0:
        raise BadInput(f"found {wraps:g} wraps in an inch", "--wraps", "give a number from 1 to 100")
    return wraps


def _plies(plies: int | None, rules: IdentifyRules) -> int | None:
    if plies is not None and not 1 <= plies <= rules.most_plies:
        raise BadInput(f"found {plies} plies", "--plies", f"give a number from 1 to {rules.most_plies:g}")
    return plies


def _felts(text: str | None) -> bool | None:
    known = {"yes": True, "no": False, "?": None, "": None}
    folded = (text or "").strip().casefold()
    if folded not in known:
        raise BadInput(f'found "{text}"', "--felts", "give yes, no or ?")
    return known[folded]


def _disagree(clues: Clues, rules: IdentifyRules) -> list[str]:
    """A remark where weighing and winding can hardly be of one yarn."""
    if clues.weighed is None or clues.wraps is None:
        return []
    one, other = thickness_told(clues, rules)
    if abs(one.mean - other.mean) <= _DISAGREE * math.hypot(one.sd, other.sd):
        return []
    tex = f"{math.exp(one.mean):.0f} tex and {math.exp(other.mean):.0f} tex"
    return [f"the weighed length and the wraps disagree ({tex}): measure both again"]


def _name(of: Suspects, place: int) -> str:
    return of.pools[place].name if place < len(of.pools) else NONE


def _because(of: Suspects, place: int, clues: Clues, rules: IdentifyRules) -> str:
    """Each clue beside what the lot's own row says, and what could be left of it."""
    pool = of.pools[place]
    words = []
    if clues.colour is not None:
        words.append(f"colour {seen_apart(clues.colour, [pool.colour], whole=False)[0]:.1f} CIEDE2000 away")
    told = thickness_told(clues, rules)
    if told:
        ways = [way for way, clue in (("weighed", clues.weighed), ("by its wraps", clues.wraps)) if clue is not None]
        measured = " and ".join(f"{math.exp(one.mean):.0f} tex {way}" for way, one in zip(ways, told, strict=True))
        tex = pool.yarn.tex
        words.append(f"{measured}, {tex.mean:.0f} tex (give or take {tex.sd:.0f}) known")
    if clues.plies is not None and of.plies[place] is not None:
        words.append(f"{clues.plies} plies counted, {of.plies[place]} known")
    if clues.felts is not None:
        fibre = pool.yarn.blend.words()
        likely = "should felt" if of.felts[place] > 0.5 else "should not felt" if of.felts[place] < 0.5 else "may felt"
        words.append(f"{'felts' if clues.felts else 'does not felt'}, and {fibre} {likely}")
    words.append(f"about {sum(left_g(lot, rules) for lot in pool.lots):.0f} g of it could lie about")
    return "; ".join(words)


def _next(bits: Mapping[str, float], two: tuple[str, str], rules: IdentifyRules) -> str:
    clue = next(iter(bits), None)
    if clue is None or bits[clue] < rules.helpful_bits:
        return ""
    return f"{_HOW[clue]}: of all that is left it tells most between {two[0]} and {two[1]}"
