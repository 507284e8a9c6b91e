"""Named cells to rows with values: one pydantic model for each sheet, its faults turned into ours."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, ConfigDict, Field, PlainValidator, ValidationError, ValidationInfo

from matcher.errors import Fault
from matcher.materials.care import parse_wash
from matcher.materials.colours.colour import Colour, parse_colour
from matcher.materials.fibre import Blend, Fibre, parse_blend
from matcher.materials.lots import STATUSES, Alteration, parse_alterations
from matcher.materials.reading.numerals import Unclear, Unreadable, shorten
from matcher.materials.reading.units import (
    parse_cm,
    parse_count,
    parse_gauge,
    parse_length_m,
    parse_mass_g,
    parse_tex,
)
from matcher.materials.yarn import WeightClass
from matcher.store.sheets.columns import Columns, Row

# Limits of what can be meant: beyond them a cell holds a slip, not a leftover. This project chose them.
MOST_GRAMS = 20_000.0
MOST_METRES = 200_000.0
LEAST_TEX, MOST_TEX = 5.0, 10_000.0
MOST_PIECES = 1000
CHEST_CM = (20.0, 250.0)
STITCHES_10CM = (3.0, 80.0)
ROWS_10CM = (3.0, 140.0)
LONGEST_NAME = 200

_LABELS = {
    **dict.fromkeys(("yes", "y", "true", "whole"), "yes"),
    **dict.fromkeys(("partly", "part", "torn"), "partly"),
    **dict.fromkeys(("no", "n", "false", "none", "lost"), "no"),
}


@dataclass
class Words:
    """What the cells may name: classes, fibres and colour words; with a memory, since cells repeat."""

    classes: Sequence[WeightClass]
    fibres: Sequence[Fibre]
    colours: Mapping[str, str]
    memory: dict[tuple[str, str], Any] = field(default_factory=dict)

    def once(self, kind: str, text: str, parse: Callable[[], Any]) -> Any:
        key = (kind, text)
        if key not in self.memory:
            try:
                self.memory[key] = parse()
            except ValueError as fault:
                self.memory[key] = fault
        value = self.memory[key]
        if isinstance(value, ValueError):
            raise value
        return value


def _within(parse: Callable[[str], float], low: float, high: float, expected: str, mend: str) -> Callable[[Any], float]:
    """A parser that also refuses values outside low..high; low itself is refused when it is 0."""

    def parsed(text: Any) -> float:
        value = parse(text)
        if value > high or value < low or (low == 0 and value == 0):
            zero = value == 0 and parse is parse_mass_g
            raise Unreadable(text, expected, "leave the row out if nothing is left" if zero else mend)
        return value

    return parsed


def _text(text: Any) -> str:
    if len(text) > LONGEST_NAME:
        raise Unreadable(text, f"at most {LONGEST_NAME} characters", "shorten it, and put the rest in note")
    return " ".join(text.split())


def _pieces(text: Any) -> int:
    count = parse_count(text)
    if not 1 <= count <= MOST_PIECES:
        raise Unreadable(text, f"a number of pieces from 1 to {MOST_PIECES}", "count the ends and halve them")
    return count


def _reserve(text: Any) -> float:
    metres = parse_length_m(text)
    if metres > MOST_METRES:
        raise Unreadable(text, f"metres to hold back, at most {MOST_METRES:.0f}", "check the unit")
    return metres


def _label(text: Any) -> str:
    if text.casefold() not in _LABELS:
        raise Unreadable(text, "yes, partly or no", _did_you_mean(text, ("yes", "partly", "no")))
    return _LABELS[text.casefold()]


def _status(text: Any) -> str:
    if text.casefold() not in STATUSES:
        mend = _did_you_mean(text, STATUSES) or "given may come back to be mended, gone will not"
        raise Unreadable(text, "worn, given or gone", mend)
    return str(text.casefold())


def _stitches(text: Any) -> float:
    expected = "stitches in 10 cm such as 22"
    return _gauge_part(text, 0, STITCHES_10CM, expected)


def _rows(text: Any) -> float:
    expected = "rows in 10 cm such as 30"
    return _gauge_part(text, 1, ROWS_10CM, expected)


def _gauge_part(text: str, part: int, limits: tuple[float, float], expected: str) -> float:
    """Stitches or rows alone ("22", "30 rows in 4 in"), or the one of a whole gauge."""
    alone = re.sub(r"\b(?:rows?|rounds?|rnds?|r)\b", "st", text, flags=re.IGNORECASE) if part else text
    try:
        stitches, rows = parse_gauge(text if " x " in text else alone)
    except Unreadable as fault:
        raise Unreadable(text, expected, fault.mend) from fault
    value = rows if part and rows is not None else stitches
    if not limits[0] <= value <= limits[1]:
        mend = f"{limits[0]:.0f} to {limits[1]:.0f} is what knitting has; is it counted over 10 cm?"
        raise Unreadable(text, expected, mend)
    return value


def _class(text: Any, info: ValidationInfo) -> int:
    words: Words = info.context  # type: ignore[assignment]
    return int(words.once("class", text, lambda: parse_class(text, words.classes)))


def _colour(text: Any, info: ValidationInfo) -> Colour:
    words: Words = info.context  # type: ignore[assignment]
    colour: Colour = words.once("colour", text, lambda: parse_colour(text, words.colours))
    return colour


def _fibre(text: Any, info: ValidationInfo) -> Blend:
    words: Words = info.context  # type: ignore[assignment]
    blend: Blend = words.once("fibre", text, lambda: parse_blend(text, words.fibres))
    return blend


def _plans(text: Any) -> tuple[Alteration, ...]:
    return parse_alterations(text)


# A class word that the standard's chart gives to two classes, and the one that knitters mean by it.
_USUAL_CLASS = {"fingering": 1}


def parse_class(text: str, classes: Sequence[WeightClass]) -> int:
    """Class number from "3", "class 3", "DK", "worsted", "super fine". Raises Unreadable."""
    expected = f"a yarn weight class from {classes[0].number} to {classes[-1].number}, or a name such as DK"
    folded = re.sub(r"[\s_-]+", " ", text.casefold()).strip()
    number = re.fullmatch(r"(?:class )?(\d+)(?:\.0)?", folded)
    if number:
        if int(number[1]) not in [entry.number for entry in classes]:
            raise Unreadable(text, expected, "metres and grams of a ball go in ball_metres and ball_grams")
        return int(number[1])
    names: dict[str, list[int]] = {}
    for entry in classes:
        for name in (entry.name, *entry.types):
            names.setdefault(name.casefold(), []).append(entry.number)
    folded = folded.removesuffix(" weight").removesuffix(" yarn")
    numbers = [_USUAL_CLASS[folded]] if folded in _USUAL_CLASS else sorted(set(names.get(folded, [])))
    if not numbers:
        raise Unreadable(text, expected, _did_you_mean(folded, names))
    if len(numbers) > 1:
        raise Unreadable(text, expected, f"that name stands for {' and '.join(map(str, numbers))}: write the number")
    return numbers[0]


def _did_you_mean(text: str, names: Iterable[str]) -> str:
    near = get_close_matches(text.casefold(), list(names), n=1, cutoff=0.6)
    return f"did you mean {near[0]}?" if near else ""


_GRAMS = "a weight above 0 and at most 20 kg"
_TEX = f"a yarn count from {LEAST_TEX:.0f} to {MOST_TEX:.0f} tex"
grams_cell = _within(parse_mass_g, 0, MOST_GRAMS, _GRAMS, "check the unit")
metres_cell = _within(parse_length_m, 0, MOST_METRES, "metres of a full ball, above 0", "check the unit")
tex_cell = _within(parse_tex, LEAST_TEX, MOST_TEX, _TEX, "a sock yarn has about 250; is it the right unit?")
chest_cell = _within(parse_cm, *CHEST_CM, "a chest from 20 to 250 cm", "write inches as 36 in")

Text = Annotated[str, PlainValidator(_text)]


class LotRow(BaseModel):
    """One row of lots, every cell in its unit: grams, metres, tex."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    lot: Text
    colour: Annotated[Colour, PlainValidator(_colour)]
    grams: Annotated[float, PlainValidator(grams_cell)]
    garment: Text = ""
    role: Text = ""
    yarn: Text = ""
    colour_name: Text = ""
    ball_grams: Annotated[float | None, PlainValidator(grams_cell)] = None
    ball_metres: Annotated[float | None, PlainValidator(metres_cell)] = None
    tex: Annotated[float | None, PlainValidator(tex_cell)] = None
    weight_class: Annotated[int | None, PlainValidator(_class), Field(alias="class")] = None
    fibre: Annotated[Blend, PlainValidator(_fibre)] = Blend()
    wash: Annotated[str, PlainValidator(parse_wash)] = "unknown"
    pieces: Annotated[int | None, PlainValidator(_pieces)] = None
    dye_lot: Text = ""
    label: Annotated[str, PlainValidator(_label)] = ""
    reserve: Annotated[float | None, PlainValidator(_reserve)] = None
    place: str = ""
    note: str = ""


class GarmentRow(BaseModel):
    """One row of garments: centimetres, stitches and rows in 10 cm."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    garment: Text
    status: Annotated[str, PlainValidator(_status)]
    kind: Text = ""
    wearer: Text = ""
    chest_cm: Annotated[float | None, PlainValidator(chest_cell)] = None
    stitches_10cm: Annotated[float | None, PlainValidator(_stitches)] = None
    rows_10cm: Annotated[float | None, PlainValidator(_rows)] = None
    plans: Annotated[tuple[Alteration, ...], PlainValidator(_plans)] = ()
    motif: Text = ""
    note: str = ""


Model = TypeVar("Model", bound=BaseModel)


def validate(
    row: Row,
    model: type[Model],
    kind: Columns,
    where: str,
    words: Words,
    missing: frozenset[str],
    faults: list[Fault],
) -> Model | None:
    """The row as a model, or None with its faults added. missing: columns that the sheet does not have."""
    try:
        return model.model_validate(row.cells, context=words)
    except ValidationError as error:
        for fault in error.errors(include_url=False):
            column = str(fault["loc"][0]) if fault["loc"] else ""
            if column in row.bad or column in missing:
                continue
            cause = fault.get("ctx", {}).get("error")
            faults.append(_fault(where, row.number, column, row.cells.get(column, ""), cause, kind))
        return None


def _fault(where: str, number: int, column: str, cell: str, cause: object, kind: Columns) -> Fault:
    expected = kind.known.get(column, "a value")
    if isinstance(cause, Unreadable):
        return Fault(where, number, column, cause.found, cause.expected, cause.mend)
    if not cell:
        return Fault(where, number, column, "", expected, "fill in the cell")
    if isinstance(cause, Unclear):
        return Fault(where, number, column, shorten(cell), expected, cause.said)
    # Other parsers say it in one sentence: 'what; expected ...; hint'. Found and expected are said already.
    parts = [part for part in str(cause).split("; ") if not part.startswith("expected")]
    if len(parts) > 1 and parts[0].startswith('"'):
        parts = parts[1:]
    return Fault(where, number, column, shorten(cell), expected, "; ".join(parts))
