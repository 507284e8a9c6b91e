"""What a column of a Parquet file may be made of: other writers have types of their own for the same values."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import Any

import numpy as np
import numpy.typing as npt

from matcher.reasons.quantities import Number
from matcher.reasons.reason import Term, Words, listed, reason
from matcher.store.collection.columns import Kind, ParquetColumn

_MOST_SHOWN = 6  # figures of one row in what is said of it: a choice, two colours
_LARGE, _DECIMALS = 1e9, 6  # a figure of more is shown by its powers of ten; a choice

_OURS: dict[Kind, Words] = {
    "whole": reason("whole numbers"),
    "figure": reason("figures"),
    "text": reason("text"),
    "wholes": reason("lists of whole numbers"),
    "figures": reason("lists of figures"),
    "texts": reason("lists of text"),
}


def expected_of(column: ParquetColumn) -> Words:
    """What a column should be."""
    return reason("a column of {kind}", kind=_OURS[column.kind])


def is_read(pa: Any, column: ParquetColumn, kind: Any) -> bool:
    """Whether a column is read from this type of its file.

    Figures may be whole numbers or decimals, whole numbers figures without a fraction, names and labels numbers.
    """
    types = pa.types
    if column.may_lack and types.is_null(kind):
        return True  # other writers say so of a column in which nothing stands
    if column.kind in ("wholes", "figures", "texts"):
        if not _is_list(pa, kind):
            return False
        kind = kind.value_type
        if types.is_null(kind):
            return True  # so of lists of which none holds anything
    if column.kind in ("text", "texts"):
        kind = kind.value_type if types.is_dictionary(kind) else kind
        return _is_text(pa, kind) or bool(types.is_integer(kind))
    return _is_figures(pa, kind)


def found_in(pa: Any, kind: Any, several: bool = False) -> Words:
    """What a column of this type holds, in words. several : in lists."""
    types = pa.types
    if _is_list(pa, kind):
        return reason("lists within lists") if several else found_in(pa, kind.value_type, several=True)
    kind = kind.value_type if types.is_dictionary(kind) else kind
    if _is_text(pa, kind):
        return _OURS["texts" if several else "text"]
    if types.is_integer(kind):
        return _OURS["wholes" if several else "whole"]
    if _is_figures(pa, kind):
        return _OURS["figures" if several else "figure"]
    if types.is_null(kind):
        return ""
    return reason("dates or times") if types.is_temporal(kind) else reason("values of another kind")


def _is_list(pa: Any, kind: Any) -> bool:
    return bool(pa.types.is_list(kind) or pa.types.is_large_list(kind))


def _is_text(pa: Any, kind: Any) -> bool:
    return bool(pa.types.is_string(kind) or pa.types.is_large_string(kind))


def _is_figures(pa: Any, kind: Any) -> bool:
    return bool(pa.types.is_integer(kind) or pa.types.is_floating(kind) or pa.types.is_decimal(kind))


def figures_of(pa: Any, array: Any) -> npt.NDArray[np.float64]:
    """Values of any type of figures as ours, nan for what is not there."""
    return np.asarray(array.cast(pa.float64(), safe=False).to_numpy(zero_copy_only=False))


def wholes_of(pa: Any, array: Any) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.bool_]]:
    """Values of any type of figures as whole numbers; and which of them are none."""
    if pa.types.is_integer(array.type):
        whole = np.asarray(array.to_numpy(zero_copy_only=False)).astype(np.intp)
        return whole, np.zeros(len(whole), dtype=bool)
    figures = figures_of(pa, array)
    none = ~(np.abs(figures) < _LARGE) | (figures != np.trunc(figures))
    return np.where(none, 0.0, figures).astype(np.intp), none


def first_text(chunks: Iterator[Any]) -> int | None:
    """Of a column of text, the first row from 0 in which no figure is written; None where each is one."""
    values = chain.from_iterable(chunk.to_pylist() for chunk in chunks)
    return next((row for row, value in enumerate(values) if not _is_figure(value)), None)


def _is_figure(text: str | None) -> bool:
    try:
        float(text or "")
    except ValueError:
        return False
    return True


def figures_found(values: npt.ArrayLike) -> Words:
    """What was found in a row where other figures are expected, so that she knows it again; "" for none."""
    each = np.asarray(values, dtype=np.float64).ravel().tolist()
    told = [_figure_found(one) for one in each[:_MOST_SHOWN]]
    more = [Term("...")] if len(each) > _MOST_SHOWN else []
    return listed([*told, *more]) if told else ""


def _figure_found(value: float) -> Words:
    if np.isnan(value):
        return reason("no number")
    return reason("{n}", n=Number(value, _DECIMALS) if abs(value) < _LARGE else Term(f"{value:.2g}"))
