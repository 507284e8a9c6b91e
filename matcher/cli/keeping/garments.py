"""`matcher garment` and `matcher mended`: what happens to a garment."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.keeping import say
from matcher.cli.keeping.columns import with_cells
from matcher.cli.options import JsonOption, StoreOption, Units, UnitsOption
from matcher.store.sheets.columns import GARMENTS

GarmentArgument = Annotated[str, typer.Argument(metavar="GARMENT", help="The garment's name.")]


@app.command()
@with_cells(GARMENTS, "garment", "status")
def garment(
    name: GarmentArgument,
    cells: Mapping[str, str],
    status: Annotated[
        str | None,
        typer.Argument(metavar="worn|given|gone", help="Given may come back to be mended, gone will not."),
    ] = None,
    bin: StoreOption = None,
    as_json: JsonOption = False,
) -> None:
    """Say what became of a garment, or change what is written of it.

    It is worn, given away or gone. A new name is a new garment.

    Examples:
        matcher intake demo --bin try.db
        matcher garment "moss cardigan" given --bin try.db
    """
    from matcher.actions.keeping.cells import garment as act

    say.tell(act(name, status, cells, bin=bin), as_json)


@app.command()
def mended(
    name: GarmentArgument,
    lot: say.LotArgument,
    length: Annotated[str, typer.Argument(metavar="METRES", help="How much yarn it took: 12m, '13 yd'.")],
    bin: StoreOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Write down what mending a garment took.

    The lot weighs less, and a reserve that you set by hand holds less.

    Examples:
        matcher intake demo --bin try.db
        matcher mended "grey yoke pullover" "mid grey" 12m --bin try.db
    """
    from matcher.actions.keeping.lots import mended as act

    say.tell(act(name, lot, length, bin=bin), as_json, units)
