"""A collection read from a Parquet file: arrays straight from its columns, no object a lot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from matcher.errors import BadInput, BadSheets, Fault, MatcherError
from matcher.materials.collection import Collection, Once, Several
from matcher.materials.fibre import Blend, Fibre, find_fibre
from matcher.materials.reading.names import readable_name
from matcher.materials.reading.numerals import Unclear, Unreadable
from matcher.reasons.reason import Action, reason
from matcher.store.collection.checking import faults_of
from matcher.store.collection.columns import COLUMNS, FORMAT, LONGEST_NUMBER, ParquetColumn, arrow
from matcher.store.collection.kinds import (
    expected_of,
    figures_found,
    figures_of,
    first_text,
    found_in,
    is_read,
    wholes_of,
)

_WRITTEN_BY = reason("write the file anew with this version of matcher")


def row_groups(path: Path) -> tuple[int, ...]:
    """How many rows each group of a file has; none for a file that can't be read."""
    pa = arrow()
    try:
        with pa.parquet.ParquetFile(path, memory_map=True) as file:
            return tuple(file.metadata.row_group(group).num_rows for group in range(file.num_row_groups))
    except (OSError, ValueError, pa.ArrowException, MemoryError, OverflowError):
        return ()


def read_parquet(
    path: Path, fibres: Sequence[Fibre], called: str = "", groups: Sequence[int] | None = None
) -> Collection:
    """The rows of a file, or of some groups of them; all are of file 0. called : the file's name in what is said of it.

    Raises BadInput for a file that is no collection, and BadSheets with all that is wrong in its columns.
    """
    pa, where = arrow(), called or str(path)
    try:
        if not path.stat().st_size:
            raise BadInput(reason("the file is empty"), where, reason("leave it out, or copy it again"))
        with pa.parquet.ParquetFile(path, memory_map=True) as file:
            _check_ours(file.schema_arrow, where)
            faults = list(_faults_of_columns(pa, file, where))
            if faults:
                raise BadSheets(faults, where)
            whole = range(file.num_row_groups)
            some = list(whole if groups is None else groups)
            before = sum(file.metadata.row_group(one).num_rows for one in whole[: min(some, default=0)])
            _check_format(pa, file.read_row_groups(some, ["format"]).column(0), where)
            beside = file.metadata.metadata or {}
            names = [one.name for one in COLUMNS if one.name != "format"]
            table = file.read_row_groups(some, names).combine_chunks()
    except MatcherError:
        raise
    except (OSError, ValueError, pa.ArrowException, MemoryError, OverflowError) as error:
        what = reason("the file is damaged or no Parquet file")
        if isinstance(error, FileNotFoundError | PermissionError):
            what = reason("the file can't be read")
        raise BadInput(what, where, reason("write it anew, or copy it again")) from None
    try:
        columns = [one for one in COLUMNS if one.name != "format"]
        held = {one.name: _column(pa, one, table.column(one.name), where, before) for one in columns}
    except (ValueError, pa.ArrowException):
        raise BadInput(reason("the file is damaged"), where, _WRITTEN_BY) from None
    if not len(table):
        held |= {"code": _beside(beside, "code", where), "place": _beside(beside, "place", where)}
    del table
    collection = _collection(held, fibres, where)
    if faults := list(faults_of(collection, where, before)):
        raise BadSheets(faults, where)
    return collection


def _check_ours(schema: Any, where: str) -> None:
    """Raises BadInput for a file with few columns of the form: that is none of ours with a fault in it."""
    if 2 * len({one.name for one in COLUMNS}.intersection(schema.names)) < len(COLUMNS):
        todo = reason("write one with {export}", export=Action("export"))
        raise BadInput(reason("it isn't a file that {export} wrote", export=Action("export")), where, todo)


def _faults_of_columns(pa: Any, file: Any, where: str) -> Iterator[Fault]:
    """Columns that are missing or of another type."""
    schema = file.schema_arrow
    for one in COLUMNS:
        if schema.names.count(one.name) != 1:
            yield Fault(where, None, one.name, "", reason("a column of this name"), _WRITTEN_BY)
        elif not is_read(pa, one, kind := schema.field(one.name).type):
            row, found = None, found_in(pa, kind)
            if one.kind in ("whole", "figure") and pa.types.is_string(kind):
                row = first_text(batch.column(0) for batch in file.iter_batches(columns=[one.name]))
                found = reason("figures written as text") if row is None else found
            yield Fault(where, None if row is None else row + 1, one.name, found, expected_of(one), _WRITTEN_BY)


def _check_format(pa: Any, column: Any, where: str) -> None:
    """Raises BadInput for another version of the form than ours."""
    found = pa.compute.unique(column).to_pylist()
    if found not in ([], [FORMAT]):
        newer = any(one is not None and one > FORMAT for one in found)
        todo = reason("bring matcher up to date") if newer else _WRITTEN_BY
        what = reason("the file is of another version of the form than this matcher reads ({ours})", ours=FORMAT)
        raise BadInput(what, where, todo)


def _column(pa: Any, column: ParquetColumn, chunks: Any, where: str, before: int) -> Any:
    """One column as arrays. before : so many rows of the file stand before these."""
    array = chunks.combine_chunks() if chunks.num_chunks != 1 else chunks.chunk(0)
    if array.null_count and not column.may_lack:
        row = int(np.argmax(array.is_null().to_numpy(zero_copy_only=False))) + before + 1
        raise BadSheets([Fault(where, row, column.name, "", reason("a value"))], where)
    if pa.types.is_null(array.type):
        array = array.cast(pa.string() if column.kind == "text" else pa.float64())
    if column.kind == "text":
        return _texts(pa, array, spaced=column.name not in ("code", "place"))
    if column.kind in ("wholes", "figures", "texts"):
        values = array.flatten()
        if values.null_count:
            raise BadSheets([Fault(where, None, column.name, "", reason("no empty place in a list"))], where)
        number = pa.compute.list_value_length(array).to_numpy(zero_copy_only=False)
        start = np.concatenate([[0], np.cumsum(number)]).astype(np.intp)
        if column.kind == "texts":
            return Several(start, _short_texts(pa, column, values, where))
        if column.kind == "figures":
            return Several(start, figures_of(pa, values))
        rows = np.repeat(np.arange(len(array)), np.diff(start))
        return Several(start, _wholes(pa, column, values, where, rows + before))
    if column.kind == "whole":
        return _wholes(pa, column, array, where, np.arange(len(array)) + before)
    return figures_of(pa, array)


def _wholes(pa: Any, column: ParquetColumn, array: Any, where: str, rows: npt.NDArray[np.intp]) -> npt.NDArray[np.intp]:
    """Whole numbers. rows : the row of each, from 0. Raises BadSheets where one is none."""
    whole, none = wholes_of(pa, array)
    if none.any():
        at = int(np.argmax(none))
        found = figures_found(figures_of(pa, array.slice(at, 1)))
        raise BadSheets([Fault(where, int(rows[at]) + 1, column.name, found, reason("a whole number"))], where)
    return whole


def _indexes(array: Any) -> npt.NDArray[np.intp]:
    return np.asarray(array.to_numpy(zero_copy_only=False)).astype(np.intp)


def _short_texts(pa: Any, column: ParquetColumn, values: Any, where: str) -> npt.NDArray[Any]:
    """Texts as one array, each as wide as the longest: a long one is a fault. Raises BadSheets."""
    values = values.cast(pa.string())
    if (pa.compute.max(pa.compute.utf8_length(values)).as_py() or 0) > LONGEST_NUMBER:
        expected = reason("at most {most} letters and digits", most=LONGEST_NUMBER)
        raise BadSheets([Fault(where, None, column.name, "", expected)], where)
    return np.asarray(values.to_numpy(zero_copy_only=False)).astype(np.str_)


def _texts(pa: Any, array: Any, spaced: bool = True) -> Once[str]:
    """A column of text; what is not there is "". spaced : spaces stand as they are; else names are the same that differ
    by them alone, as wherever a name is read."""
    if not pa.types.is_dictionary(array.type):
        array = array.dictionary_encode()
    at = _indexes(array.indices.fill_null(-1))
    words = ["" if one is None else str(one) for one in array.dictionary.to_pylist()]
    if not spaced:
        words = [" ".join(filter(None, one.split(" "))) for one in words]
    # A dictionary may hold a text twice, and "" beside what is not there.
    places: dict[str, int] = {}
    to = [places.setdefault(one, len(places)) for one in words]
    to.append(places.setdefault("", len(places)) if array.null_count else -1)
    return Once(np.array(to, dtype=np.intp)[at], tuple(places))


def _beside(metadata: Mapping[bytes, bytes], name: str, where: str) -> Once[str]:
    """Whose a file without rows is, or where it lies. Raises BadSheets."""
    text = metadata.get(name.encode(), b"").decode(errors="replace")
    try:
        return Once(np.zeros(0, dtype=np.intp), (readable_name(text),))
    except Unreadable as fault:
        raise BadSheets([Fault(where, None, name, "", fault.expected, fault.mend)], where) from None


def _collection(held: dict[str, Any], fibres: Sequence[Fibre], where: str) -> Collection:
    blends, faults = [], []
    for text in held["fibre"].values:
        try:
            blends.append(_blend(text, fibres))
        except (Unclear, ValueError):
            blends.append(Blend())
            expected = reason("fibres that the catalogue has, each with its share, such as wool 0.8, nylon 0.2")
            faults.append(Fault(where, None, "fibre", "", expected))
    for name in ("lab", "lab_sd"):
        if (held[name].number % 3).any():
            faults.append(Fault(where, None, name, "", reason("three figures for each colour")))
    if faults:
        raise BadSheets(dict.fromkeys(faults), where)
    lengths = len(held["tex"])
    return Collection(
        file=np.zeros(lengths, dtype=np.intp),
        member=held["code"],
        place=held["place"],
        number=held["lot"],
        yarn=held["yarn"],
        colour=held["colour"],
        dye_lot=held["dye_lot"],
        tex=held["tex"],
        tex_sd=held["tex_sd"],
        tex_from=held["tex_from"],
        weight_class=held["class"],
        blend=Once(held["fibre"].at, tuple(blends)),
        wash=held["wash"],
        lab=_labs(held["lab"]),
        share=held["share"],
        lab_sd=_labs(held["lab_sd"]),
        free_m=held["free_m"],
        free_sd_m=held["free_sd_m"],
        garment=held["garment"],
        ball_g=held["ball_g"],
        apart=held["apart"],
    )


def _blend(text: str, fibres: Sequence[Fibre]) -> Blend:
    """What `fibre_words` wrote. Raises Unclear and ValueError."""
    told = not text.endswith(" ?")
    parts = []
    for part in text.removesuffix(" ?").split(", ") if text else ():
        name, _, share = part.rpartition(" ")
        parts.append((find_fibre(name, fibres), float(share)))
    if any(not 0.0 < share <= 1.0 for _, share in parts) or sum(share for _, share in parts) > 1.0 + 1e-6:
        raise ValueError(text)
    return Blend(tuple(parts), told)


def _labs(flat: Several) -> Several:
    return Several(flat.start // 3, flat.values.reshape(-1, 3))
