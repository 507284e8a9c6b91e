"""A collection written as a Parquet file: the same rows, the same bytes."""

from __future__ import annotations

from typing import Any

import numpy as np

from matcher.materials.collection import Collection, Once, Several
from matcher.materials.fibre import Blend
from matcher.store.collection.columns import COLUMNS, FORMAT, GROUP, ParquetColumn, arrow, types


def parquet_of(collection: Collection) -> bytes:
    """The file's bytes. Raises BadInput where the library for it is not there."""
    pa = arrow()
    held = {
        "format": np.full(len(collection), FORMAT),
        "code": collection.member,
        "place": collection.place,
        "lot": collection.number,
        "yarn": collection.yarn,
        "class": collection.weight_class,
        "tex": collection.tex,
        "tex_sd": collection.tex_sd,
        "tex_from": collection.tex_from,
        "fibre": Once(collection.blend.at, tuple(map(fibre_words, collection.blend.values))),
        "wash": collection.wash,
        "colour": collection.colour,
        "lab": _flat(collection.lab),
        "share": collection.share,
        "lab_sd": _flat(collection.lab_sd),
        "free_m": collection.free_m,
        "free_sd_m": collection.free_sd_m,
        "garment": collection.garment,
        "dye_lot": collection.dye_lot,
        "ball_g": collection.ball_g,
        "apart": collection.apart,
    }
    kinds = types(pa)
    arrays = [_array(pa, one, held[one.name], kinds[one.kind]) for one in COLUMNS]
    schema = pa.schema([pa.field(one.name, kinds[one.kind], one.may_lack, {"means": one.means}) for one in COLUMNS])
    sink = pa.BufferOutputStream()
    with pa.parquet.ParquetWriter(sink, schema, compression="zstd", store_schema=False) as writer:
        writer.write_table(pa.Table.from_arrays(arrays, schema=schema), GROUP)
        writer.add_key_value_metadata(_whose(collection))
    written: bytes = sink.getvalue().to_pybytes()
    return written


def _whose(collection: Collection) -> dict[str, str]:
    """Beside the rows, whose file it is and where it lies, where no row says so."""
    if len(collection):
        return {}
    return {"code": "".join(collection.member.values[:1]), "place": "".join(collection.place.values[:1])}


def fibre_words(blend: Blend) -> str:
    """A blend as text that gives back the very shares."""
    parts = ", ".join(f"{fibre.name} {share!r}" for fibre, share in blend.parts)
    return parts if blend.told or not parts else f"{parts} ?"


def _array(pa: Any, column: ParquetColumn, held: Any, kind: Any) -> Any:
    if isinstance(held, Once):
        # "" is nothing, which a column that may lack says as such.
        lacks = np.array([not one for one in held.values], dtype=bool)[held.at] if column.may_lack else None
        return pa.DictionaryArray.from_arrays(
            pa.array(held.at, pa.int32(), mask=lacks), pa.array(held.values, pa.string())
        )
    if isinstance(held, Several):
        return pa.ListArray.from_arrays(pa.array(held.start, pa.int32()), pa.array(held.values, kind.value_type))
    return pa.array(held, kind, mask=np.isnan(held) if column.may_lack else None)


def _flat(labs: Several) -> Several:
    return Several(3 * labs.start, labs.values.reshape(-1))
