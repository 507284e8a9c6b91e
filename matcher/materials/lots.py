"""Lots, garments and the bin: what the two sheets say, with every unit resolved."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

from matcher.materials.colours.colour import Colour
from matcher.materials.people import Person
from matcher.materials.reading.units import Unreadable, parse_cm
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import Yarn
from matcher.reasons.quantities import Mass, Measure
from matcher.reasons.reason import Words, listed, reason

MENDING = LITTLE, USUAL, ALL = "little", "usual", "all"
"""How much of a garment's mending yarn is kept for: darned holes; those and any one larger repair; all at once."""

# Parts of a garment that a plan may lengthen, as written in the sheet -> the word used from there on.
PARTS: dict[str, str] = {
    "body": "body",
    "sleeve": "sleeves",
    "sleeves": "sleeves",
    "cuff": "cuffs",
    "cuffs": "cuffs",
    "hem": "hem",
    "rib": "hem",
    "neck": "neck",
    "neckband": "neck",
    "collar": "neck",
    "yoke": "yoke",
}


@dataclass(frozen=True)
class Lot:
    """One physical leftover: one yarn, one colour, one dye lot, in one or more pieces.

    mass_g [g] is of all pieces together, mass_sd_g how unsure she is of it herself (0: read off a scale); ball_g [g] is
    the label's mass of one full ball, None without a label; reserve_m [m] is set by hand, None when it is left to the
    tool; length [m] is what is on hand, the joins between pieces already taken off; full_ball_tolerance is the part of
    a ball by which it may weigh less than its label and still count as unbroken
    (`MeasuringRules.full_ball_tolerance`); claimed_m [m] is taken by accessories that are on the needles, and is not
    free for another; weighed_on (such as "2026-11-25")
    and code (on its tag) are "" where nothing says so.
    """

    name: str
    garment: str
    yarn: Yarn
    colour: Colour
    colour_name: str
    mass_g: float
    pieces: int
    ball_g: float | None
    dye_lot: str
    label: str
    reserve_m: float | None
    place: str
    note: str
    role: str
    length: Estimate
    full_ball_tolerance: float = 0.05
    claimed_m: float = 0.0
    weighed_on: str = ""
    code: str = ""
    mass_sd_g: float = 0.0

    @property
    def weight(self) -> Words:
        """What it weighs, to be said: "41 g" where it was weighed, else "about 25 g, give or take 6 g"."""
        if not self.mass_sd_g:
            return reason("{mass}", mass=Mass(self.mass_g))
        return reason("about {mass}, give or take {sd}", mass=Mass(self.mass_g), sd=Mass(self.mass_sd_g))

    @property
    def tex_on_scale(self) -> float:
        """Grams in 1000 m as the scale has it: the ends that joining its pieces takes weigh too, so that all its metres
        weigh what it does."""
        return 1000.0 * self.mass_g / self.length.mean if self.length.mean > 0.0 else self.yarn.tex.mean

    @property
    def unclaimed_m(self) -> float:
        """Length on hand that nothing on the needles has claimed [m]."""
        return max(0.0, self.length.mean - self.claimed_m)

    @property
    def full_balls(self) -> int:
        """Unbroken balls in the lot, as its weight and its number of pieces allow; 0 without a label.

        Two pieces that weigh one ball together are two part-used pieces, so whatever is not an unbroken ball
        must still weigh something.
        """
        if self.ball_g is None or self.ball_g <= 0:
            return 0
        slack_g = self.full_ball_tolerance * self.ball_g
        balls = min(self.pieces, math.floor((self.mass_g + slack_g) / self.ball_g))
        while 0 < balls < self.pieces and self.mass_g - balls * self.ball_g <= slack_g:
            balls -= 1
        return balls

    @property
    def full_balls_m(self) -> float:
        """Length in unbroken balls [m]."""
        balls = self.full_balls
        if not balls or self.ball_g is None:
            return 0.0
        return self.length.mean * min(1.0, balls * self.ball_g / self.mass_g)

    @property
    def part_used_m(self) -> float:
        """Length in pieces that are already begun [m]."""
        return self.length.mean - self.full_balls_m


@dataclass(frozen=True)
class Alteration:
    """A planned alteration: the words of the sheet, the part, and by how much it grows [cm]."""

    words: str
    part: str
    cm: float


@dataclass(frozen=True)
class Garment:
    """What the lots came from.

    status: "worn", "given" (may come back to be mended) or "gone". mending: one of `MENDING`, or "" where she wrote
    down nothing.
    """

    name: str
    kind: str
    status: str
    wearer: str
    chest_cm: float | None
    stitches_10cm: float | None
    rows_10cm: float | None
    alterations: tuple[Alteration, ...]
    motif: str
    note: str
    mending: str = ""


KEEP = "keep with the garment"
"""The advice by which nothing of a lot is free."""


@dataclass(frozen=True)
class Decision:
    """What she decided about a lot, whatever the figures say, and the day of it, such as 2026-11-25."""

    advice: str
    made_on: str


@dataclass(frozen=True)
class Bin:
    """All lots, garments and people; `source` is where they were read, `notes` are remarks that stop nothing,
    `decisions` are hers, by the lot's name; `read_with` says how much of it is guessed, "" for none."""

    lots: tuple[Lot, ...]
    garments: dict[str, Garment] = field(default_factory=dict)
    source: str = ""
    notes: tuple[Words, ...] = ()
    decisions: dict[str, Decision] = field(default_factory=dict)
    read_with: Words = ""
    people: dict[str, Person] = field(default_factory=dict)


_ALTERATION = re.compile(
    r"(?:lengthen|longer|extend|add to)\s+(?:the\s+|both\s+)?([a-z]+)\s*(?:by\s+|[:=+]\s*)?(\S.*)",
    re.IGNORECASE,
)
_AMOUNT_FIRST = re.compile(r"(?:add|lengthen)\s+(\d.*?)\s+to\s+(?:the\s+|both\s+)?([a-z]+)", re.IGNORECASE)


def parse_alterations(text: str, most_cm: float) -> tuple[Alteration, ...]:
    """Planned alterations from "lengthen body 5 cm; lengthen sleeves 2 in"; "none" is no plan.

    Raises Unreadable for words that are no plan, an unknown part, and a length that is not above zero or is over
    `most_cm` [cm].
    """
    expected = reason("a plan such as lengthen body 5 cm; lengthen sleeves 2 in")
    found: list[Alteration] = []
    for words in (part.strip(" .") for part in re.split(r"[;\n]", text)):
        if words.casefold() in ("", "none", "no", "-"):
            continue
        first = _AMOUNT_FIRST.fullmatch(words)
        matched = first or _ALTERATION.fullmatch(words)
        if not matched:
            raise Unreadable(words, expected, reason("begin with lengthen; part several plans with ;"))
        part, amount = (matched[2], matched[1]) if first else (matched[1], matched[2])
        if part.casefold() not in PARTS:
            parts = listed(dict.fromkeys(PARTS.values()))
            raise Unreadable(words, expected, reason("the part is one of {parts}", parts=parts))
        try:
            cm = parse_cm(amount)
        except Unreadable as fault:
            raise Unreadable(words, expected, fault.mend or reason("give the length as 5 cm or 2 in")) from fault
        if not 0 < cm <= most_cm:
            mend = reason("the length is above zero and at most {most}", most=Measure(most_cm))
            raise Unreadable(words, expected, mend)
        found.append(Alteration(words, PARTS[part.casefold()], cm))
    return tuple(found)
