"""`matcher add` and `matcher change`: the cells of a lot."""

from __future__ import annotations

from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.keeping import say
from matcher.cli.options import JsonOption, StoreOption, Units, UnitsOption


@app.command()
def add(
    lot: Annotated[str, typer.Argument(metavar="LOT", help="A name of its own.")],
    garment: say.GarmentOption = None,
    role: say.RoleOption = None,
    yarn: say.YarnOption = None,
    colour: say.ColourOption = None,
    colour_name: say.ColourNameOption = None,
    grams: say.GramsOption = None,
    ball_grams: say.BallGramsOption = None,
    ball_metres: say.BallMetresOption = None,
    tex: say.TexOption = None,
    class_: say.ClassOption = None,
    fibre: say.FibreOption = None,
    wash: say.WashOption = None,
    pieces: say.PiecesOption = None,
    dye_lot: say.DyeLotOption = None,
    label: say.LabelOption = None,
    reserve: say.ReserveOption = None,
    place: say.PlaceOption = None,
    note: say.NoteOption = None,
    bin: StoreOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Example: **matcher add "sea green" --grams 41 --colour "#2f6f66" --ball-grams 50 --ball-metres 125**

    Put a lot into your store; the first one begins it. Needed: --grams, --colour, and how heavy the yarn is:
    --ball-grams with --ball-metres, or --tex, or --class.
    """
    from matcher.actions.keeping.cells import add as act

    cells = say.given(
        garment=garment,
        role=role,
        yarn=yarn,
        colour=colour,
        colour_name=colour_name,
        grams=grams,
        ball_grams=ball_grams,
        ball_metres=ball_metres,
        tex=tex,
        class_=class_,
        fibre=fibre,
        wash=wash,
        pieces=pieces,
        dye_lot=dye_lot,
        label=label,
        reserve=reserve,
        place=place,
        note=note,
    )
    say.tell(act(lot, cells, bin=bin), as_json, units)


@app.command()
def change(
    lot: say.LotArgument,
    name: Annotated[str | None, typer.Option("--name", help="A new name for it.")] = None,
    garment: say.GarmentOption = None,
    role: say.RoleOption = None,
    yarn: say.YarnOption = None,
    colour: say.ColourOption = None,
    colour_name: say.ColourNameOption = None,
    grams: say.GramsOption = None,
    ball_grams: say.BallGramsOption = None,
    ball_metres: say.BallMetresOption = None,
    tex: say.TexOption = None,
    class_: say.ClassOption = None,
    fibre: say.FibreOption = None,
    wash: say.WashOption = None,
    pieces: say.PiecesOption = None,
    dye_lot: say.DyeLotOption = None,
    label: say.LabelOption = None,
    reserve: say.ReserveOption = None,
    place: say.PlaceOption = None,
    note: say.NoteOption = None,
    bin: StoreOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Example: **matcher change "sea green" --dye-lot 14 --label yes**

    Change what is written down of a lot. Two quotation marks with nothing between them clear a cell: --place "".
    """
    from matcher.actions.keeping.cells import change as act

    cells = say.given(
        garment=garment,
        role=role,
        yarn=yarn,
        colour=colour,
        colour_name=colour_name,
        grams=grams,
        ball_grams=ball_grams,
        ball_metres=ball_metres,
        tex=tex,
        class_=class_,
        fibre=fibre,
        wash=wash,
        pieces=pieces,
        dye_lot=dye_lot,
        label=label,
        reserve=reserve,
        place=place,
        note=note,
    )
    say.tell(act(lot, cells, name=name, bin=bin), as_json, units)
