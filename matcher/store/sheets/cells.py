"""Cells to values: one reader for each kind of cell, and a whole row with every fault in it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from typing import Any

from matcher.errors import MOST_TOLD, Fault
from matcher.knitting.bodies import is_grown, parse_size
from matcher.materials.care import heard_wash
from matcher.materials.colours.colour import heard_colour
from matcher.materials.fibre import Blend, heard_blend
from matcher.materials.garment_words import heard_kind, heard_status, kind_among
from matcher.materials.lots import parse_alterations
from matcher.materials.people import ORDINARY, parse_eyes, parse_tastes
from matcher.materials.reading.amounts import Amount, is_weight
from matcher.materials.reading.bands import heard_ball_length, heard_ball_mass
from matcher.materials.reading.chests import heard_chest, says_child
from matcher.materials.reading.dye_lots import known_dye_lot
from matcher.materials.reading.gauges import heard_rows, heard_stitches
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import Unclear, Unreadable, shorten
from matcher.materials.reading.units import parse_tex
from matcher.materials.reading.weights import heard_amount
from matcher.materials.skin_words import heard_unsuited
from matcher.materials.thickness import heard_thickness, tex_of_thickness
from matcher.reasons.quantities import Kilograms, Length, Measure, Number, Tex
from matcher.reasons.reason import Column, Term, Words, reason
from matcher.store.catalogue.standards import Standards
from matcher.store.codes import is_code
from matcher.store.sheets.columns import TELL_AGE, Columns, Kind, as_day
from matcher.store.sheets.readers import between, body, knittable, label, mending, pieces, reserve, role, within
from matcher.store.sheets.tabulate import Row
from matcher.store.sheets.understood import CellRead, Understood
from matcher.store.weights import ball_and_tex, says_length

ODD = object()
"""In place of the value of a cell that does not say it plainly."""
NOTHING_PLAIN: Mapping[str, Any] = {}
_IN_INCHES = reason("write inches as 36 in")
_IN_NOTE = reason("shorten it, and put the rest in {note}", note=Column("note"))


@dataclass(frozen=True)
class _Wearer:
    """Whose chest a cell tells: a child's or not, and what a garment measures more than the body [cm]."""

    child: bool = False
    ease_cm: float = 0.0


_NOBODY = _Wearer()


class CellReader:
    """Reads cells by the catalogue's standards; with a memory, since cells repeat.

    A reader of a kind gives a value, or a `Heard` where it had to make something of the cell.
    """

    def __init__(self, standards: Standards) -> None:
        self.limits = limits = standards.limits
        self.amounts, self.sizes, self.garment_kinds = standards.amounts, standards.sizes, standards.garment_kinds
        self._tex_of = partial(tex_of_thickness, classes=standards.classes, rules=standards.measuring)
        self._memory: dict[tuple[Kind, str, object], Heard[Any] | Unclear] = {}
        self._faults: Counter[str] = Counter()  # by sheet
        # Linear density is the same in all units.
        self._tex_limits = {"least": Number(limits.least_tex), "most": Tex(limits.most_tex)}
        check_unit = reason("check the unit")
        self._weight = reason("a weight above 0 and at most {most}", most=Kilograms(limits.most_grams / 1000))
        held = reason("metres to hold back, at most {most}", most=Length(limits.most_metres))
        tex = reason("a yarn count from {least} to {most}", **self._tex_limits)
        number = reason("a number of pieces from 1 to {most}", most=Number(limits.most_pieces))
        self._readers: dict[Kind, Callable[[str], Any]] = {
            "name": self._name,
            "role": lambda text: role(self._name(text)),
            "words": lambda text: within(text, limits.longest_note),
            "colour": lambda text: heard_colour(text, standards.colour_words),
            "amount": self._amount,
            "ball grams": between(
                heard_ball_mass,
                *(0, limits.most_grams),
                self._weight,
                check_unit,
                at_zero=check_unit,
            ),
            "ball metres": between(
                heard_ball_length,
                *(0, limits.most_metres),
                reason("metres of a full ball, above 0"),
                check_unit,
                at_zero=check_unit,
            ),
            "reserve": between(reserve, 0, limits.most_metres, held, check_unit),
            "tex": between(
                parse_tex,
                *(limits.least_tex, limits.most_tex),
                tex,
                reason("a sock yarn has about 250; is it the right unit?"),
            ),
            "class": lambda text: heard_thickness(text, standards.classes, standards.yarn_names),
            "fibre": lambda text: heard_blend(text, standards.fibres),
            "wash": heard_wash,
            "pieces": between(pieces, 1, limits.most_pieces, number, reason("count the ends and halve them")),
            "dye lot": lambda text: known_dye_lot(self._name(text)),
            "label": label,
            "day": as_day,
            "code": lambda text: text if is_code(text) else "",
            "status": heard_status,
            "garment kind": lambda text: heard_kind(self._name(text), standards.garment_kinds),
            "chest": self._chest,
            "stitches": between(
                heard_stitches,
                *(limits.least_stitches_10cm, limits.most_stitches_10cm),
                reason("stitches in 10 cm such as 22"),
                knittable(limits.least_stitches_10cm, limits.most_stitches_10cm),
            ),
            "rows": between(
                heard_rows,
                *(limits.least_rows_10cm, limits.most_rows_10cm),
                reason("rows in 10 cm such as 30"),
                knittable(limits.least_rows_10cm, limits.most_rows_10cm),
            ),
            "plans": lambda text: parse_alterations(text, limits.most_planned_cm),
            "mending": mending,
            "size": self._size,
            **{part: body(part) for part in ("head", "hand", "foot")},
            "fibres": lambda text: heard_unsuited(text, standards.fibres, standards.fibre_groups),
            "eyes": parse_eyes,
            "list": parse_tastes,
        }

    def value(self, kind: Kind, text: str) -> Any:
        """What a cell says; raises Unclear when it cannot be read."""
        return self.heard(kind, text).value

    def heard(self, kind: Kind, text: str) -> Heard[Any]:
        """The same with what was made of it, where it does not say that plainly, and whether that is a guess."""
        return self._remembered((kind, text, None), lambda: self._readers[kind](text))

    def heard_in(self, kind: Kind, text: str, cells: Mapping[str, str]) -> Heard[Any]:
        """The same of a cell among the others of its row: the ball band says what half a ball weighs, a garment's kind
        and wearer whether a chest of 38 can be centimetres."""
        if kind == "amount" and not is_weight(text):
            known = self._known(text, cells)
            return self._remembered((kind, text, known), lambda: self._amount(text, *known))
        if kind == "chest":
            wearer = self._wearer(cells)
            return self._remembered((kind, text, wearer), lambda: self._chest(text, wearer))
        return self.heard(kind, text)

    def plain(self, kind: Kind, text: str) -> Any:
        """The value of a cell that says it plainly, whatever stands beside it; `ODD` for one to be read in its row.

        Nothing is remembered of it: whoever asks so asks once.
        """
        if kind == "chest" or (kind == "amount" and not is_weight(text)):
            return ODD
        if len(text) > self.limits.longest_cell and kind != "words":
            return ODD
        try:
            found = self._readers[kind](text)
        except Unclear:
            return ODD
        if not isinstance(found, Heard):
            return found
        return ODD if found.taken or not found.sure else found.value

    def _known(self, text: str, cells: Mapping[str, str]) -> tuple[float | None, float | None]:
        """What a full ball weighs [g], and 1000 m [g]: by the class, where nothing tells it better and it is asked."""
        ball_g, tex = ball_and_tex(cells)
        if tex is None and cells.get("class") and says_length(text):
            with suppress(Unclear):  # told by its own cell
                tex = self._tex_of(self.value("class", cells["class"])).mean
        return ball_g, tex

    def _remembered(self, key: tuple[Kind, str, object], read: Callable[[], Any]) -> Heard[Any]:
        if key not in self._memory:
            try:
                if key[0] != "words":
                    within(key[1], self.limits.longest_cell)
                found = read()
                self._memory[key] = found if isinstance(found, Heard) else Heard(found)
            except Unclear as fault:
                self._memory[key] = fault.with_traceback(None)
        heard = self._memory[key]
        if isinstance(heard, Unclear):
            raise heard
        return heard

    def _amount(self, text: str, ball_g: float | None = None, tex: float | None = None) -> Heard[Amount]:
        heard = heard_amount(text, self.amounts, ball_g, tex)
        grams = heard.value.mass.mean
        if grams == 0:
            raise Unreadable(text, self._weight, reason("leave the row out if nothing is left"))
        if grams > self.limits.most_grams:
            raise Unreadable(text, self._weight, reason("check the unit"))
        return heard

    def _size(self, text: str) -> Heard[str]:
        """A size or an age; that of somebody grown leaves the size open."""
        if is_grown(text):
            return Heard(
                "", reason("somebody grown, of any adult size: write adult small, adult medium or adult large"), False
            )
        return parse_size(re.sub(r"^size\s+", "", text.strip(), flags=re.IGNORECASE), self.sizes)

    def _wearer(self, cells: Mapping[str, str]) -> _Wearer:
        """Whose chest it is: whether a child's, and what a garment of that kind measures more than the body."""
        told = " ".join(cells.get(column, "") for column in TELL_AGE)
        sized = self.sizes.wearer(self.sizes.named(cells.get("wearer", "") or cells.get("size", "")))
        child = sized in ("baby", "child") or says_child(told)
        kind, _ = kind_among(cells.get("kind", ""), self.garment_kinds)
        ease_cm = self.garment_kinds[kind or "other"].chest_ease_cm if "person" not in cells else 0.0
        return _Wearer(child, ease_cm)

    def _chest(self, text: str, wearer: _Wearer = _NOBODY) -> Heard[float] | Heard[None]:
        """A chest, or the usual one of a size: "38 in", "M"."""
        low, high = self.limits.least_chest_cm, self.limits.most_chest_cm
        expected = reason("a chest from {least} to {most}", least=Measure(low), most=Measure(high))
        try:
            return between(lambda cell: heard_chest(cell, wearer.child), low, high, expected, _IN_INCHES)(text)
        except Unreadable as fault:
            if not re.search(r"[^\W\d]", text):  # no age, but a number that no chest has
                raise
            try:
                size = parse_size(re.sub(r"^size\s+", "", text.strip(), flags=re.IGNORECASE), self.sizes).value
            except Unclear:
                raise fault from None
            if not self.sizes.has(size, "chest"):
                said = "{size}, whose chest isn't known here: a usual one is taken"
                return Heard(None, reason(said, size=Term(size)), sure=False)
            cm = self.sizes.dimension(size, "chest") + wearer.ease_cm
            return Heard(cm, reason("{size}, about {chest}", size=Term(size), chest=Measure(cm)), sure=False)

    def row(
        self,
        row: Row,
        columns: Columns,
        where: str,
        missing: frozenset[str],
        faults: list[Fault],
        understood: Understood,
        plain: Mapping[str, Any] = NOTHING_PLAIN,
    ) -> dict[str, Any] | None:
        """The values of a row by column, or None with its faults added; odd cells are added to `understood`.

        missing: columns that the sheet lacks. plain: values of cells that are read already.
        """
        values = dict(plain)
        name = row.cells.get(columns.thing, "")
        whole = not row.bad
        for column, rule in columns.rules.items():
            if column in plain:
                continue
            text = row.cells.get(column)
            if text is None:
                values[column] = EMPTY.get(rule.kind, "")
                if rule.needed and column not in row.bad:
                    whole = False
                    if column not in missing:
                        holds, mend = reason(rule.holds), reason("fill in the cell")
                        faults.append(Fault(where, row.number, column, "", holds, mend))
                continue
            try:
                heard = self.heard_in(rule.kind, text, row.cells)
                values[column] = heard.value
                if heard.taken or not heard.sure:
                    hers = row.hers.get(column, text)
                    understood.add(CellRead(where, row.number, name, column, hers, heard.taken, heard.sure))
            except Unclear as fault:
                whole = False
                faults.append(self._fault(where, row.number, column, text, fault, reason(rule.holds)))
        return values if whole else None

    def _fault(self, where: str, row: int, column: str, text: str, fault: Unclear, holds: Words) -> Fault:
        """The fault of a cell; how to mend it is worked out for the first ones of a sheet only, which are shown."""
        self._faults[where] += 1
        told = self._faults[where] <= MOST_TOLD
        if isinstance(fault, Unreadable):
            return Fault(where, row, column, fault.found, fault.expected, fault.mend if told else "")
        return Fault(where, row, column, shorten(text), holds, fault.said if told else "")

    def reads(self, kind: Kind, text: str) -> bool:
        """Whether a cell can be read by itself."""
        try:
            self.value(kind, text)
        except Unclear:
            return False
        return True

    def check_ball_band(self, grams: str, metres: str) -> None:
        """Refuse a ball band whose figures cannot both be right."""
        try:
            tex = 1000.0 * self.value("ball grams", grams) / self.value("ball metres", metres)
        except Unclear:
            return  # told by the row's own check
        if not self.limits.least_tex <= tex <= self.limits.most_tex:
            said = "a ball band that makes {least} to {most}, not {tex}"
            expected = reason(said, tex=Number(tex, 1), **self._tex_limits)
            raise Unreadable(f"{metres} / {grams}", expected, reason("are grams and metres in the right columns?"))

    def _name(self, text: str) -> str:
        return " ".join(within(text, self.limits.longest_name, _IN_NOTE).split())


# What a cell that is empty says, where that is not "".
EMPTY: dict[Kind, Any] = {
    **dict.fromkeys(
        ("amount", "ball grams", "ball metres", "reserve", "tex", "class", "pieces", "chest", "stitches", "rows"), None
    ),
    "fibre": Blend(),
    "wash": "unknown",
    **dict.fromkeys(("plans", "fibres", "list"), ()),
    **dict.fromkeys(("head", "hand", "foot"), None),
    "eyes": ORDINARY,
}
