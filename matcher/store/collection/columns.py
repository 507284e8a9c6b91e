"""The columns of a collection as a Parquet file: one row for each lot, or several that count as one, with free metres.

A change that an older program would read wrongly needs a new `FORMAT`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from matcher.errors import BadInput
from matcher.reasons.reason import reason
from matcher.store.places import PARQUET

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

FORMAT = 1
"""The version of the form, which stands in each row."""

LONGEST_NUMBER = 12
"""Letters and digits by which a lot is known; a choice: codes of tags have five."""

GROUP = 100_000
"""Rows that are written as one group, so that a large file can be read a part after the other; a choice."""

Kind = Literal["whole", "figure", "text", "wholes", "figures", "texts"]


@dataclass(frozen=True)
class ParquetColumn:
    """One column. kind : a whole number, a figure, a text, or none or more of one of these. means : for a reader.

    may_lack : whether a row may leave it empty.
    """

    name: str
    kind: Kind
    means: str
    may_lack: bool = False


COLUMNS = (
    ParquetColumn("format", "whole", "version of this form: 1"),
    ParquetColumn("code", "text", "the member's code", may_lack=True),
    ParquetColumn("place", "text", "where it lies: a depot", may_lack=True),
    ParquetColumn(
        "lot", "texts", "the code on its tag, else its number in the member's own list; several that count as one"
    ),
    ParquetColumn("yarn", "text", "the yarn's name", may_lack=True),
    ParquetColumn("class", "whole", "weight class, 0 to 7"),
    ParquetColumn("tex", "figure", "grams in 1000 m"),
    ParquetColumn("tex_sd", "figure", "its standard deviation"),
    ParquetColumn("tex_from", "text", "what tells it: ball band, tex or class"),
    ParquetColumn(
        "fibre", "text", "fibres and shares: wool 0.8, nylon 0.2; a ? behind: shares not known", may_lack=True
    ),
    ParquetColumn("wash", "text", "hand, machine or unknown"),
    ParquetColumn("colour", "text", "the colour as written", may_lack=True),
    ParquetColumn("lab", "figures", "L*, a*, b* of each colour that stitches show, one after the other"),
    ParquetColumn("share", "figures", "their shares"),
    ParquetColumn("lab_sd", "figures", "how far off each may be, as lab; none where the colours are no guess"),
    ParquetColumn("free_m", "figure", "metres that nothing holds"),
    ParquetColumn("free_sd_m", "figure", "their standard deviation"),
    ParquetColumn("garment", "wholes", "garments that it was left over from, numbered in the member's own list"),
    ParquetColumn("dye_lot", "text", "as on the label", may_lack=True),
    ParquetColumn("ball_g", "figure", "grams of a full ball", may_lack=True),
    ParquetColumn("apart", "wholes", "1 and -1 never meet in one piece, nor do 2 and -2 ..."),
)


def is_parquet(path: Path) -> bool:
    """Whether a file is named as one."""
    return path.suffix.casefold() == PARQUET


def arrow() -> Any:
    """The library. Raises BadInput where it is not there."""
    try:
        import pyarrow
        import pyarrow.compute
        import pyarrow.parquet
    except ImportError:
        what = reason("Parquet files need pyarrow, which isn't installed")
        raise BadInput(what, "", reason("install matcher with its extra for pools: {extra}", extra=EXTRA)) from None
    return pyarrow


EXTRA = "pip install 'matcher[pools]'"


def types(pa: Any) -> Mapping[Kind, Any]:
    """The type of each kind of column as written."""
    return {
        "whole": pa.int32(),
        "figure": pa.float64(),
        "text": pa.dictionary(pa.int32(), pa.string()),
        "wholes": pa.list_(pa.int32()),
        "figures": pa.list_(pa.float64()),
        "texts": pa.list_(pa.string()),
    }
