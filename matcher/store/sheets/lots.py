"""Rows of both sheets to lots and garments: what one cell alone cannot show is checked here."""

from __future__ import annotations

import math
from collections.abc import Sequence
from difflib import get_close_matches
from typing import TYPE_CHECKING

from matcher.errors import Fault
from matcher.materials.lots import Bin, Garment, Lot
from matcher.materials.reading.dye_lots import known_dye_lot
from matcher.materials.reading.numerals import shorten
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import (
    WeightClass,
    Yarn,
    class_of_tex,
    length_on_hand,
    tex_from_ball,
    tex_from_class,
    tex_measured,
)
from matcher.store.codes import fold
from matcher.store.sheets.columns import GARMENTS, LOTS, Row, Table
from matcher.store.sheets.rows import (
    LEAST_TEX,
    MOST_TEX,
    GarmentRow,
    LotRow,
    Words,
    grams_cell,
    metres_cell,
    validate,
)

if TYPE_CHECKING:  # sheets loads this module late, to keep pydantic out of quick commands
    from matcher.store.sheets.read import Standards

# A remark is made when tex lies outside its class, or two figures for tex differ, by more than this ratio.
CLASS_SLACK = 1.25
# The cells that a lot's yarn is made of; the yarn, and remarks about it.
_OF_YARN = ("yarn", "ball_grams", "ball_metres", "tex", "class", "fibre", "wash")
_ToldYarn = tuple[Yarn, tuple[str, ...]]


def build_bin(
    lots: Table | None,
    garments: Table | None,
    garments_known: bool,
    catalogue: Standards,
    source: str,
    faults: list[Fault],
    notes: list[str],
) -> Bin:
    """The bin as far as the rows allow; faults and notes are added to the lists.

    garments_known: whether the garments could be read at all, so that a lot may be held to them.
    """
    words = Words(catalogue.classes, catalogue.fibres, catalogue.colour_words)
    found: dict[str, Garment] = {}
    names: dict[str, str] = {}  # folded name -> name, of every garment row that has one, faulty or not
    if garments is not None:
        names = _check_names(garments, "garment", faults)
        missing = frozenset(GARMENTS.needed) - garments.columns
        for row in garments.rows:
            parsed = validate(row, GarmentRow, GARMENTS, garments.where, words, missing, faults)
            if parsed is not None:
                found[parsed.garment] = _garment(parsed)
    built: list[Lot] = []
    yarns: dict[tuple[str | None, ...], _ToldYarn] = {}
    if lots is not None:
        _check_names(lots, "lot", faults)
        told = any(fault.where == lots.where and fault.row for fault in faults)
        if not lots.rows and not told:
            faults.append(Fault(lots.where, None, None, "", "at least one lot below the header", "add a row"))
        missing = frozenset(LOTS.needed) - lots.columns
        no_density = _no_density_columns(lots, faults)
        for row in lots.rows:
            _check_density(row, lots.where, no_density, faults)
            parsed_lot = validate(row, LotRow, LOTS, lots.where, words, missing, faults)
            garment = row.cells.get("garment", "")
            if garment and garments_known and fold(garment) not in names:
                faults.append(_unknown_garment(row, lots.where, garment, names))
            if parsed_lot is not None and not faults:
                # Lots of a store stand in no row.
                place = f"{lots.where}:{row.number} {parsed_lot.lot}" if row.number else parsed_lot.lot
                cells = tuple(map(row.cells.get, _OF_YARN))
                if cells not in yarns:  # lots of one yarn are many
                    yarns[cells] = _yarn(parsed_lot, catalogue)
                built.append(_lot(parsed_lot, yarns[cells], names, catalogue, place, notes))
    return Bin(tuple(built), found, source, tuple(notes))


def _check_names(table: Table, column: str, faults: list[Fault]) -> dict[str, str]:
    first: dict[str, int] = {}
    names: dict[str, str] = {}
    for row in table.rows:
        name = row.cells.get(column, "")
        folded = fold(name)
        if not folded:
            continue
        if folded in first:
            expected = f"a name of its own; row {first[folded]} has it already"
            mend = "add a number or the dye lot to one of the names"
            faults.append(Fault(table.where, row.number, column, shorten(name), expected, mend))
        first.setdefault(folded, row.number)
        names.setdefault(folded, " ".join(name.split()))
    return names


def _no_density_columns(lots: Table, faults: list[Fault]) -> bool:
    """True, with one fault, when the sheet has no columns at all that tell how heavy the yarns are."""
    if {"ball_grams", "ball_metres"} <= lots.columns or lots.columns & {"tex", "class"}:
        return False
    expected = "columns ball_grams and ball_metres, or tex, or class"
    mend = "add class, if nothing else is known: 3 or DK"
    faults.append(Fault(lots.where, lots.header_row, "ball_grams", "", expected, mend))
    return True


def _check_density(row: Row, where: str, no_columns: bool, faults: list[Fault]) -> None:
    """How heavy the yarn is must be known from somewhere, and a ball band must make sense."""
    given = row.cells.keys() | row.bad
    grams, metres = "ball_grams" in given, "ball_metres" in given
    otherwise = bool(given & {"tex", "class"})
    if grams != metres and not otherwise and not no_columns:
        empty = "ball_metres" if grams else "ball_grams"
        expected = f"both ball_grams and ball_metres ({LOTS.known[empty]})"
        mend = "fill it in from the ball band, or give tex or class instead"
        faults.append(Fault(where, row.number, empty, "", expected, mend))
    elif not grams and not metres and not otherwise and not no_columns:
        expected = "ball_grams and ball_metres, or tex, or class"
        faults.append(Fault(where, row.number, "ball_grams", "", expected, "give class, such as 3 or DK"))
    elif grams and metres and not row.bad & {"ball_grams", "ball_metres"}:
        try:
            tex = 1000 * grams_cell(row.cells["ball_grams"]) / metres_cell(row.cells["ball_metres"])
        except ValueError:
            return  # told by the row's own check
        if not LEAST_TEX <= tex <= MOST_TEX:
            found = f"{row.cells['ball_metres']} in {row.cells['ball_grams']}"
            expected = f"a ball band that makes {LEAST_TEX:.0f} to {MOST_TEX:.0f} tex, not {round(tex, 1):.9g}"
            mend = "are grams and metres in the right columns?"
            faults.append(Fault(where, row.number, "ball_metres", shorten(found), expected, mend))


def _unknown_garment(row: Row, where: str, garment: str, names: dict[str, str]) -> Fault:
    near = get_close_matches(fold(garment), list(names), n=1, cutoff=0.6)
    mend = f"did you mean {names[near[0]]}?" if near else "add the garment, or clear the cell"
    return Fault(where, row.number, "garment", shorten(garment), "a garment of the garments sheet", mend)


def _garment(row: GarmentRow) -> Garment:
    return Garment(
        name=row.garment,
        kind=row.kind.casefold(),
        status=row.status,
        wearer=row.wearer,
        chest_cm=row.chest_cm,
        stitches_10cm=row.stitches_10cm,
        rows_10cm=row.rows_10cm,
        alterations=row.plans,
        motif=row.motif,
        note=row.note,
    )


def _lot(
    row: LotRow, told: _ToldYarn, names: dict[str, str], catalogue: Standards, place: str, notes: list[str]
) -> Lot:
    rules = catalogue.measuring
    yarn, remarks = told
    notes.extend(f"{place}: {remark}" for remark in remarks)
    pieces = row.pieces
    if pieces is None:  # a lot heavier than a ball is several balls
        balls = row.grams / row.ball_grams - rules.full_ball_tolerance if row.ball_grams else 1.0
        pieces = max(1, math.ceil(balls))
    elif row.ball_grams and row.grams > pieces * row.ball_grams * CLASS_SLACK:
        notes.append(
            f"{place}: {row.grams:.6g} g in {pieces} piece(s) is more than balls of "
            f"{row.ball_grams:.6g} g weigh; are there more pieces?"
        )
    length = length_on_hand(row.grams, yarn.tex, pieces, row.fibre, rules)
    if row.reserve is not None and row.reserve > length.mean:
        notes.append(
            f"{place}: {row.reserve:.6g} m are to be held back, but about {length.mean:.0f} m are there; "
            "all of it is held"
        )
    return Lot(
        name=row.lot,
        garment=names.get(fold(row.garment), row.garment),
        yarn=yarn,
        colour=row.colour,
        colour_name=row.colour_name,
        mass_g=row.grams,
        pieces=pieces,
        ball_g=row.ball_grams,
        dye_lot=known_dye_lot(row.dye_lot),
        label=row.label,
        reserve_m=row.reserve,
        place=row.place,
        note=row.note,
        role=fold(row.role),
        length=length,
        full_ball_tolerance=rules.full_ball_tolerance,
    )


def _yarn(row: LotRow, catalogue: Standards) -> _ToldYarn:
    """Linear density from the ball band, else from tex, else from the class; remarks where they disagree."""
    classes, rules = catalogue.classes, catalogue.measuring
    notes: list[str] = []
    if row.ball_grams is not None and row.ball_metres is not None:
        tex, how = tex_from_ball(row.ball_grams, row.ball_metres, rules), "ball band"
        if row.tex is not None and not _agree(row.tex, tex.mean, tex.mean):
            notes.append(f"tex says {row.tex:.4g}, but the ball band makes {tex.mean:.4g}; the ball band is used")
    elif row.tex is not None:
        tex, how = tex_measured(row.tex, rules), "tex"
    else:
        number = row.weight_class if row.weight_class is not None else classes[0].number
        return Yarn(row.yarn, tex_from_class(number, classes), "class", number, row.fibre, row.wash), ()
    yarn = Yarn(row.yarn, tex, how, _class(row, tex, classes, notes), row.fibre, row.wash)
    return yarn, tuple(notes)


def _class(row: LotRow, tex: Estimate, classes: Sequence[WeightClass], notes: list[str]) -> int:
    usual = class_of_tex(tex.mean, classes)
    if row.weight_class is None:
        return usual
    said = next(entry for entry in classes if entry.number == row.weight_class)
    if _agree(tex.mean, said.tex_min, said.tex_max):
        return said.number
    notes.append(
        f"class {said.number} is given, but {tex.mean:.0f} tex is usual for class {usual}; class {usual} is used"
    )
    return usual


def _agree(tex: float, low: float, high: float) -> bool:
    return low / CLASS_SLACK <= tex <= high * CLASS_SLACK
