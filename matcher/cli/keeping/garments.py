"""`matcher garment` and `matcher mended`: what happens to a garment."""

from __future__ import annotations

from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.keeping import say
from matcher.cli.options import JsonOption, StoreOption, Units, UnitsOption

GarmentArgument = Annotated[str, typer.Argument(metavar="GARMENT", help="The garment's name.")]


@app.command()
def garment(
    name: GarmentArgument,
    status: Annotated[
        str | None,
        typer.Argument(metavar="[worn|given|gone]", help="Given may come back to be mended, gone will not."),
    ] = None,
    kind: Annotated[str | None, typer.Option("--kind", help="pullover, cardigan, vest, yoke pullover ...")] = None,
    wearer: Annotated[str | None, typer.Option("--wearer", help="Who wears it.")] = None,
    chest_cm: Annotated[str | None, typer.Option("--chest", help="Its chest: 98, '38 in'.")] = None,
    stitches_10cm: Annotated[str | None, typer.Option("--stitches", help="Stitches in 10 cm: 22.")] = None,
    rows_10cm: Annotated[str | None, typer.Option("--rows", help="Rows in 10 cm: 29.")] = None,
    plans: Annotated[str | None, typer.Option("--plans", help="Such as 'lengthen body 5 cm'.")] = None,
    motif: Annotated[str | None, typer.Option("--motif", help="Its motif.")] = None,
    note: say.NoteOption = None,
    bin: StoreOption = None,
    as_json: JsonOption = False,
) -> None:
    """Example: **matcher garment "moss cardigan" given**

    Say that a garment is worn, given away or gone, or change what is written down of it. A new name is a new garment.
    """
    from matcher.actions.keeping.cells import garment as act

    cells = say.given(
        kind=kind,
        wearer=wearer,
        chest_cm=chest_cm,
        stitches_10cm=stitches_10cm,
        rows_10cm=rows_10cm,
        plans=plans,
        motif=motif,
        note=note,
    )
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
    """Example: **matcher mended "grey yoke pullover" "mid grey" 12m**

    A garment was mended: the lot weighs less, and a reserve that you set by hand holds less.
    """
    from matcher.actions.keeping.lots import mended as act

    say.tell(act(name, lot, length, bin=bin), as_json, units)
