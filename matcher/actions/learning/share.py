"""Her finished pieces and swatches as bare figures, for a file that she may hand on: no name, place, date or order."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from matcher.actions.learning.calibration import Calibrated
from matcher.actions.learning.history import Noted
from matcher.actions.targets import target
from matcher.errors import BadInput
from matcher.reasons.reason import Action, Field, reason
from matcher.store.files import write_out

COLUMNS = ("piece", "kind", "structure", "class", "stitches_10cm", "rows_10cm", "predicted_m", "used_m")
_WAYS = {"finish": Action("finish"), "swatch": Action("swatch")}


def shared_rows(found: Calibrated) -> tuple[dict[str, Any], ...]:
    """One row for each role of a finished piece and each swatch that counts, in the order of their figures.

    piece: a number that roles of one piece have in common, and nothing else says; class: of the yarn's tex;
    stitches_10cm, rows_10cm: the gauge that the prediction is for, of a swatch its own where its size was measured,
    else the yarn's usual one; empty where it was not noted; metres without any history. Raises BadInput where there is
    nothing to share.
    """
    pieces: dict[str, list[list[Any]]] = {}
    for one in found.history.counted:
        pieces.setdefault(one.told.piece, []).append(_figures(one))
    if not pieces:
        how = reason("finish a piece ({finish}) or weigh a swatch ({swatch})", **_WAYS)
        raise BadInput(reason("you haven't finished or weighed anything yet"), Field("share"), how)
    in_order = sorted((sorted(roles, key=str) for roles in pieces.values()), key=str)
    return tuple(
        dict(zip(COLUMNS, (number, *figures), strict=True))
        for number, roles in enumerate(in_order, start=1)
        for figures in roles
    )


def _figures(one: Noted) -> list[Any]:
    gauge = [round(figure, 1) if figure else "" for figure in one.gauge]
    predicted_m = one.predicted_m if one.at_gauge_m is None else one.at_gauge_m
    return [one.kind, one.told.structure, one.weight_class, *gauge, round(predicted_m, 1), round(one.used_m, 1)]


def shared_text(rows: Sequence[dict[str, Any]]) -> str:
    """The file as it will be, a table of comma-separated values."""
    text = io.StringIO()
    writer = csv.DictWriter(text, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def write_shared(text: str, path: Path | str, *, replace: bool = False) -> Path:
    """Write what was shown. Raises BadInput where it cannot be written or would write over another file."""
    (written,) = write_out({target(path, (".csv",), Field("share")): text.encode()}, replace=replace)
    return written
