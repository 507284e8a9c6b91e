"""Several stocks as one: their rows one after the other, and their tables made one."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from matcher.matching.pools import Stock, kind_tables
from matcher.matching.taken import one_after_another

T = TypeVar("T", bound=Hashable)
Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
N = TypeVar("N", bound=np.generic)


def joined_stocks(parts: Sequence[Stock]) -> Stock:
    """One stock of several that go by the same rules, in their order.

    Yarns of one name are one yarn wherever they stand; garments are the same where their names in `garments` are,
    which hold whose they are (see `stock_of`). Raises ValueError for no parts.
    """
    if not parts:
        raise ValueError("no stock to join")
    first = parts[0]
    if len(parts) == 1:
        return first
    kinds, of_kinds = _one_table([one.kinds for one in parts])
    garments, of_garments = _one_table([one.garments for one in parts])
    yarn_names, of_yarns = _one_table([one.yarn_names for one in parts])
    labs, sds, of_colours = _one_palette(parts)
    same_kinds = all(one.kinds is first.kinds for one in parts)
    return Stock(
        one_after_another([one.pools for one in parts]),
        np.concatenate([one.free_m for one in parts]),
        np.concatenate([one.sd_m for one in parts]),
        np.concatenate([one.tex for one in parts]),
        _one_array([of[one.part] for one, of in zip(parts, of_colours, strict=True)], repeated=True),
        _one_array([one.share for one in parts], 0.0),
        labs,
        sds,
        np.concatenate([of[one.kind] for one, of in zip(parts, of_kinds, strict=True)]),
        kinds,
        *((first.beside, first.on_skin) if same_kinds else kind_tables(kinds, first.rules)),
        _one_array([of[one.homes] for one, of in zip(parts, of_garments, strict=True)], -1),
        garments,
        np.concatenate([of[one.yarns] for one, of in zip(parts, of_yarns, strict=True)]),
        yarn_names,
        first.rules,
    )


def _one_table(tables: Sequence[tuple[T, ...]]) -> tuple[tuple[T, ...], list[Indexes]]:
    """All that stands in any of them, once; and for each the new places of its own, -1 staying -1."""
    if all(one is tables[0] for one in tables):
        return tables[0], [np.append(np.arange(len(tables[0])), -1)] * len(tables)
    places: dict[T, int] = {}
    new = [np.array([*(places.setdefault(one, len(places)) for one in table), -1], dtype=np.intp) for table in tables]
    return tuple(places), new


def _one_palette(parts: Sequence[Stock]) -> tuple[Floats, Floats, list[Indexes]]:
    """The same of colours with their spreads, in the order in which they are met."""
    first = parts[0]
    if all(one.labs is first.labs and one.sds is first.sds for one in parts):
        return first.labs, first.sds, [np.arange(len(first.labs))] * len(parts)
    rows = np.concatenate([np.hstack([one.labs, one.sds]) for one in parts])
    _, met, of = np.unique(rows, axis=0, return_index=True, return_inverse=True)
    order = np.argsort(met)
    place = np.empty_like(order)
    place[order] = np.arange(len(order))
    rows, ends = rows[met[order]], np.cumsum([len(one.labs) for one in parts])
    return rows[:, :3], rows[:, 3:], np.split(place[of.ravel()], ends[:-1])


def _one_array(rows: Sequence[npt.NDArray[N]], empty: float = 0.0, repeated: bool = False) -> npt.NDArray[N]:
    """Rows of several widths one after the other; shorter ones end in what is empty, or repeat their first."""
    wide = max(one.shape[1] for one in rows)
    full = []
    for one in rows:
        more = wide - one.shape[1]
        rest = np.repeat(one[:, :1], more, axis=1) if repeated else np.full((len(one), more), empty, dtype=one.dtype)
        full.append(np.hstack([one, rest]) if more else one)
    return np.concatenate(full)
