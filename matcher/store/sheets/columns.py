"""The columns of the sheets, each described once.

From these tables follow what the sheets are held to, the cells that the store keeps and an export writes, the options
of `add`, `change`, `garment` and `person` with their help, and what must agree before two lots become one. A new column
is one row here and a migration of the store. Nothing heavy is imported: weighing a ball reads this file too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "name", "role", "words", "colour", "amount", "ball grams", "ball metres", "reserve", "tex", "class", "fibre",
    "wash", "pieces", "garment kind", "dye lot", "label", "day", "code", "status", "chest", "stitches", "rows", "plans",
    "mending", "size", "head", "hand", "foot", "fibres", "eyes", "list",
]  # fmt: skip
"""How a cell is read; `matcher.store.sheets.cells` has a reader for each."""

LISTED: tuple[Kind, ...] = ("fibres", "list")
"""Kinds whose cells list things: what two columns list is of both, such as No wool and No mohair."""

Joined = Literal["same", "agree", "fill", "own"]


@dataclass(frozen=True)
class ColumnRule:
    """One column of a sheet.

    kind: how its cells are read. holds: what they say, in words that serve as help and in messages. needed: whether a
    sheet must have it. title: what she calls it, where that is not its name. number: whether its cells are numbers as
    a rule, so that a minus is a sign and never the start of a formula. free: text in which a date or a leading equals
    sign does no harm. yarn: whether it tells of the yarn rather than of this one lot. exported: added by an export,
    not typed by her. asked: whether a guess is hers to settle, since it decides what is kept back or what goes with
    what. spellings: other spellings of the same word, taken without remark; what else people head it with stands in
    the catalogue.

    joined: when lots become one, their cells must be the "same"; or "agree" where both have one, and one that is empty
    is filled in; or are only "fill"ed in; or are worked out in their "own" way.
    """

    name: str
    kind: Kind
    holds: str
    needed: bool = False
    title: str = ""
    number: bool = False
    free: bool = False
    yarn: bool = False
    exported: bool = False
    asked: bool = False
    joined: Joined = "fill"
    spellings: tuple[str, ...] = ()

    @property
    def said(self) -> str:
        """The column as she would say it."""
        return self.title or self.name.replace("_", " ")


class Columns:
    """The columns of one sheet, in the order in which an export writes them.

    core: by what its table is known among others: one column at least of each group.
    """

    def __init__(self, sheet: str, thing: str, *rules: ColumnRule, core: tuple[tuple[str, ...], ...]) -> None:
        self.sheet, self.thing, self.core = sheet, thing, core
        self.rules = {one.name: one for one in rules}
        self.typed = tuple(one.name for one in rules if not one.exported)
        self.exported = tuple(one.name for one in rules if one.exported)
        self.needed = tuple(one.name for one in rules if one.needed)
        self.free = tuple(one.name for one in rules if one.free and not one.exported)
        self.spellings = {word: one.name for one in rules for word in one.spellings}

    def __getitem__(self, name: str) -> ColumnRule:
        return self.rules[name]

    def __contains__(self, name: object) -> bool:
        return name in self.rules

    def __iter__(self) -> Iterator[str]:
        return iter(self.rules)

    def joined(self, *how: Joined) -> tuple[str, ...]:
        """The columns that a join treats so."""
        return tuple(one.name for one in self.rules.values() if one.joined in how)


LOTS = Columns(
    "lots",
    "lot",
    ColumnRule("lot", "name", "a name for the lot", needed=True, title="name", joined="own"),
    ColumnRule("garment", "name", "the garment it came from", asked=True, joined="same"),
    ColumnRule("role", "role", "its part in that garment, such as main or contrast 1"),
    ColumnRule("yarn", "name", "the yarn's name", yarn=True, joined="same"),
    ColumnRule(
        "colour", "colour", "a colour such as #6b7f4a or moss green", needed=True, joined="same", spellings=("color",)
    ),
    ColumnRule("colour_name", "name", "the colour's name", spellings=("color_name",)),
    ColumnRule(
        "grams",
        "amount",
        "a weight such as 41, about 40 g or half a ball",
        needed=True,
        number=True,
        joined="own",
    ),
    ColumnRule(
        "ball_grams",
        "ball grams",
        "the weight of a full ball such as 50",
        number=True,
        yarn=True,
        joined="agree",
    ),
    ColumnRule(
        "ball_metres",
        "ball metres",
        "the length of a full ball such as 125 or 137 yd",
        number=True,
        yarn=True,
        joined="agree",
        spellings=("ball_meters",),
    ),
    ColumnRule("tex", "tex", "a yarn count such as 250 or Nm 4", number=True, yarn=True, joined="agree"),
    ColumnRule(
        "class", "class", "a yarn weight class such as 3 or DK", number=True, yarn=True, asked=True, joined="agree"
    ),
    ColumnRule("fibre", "fibre", "a blend such as 80% wool 20% nylon", yarn=True, joined="agree", spellings=("fiber",)),
    ColumnRule("wash", "wash", "hand, machine or unknown", yarn=True, joined="agree"),
    ColumnRule("pieces", "pieces", "how many pieces, such as 2", number=True, joined="own"),
    ColumnRule("dye_lot", "dye lot", "the dye lot, as on the label", joined="same"),
    ColumnRule("label", "label", "yes, partly or no: is there a ball band?"),
    ColumnRule("reserve", "reserve", "metres to hold back, such as 30; 0 for none", number=True, joined="own"),
    ColumnRule("place", "words", "where it lies", free=True),
    ColumnRule("note", "words", "a note", free=True, joined="own"),
    ColumnRule("weighed_on", "day", "a date such as 2026-11-25", free=True, exported=True, joined="own"),
    ColumnRule("code", "code", "the code on its tag", free=True, exported=True, joined="own"),
    core=(
        ("grams",),
        ("colour", "colour_name", "yarn"),
        ("class", "tex", "ball_grams", "ball_metres"),
    ),
)
GARMENTS = Columns(
    "garments",
    "garment",
    ColumnRule("garment", "name", "a name for the garment", needed=True, title="name"),
    ColumnRule("kind", "garment kind", "pullover, cardigan, vest, yoke pullover ...", asked=True),
    ColumnRule("status", "status", "worn, given or gone", needed=True, asked=True),
    ColumnRule("wearer", "name", "who wears it"),
    ColumnRule(
        "chest_cm",
        "chest",
        "a chest such as 92 or 36 in",
        title="chest",
        number=True,
    ),
    ColumnRule("stitches_10cm", "stitches", "stitches in 10 cm such as 22", title="stitches in 10 cm", number=True),
    ColumnRule("rows_10cm", "rows", "rows in 10 cm such as 30", title="rows in 10 cm", number=True),
    ColumnRule("plans", "plans", "plans such as lengthen body 5 cm; lengthen sleeves 2 in"),
    ColumnRule("mending", "mending", "little, usual or all: which repairs to keep yarn for"),
    ColumnRule("motif", "name", "a motif's name"),
    ColumnRule("note", "words", "a note", free=True),
    core=(
        ("garment",),
        ("kind", "status", "wearer", "chest_cm", "stitches_10cm", "rows_10cm", "plans", "mending", "motif"),
    ),
)
_BODY: dict[Kind, str] = {
    "head": "round the head, such as 56 or 22 in",
    "hand": "round the hand, such as 19 or 7.5 in",
    "foot": "round the foot, such as 23 or 9 in",
    "chest": "round the chest, such as 92 or 36 in",
}
PEOPLE = Columns(
    "people",
    "person",
    ColumnRule("person", "name", "a name for the person", needed=True, title="name", spellings=("name", "who")),
    ColumnRule("size", "size", "a size such as adult medium, or an age such as 5 years"),
    *(
        ColumnRule(f"{body}_cm", body, holds, title=body, number=True, spellings=(body,))
        for body, holds in _BODY.items()
    ),
    ColumnRule("avoid_on_skin", "fibres", "fibres that do not suit the skin, such as mohair; wool"),
    ColumnRule("eyes", "eyes", "colours that the eyes do not tell apart: red-green, blue ... or ordinary"),
    ColumnRule("likes", "list", "kinds, accessories and colours that are liked, such as hats; blue"),
    ColumnRule("dislikes", "list", "the same that are not wanted, such as mitts; pink"),
    ColumnRule("note", "words", "a note", free=True),
    core=(
        ("person",),
        ("size", "head_cm", "hand_cm", "foot_cm", "chest_cm", "avoid_on_skin", "eyes", "likes", "dislikes"),
    ),
)
SHEETS = {one.sheet: one for one in (LOTS, GARMENTS, PEOPLE)}
TELL_AGE = ("kind", "wearer", "size", "garment", "person")
"""Columns that may say that a child wears it."""


def said_column(column: str) -> str:
    """A column of any sheet as she would say it."""
    return next((sheet[column].said for sheet in SHEETS.values() if column in sheet), column)


# Why a row was refused: a column that a file of refused rows has, and that is passed over when it comes back.
WHY = "why"


def as_day(text: str) -> str:
    """A date such as 2026-11-25, or "" where there is none that can be read: nothing hangs on it."""
    from matcher.materials.reading.days import read_day

    return read_day(text)
