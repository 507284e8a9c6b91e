"""Rows of both sheets to lots and garments: what one cell alone cannot show is checked here."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from matcher.errors import MOST_TOLD, Fault
from matcher.materials.lots import Bin, Garment, Lot
from matcher.materials.reading.amounts import Amount
from matcher.materials.reading.bands import LENGTH, MASS, whole_band
from matcher.materials.reading.gauges import whole_gauge
from matcher.materials.reading.names import did_you_mean, fold
from matcher.materials.reading.numerals import Unreadable, shorten
from matcher.materials.rules import SheetLimits
from matcher.materials.thickness import Thickness, tex_of_thickness
from matcher.materials.yarn import (
    Yarn,
    class_of_tex,
    length_on_hand,
    tex_told,
)
from matcher.reasons.quantities import Band, Length, Mass, Tex
from matcher.reasons.reason import Column, Reason, Words, counted, listed, reason
from matcher.store.catalogue.standards import Standards
from matcher.store.sheets.by_column import ByColumn
from matcher.store.sheets.cells import CellReader
from matcher.store.sheets.columns import GARMENTS, LOTS
from matcher.store.sheets.people import check_names, people_of
from matcher.store.sheets.tabulate import Row, Table, or_renamed
from matcher.store.sheets.understood import Understood

_Cells = Mapping[str, Any]  # values of a row by column, as its reader gives them
_ToldYarn = tuple[Yarn, tuple[Reason, ...]]
_HEAVY = reason(
    "{grams} and {metres}, or {tex}, or {number}",
    grams=Column("ball_grams"),
    metres=Column("ball_metres"),
    tex=Column("tex"),
    number=Column("class"),
)


def build_bin(
    lots: Table | None,
    garments: Table | None,
    garments_known: bool,
    catalogue: Standards,
    source: str,
    faults: list[Fault],
    notes: list[Words],
    understood: Understood | None = None,
    people: Table | None = None,
) -> Bin:
    """The bin as far as the rows allow; faults and notes are added to the lists, odd cells to `understood`.

    garments_known: whether the garments could be read at all, so that a lot may be held to them.
    """
    reader = CellReader(catalogue)
    understood = Understood() if understood is None else understood
    found: dict[str, Garment] = {}
    names: dict[str, str] = {}  # folded name -> name, of every garment row that has one, faulty or not
    if garments is not None:
        names = check_names(garments, GARMENTS.thing, faults)
        garments = replace(garments, rows=[replace(row, cells=whole_gauge(row.cells)) for row in garments.rows])
        by_column = ByColumn(reader, garments, GARMENTS)
        for at in range(len(garments.rows)):
            parsed = by_column.row(at, faults, understood)
            if parsed is not None:
                found[parsed["garment"]] = _garment(parsed)
    built: list[Lot] = []
    yarns: dict[tuple[str | None, ...], _ToldYarn] = {}
    of_yarn = tuple(rule.name for rule in LOTS.rules.values() if rule.yarn)
    if lots is not None:
        check_names(lots, LOTS.thing, faults)
        told = any(fault.where == lots.where and fault.row for fault in faults)
        if not lots.rows and not told:
            at_least = reason("at least one lot below the header")
            faults.append(Fault(lots.where, None, None, "", at_least, reason("add a row")))
        lots = replace(lots, rows=[_with_band(row) for row in lots.rows])
        no_density = _no_density_columns(lots, reader, faults, understood)
        by_column, sound = ByColumn(reader, lots, LOTS), set()
        # The garment that each lot names, as its own sheet has it.
        homes = {text: names.get(fold(text)) for text in {row.cells.get("garment", "") for row in lots.rows}}
        unknown = 0
        for at, row in enumerate(lots.rows):
            before = len(faults)
            if row.bad or (band := _band(row)) not in sound:
                _check_density(row, lots.where, no_density, reader, faults)
                if len(faults) == before and not row.bad:
                    sound.add(band)
            parsed = by_column.row(at, faults, understood)
            garment = row.cells.get("garment", "")
            if garment and garments_known and homes[garment] is None:
                unknown += 1
                faults.append(_unknown_garment(row, lots.where, garment, names if unknown <= MOST_TOLD else {}))
            if parsed is not None and len(faults) == before and not no_density:
                cells = tuple(map(row.cells.get, of_yarn))
                if cells not in yarns:  # lots of one yarn are many
                    yarns[cells] = _yarn(parsed, catalogue)
                yarn, remarks = yarns[cells]
                lot, more = _lot(parsed, yarn, homes[garment] or parsed["garment"], catalogue)
                # Lots of a store stand in no row.
                place = f"{lots.where}:{row.number} {lot.name}" if row.number else lot.name
                notes.extend(reason("{lot}: {remark}", lot=place, remark=remark) for remark in (*remarks, *more))
                built.append(lot)
    known = people_of(people, reader, faults, understood) if people is not None else {}
    return Bin(_with_codes_of_their_own(built), found, source, tuple(notes), people=known)


def _with_band(row: Row) -> Row:
    """The row; where one cell holds the whole ball band, it stands in both columns."""
    cells = whole_band(row.cells)
    return row if cells is row.cells else replace(row, cells=dict(cells))


def _no_density_columns(lots: Table, reader: CellReader, faults: list[Fault], understood: Understood) -> bool:
    """True, with one fault, when the sheet has no columns at all that tell how heavy the yarns are. Where it has half
    a ball band and no cell of that can be read, each cell tells what is missing."""
    if {"ball_grams", "ball_metres"} <= lots.columns or lots.columns & {"tex", "class"}:
        return False
    if any({"ball_grams", "ball_metres"} <= row.cells.keys() for row in lots.rows):  # a whole band in one cell
        return False
    half = [(LOTS[name].kind, row.cells[name]) for row in lots.rows for name in (MASS, LENGTH) if name in row.cells]
    if half and not any(reader.reads(kind, text) for kind, text in half):
        return False
    expected = reason("columns {columns}", columns=_HEAVY)
    mend: Words = reason("add {column}, if nothing else is known: 3 or DK", column=Column("class"))
    if strange := [one.heading for one in understood.headings if one.where == lots.where and not one.column]:
        add = reason("add {column}, such as 3 or DK", column=Column("class"))
        columns = (Column(name) for name in ("ball_grams", "ball_metres", "tex", "class"))
        mend = or_renamed(add, listed(columns, "or"), strange)
    faults.append(Fault(lots.where, lots.header_row, "ball_grams", "", expected, mend))
    return True


def _band(row: Row) -> tuple[str | None, str | None, bool]:
    """All that tells how heavy the yarn of a row is, as far as it is checked."""
    cells = row.cells
    return cells.get("ball_grams"), cells.get("ball_metres"), "tex" in cells or "class" in cells


def _check_density(row: Row, where: str, no_columns: bool, reader: CellReader, faults: list[Fault]) -> None:
    """How heavy the yarn is must be known from somewhere, and a ball band must make sense."""
    given = row.cells.keys() | row.bad
    grams, metres = "ball_grams" in given, "ball_metres" in given
    otherwise = no_columns or bool(given & {"tex", "class"})
    if grams != metres and not otherwise:
        filled, empty = ("ball_grams", "ball_metres") if grams else ("ball_metres", "ball_grams")
        if filled in row.bad or not reader.reads(LOTS[filled].kind, row.cells[filled]):
            return  # told by the row's own check, which says what of a ball band is missing
        both = "both {grams} and {metres} ({cells})"
        cells = reason(LOTS[empty].holds)
        expected = reason(both, grams=Column("ball_grams"), metres=Column("ball_metres"), cells=cells)
        said = "fill it in from the ball band, or give {tex} or {number} instead"
        mend = reason(said, tex=Column("tex"), number=Column("class"))
        faults.append(Fault(where, row.number, empty, "", expected, mend))
    elif not grams and not metres and not otherwise:
        mend = reason("give {column}, such as 3 or DK", column=Column("class"))
        faults.append(Fault(where, row.number, "ball_grams", "", _HEAVY, mend))
    elif grams and metres and not row.bad & {"ball_grams", "ball_metres"}:
        try:
            reader.check_ball_band(row.cells["ball_grams"], row.cells["ball_metres"])
        except Unreadable as fault:
            faults.append(Fault(where, row.number, "ball_metres", fault.found, fault.expected, fault.mend))


def _unknown_garment(row: Row, where: str, garment: str, names: Mapping[str, str]) -> Fault:
    mend = did_you_mean(garment, names.values()) or reason("add the garment, or clear the cell")
    expected = reason("a garment of the garments sheet")
    return Fault(where, row.number, "garment", shorten(garment), expected, mend)


def _garment(row: _Cells) -> Garment:
    return Garment(
        name=row["garment"],
        kind=row["kind"],
        status=row["status"],
        wearer=row["wearer"],
        chest_cm=row["chest_cm"],
        stitches_10cm=row["stitches_10cm"],
        rows_10cm=row["rows_10cm"],
        alterations=row["plans"],
        motif=row["motif"],
        note=row["note"],
        mending=row["mending"],
    )


def _lot(row: _Cells, yarn: Yarn, garment: str, catalogue: Standards) -> tuple[Lot, list[Reason]]:
    """The lot, and remarks about it."""
    rules, remarks = catalogue.measuring, []
    weight: Amount = row["grams"]
    pieces, mass_g, ball_g = row["pieces"] or weight.pieces, weight.mass.mean, row["ball_grams"]
    if pieces is None:  # a lot heavier than a ball is several balls
        pieces = max(1, math.ceil(mass_g / ball_g - rules.full_ball_tolerance)) if ball_g else 1
    elif ball_g and mass_g > pieces * ball_g * catalogue.limits.agreement_ratio:
        said = "{mass} in {pieces} is more than balls of {ball} weigh; are there more pieces?"
        number = counted(pieces, "{n} piece", "{n} pieces")
        remarks.append(reason(said, mass=Mass(mass_g), pieces=number, ball=Band(ball_g)))
    length = length_on_hand(mass_g, yarn.tex, pieces, yarn.blend, rules, weight.mass.sd)
    if row["reserve"] is not None and row["reserve"] > length.mean:
        said = "{reserve} are to be held back, but about {length} are there; all of it is held"
        remarks.append(reason(said, reserve=Length(row["reserve"]), length=Length(length.mean)))
    lot = Lot(
        name=row["lot"],
        garment=garment,
        yarn=yarn,
        colour=row["colour"],
        colour_name=row["colour_name"],
        mass_g=mass_g,
        mass_sd_g=weight.mass.sd,
        pieces=pieces,
        ball_g=ball_g,
        dye_lot=row["dye_lot"],
        label=row["label"],
        reserve_m=row["reserve"],
        place=row["place"],
        note=row["note"],
        role=row["role"],
        length=length,
        full_ball_tolerance=rules.full_ball_tolerance,
        weighed_on=row["weighed_on"],
        code=row["code"],
    )
    return lot, remarks


def _with_codes_of_their_own(lots: Sequence[Lot]) -> tuple[Lot, ...]:
    """The lots; without codes where two of them share one, since then these are no codes of tags."""
    shared = any(number > 1 for number in Counter(lot.code for lot in lots if lot.code).values())
    return tuple(replace(lot, code="") for lot in lots) if shared else tuple(lots)


def _yarn(row: _Cells, catalogue: Standards) -> _ToldYarn:
    """Linear density from the ball band, else from tex, else from the class; remarks where they disagree."""
    classes, rules, limits = catalogue.classes, catalogue.measuring, catalogue.limits
    remarks: list[Reason] = []
    name, blend, wash, given = row["yarn"], row["fibre"], row["wash"], row["tex"]
    told = tex_told(row["ball_grams"], row["ball_metres"], given, rules)
    if told is None:
        thickness: Thickness = row["class"] or Thickness((classes[0].number,))
        tex = tex_of_thickness(thickness, classes, rules)
        among = [entry for entry in classes if entry.number in thickness.classes]
        return Yarn(name, tex, "class", class_of_tex(tex.mean, among), blend, wash), ()
    tex, how = told
    if how == "ball band" and given is not None and not _agree(given, tex.mean, tex.mean, limits):
        said = "tex says {given}, but the ball band makes {made}; the ball band is used"
        remarks.append(reason(said, given=Tex(given), made=Tex(tex.mean)))
    usual = class_of_tex(tex.mean, classes)
    numbers: tuple[int, ...] = row["class"].classes if row["class"] is not None else ()
    named = [entry for entry in classes if entry.number in numbers]
    fitting = [entry for entry in named if _agree(tex.mean, entry.tex_min, entry.tex_max, limits)]
    if fitting:
        usual = class_of_tex(tex.mean, fitting)
    elif named:
        said = "class {given} is given, but {tex} is usual for class {usual}; class {usual} is used"
        given_class = listed((str(entry.number) for entry in named), "or")
        remarks.append(reason(said, given=given_class, tex=Tex(tex.mean), usual=usual))
    return Yarn(name, tex, how, usual, blend, wash), tuple(remarks)


def _agree(tex: float, low: float, high: float, limits: SheetLimits) -> bool:
    return low / limits.agreement_ratio <= tex <= high * limits.agreement_ratio
