"""`matcher whose`: which yarn an untagged scrap is of."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import BinArgument, CatalogOption, CsvOption, JsonOption, Units, UnitsOption
from matcher.cli.words import style_of


@app.command()
def whose(
    bin: BinArgument = None,
    colour: Annotated[
        str | None,
        typer.Option("--colour", metavar="COLOUR", help="Its colour, as in a sheet: '#6b7f4a', or a plain word."),
    ] = None,
    weighed: Annotated[
        str | None,
        typer.Option("--weighed", metavar="L = W", help='A measured length of it and its weight: "12 m = 5.1 g".'),
    ] = None,
    wraps: Annotated[float | None, typer.Option("--wraps", metavar="N", help="Wraps round a ruler in an inch.")] = None,
    plies: Annotated[
        int | None,
        typer.Option("--plies", metavar="N", help="Plies; used for lots whose yarn or note tells them (2 plies)."),
    ] = None,
    felts: Annotated[
        str | None, typer.Option("--felts", metavar="yes|no|?", help="Whether wet ends felt together when rubbed.")
    ] = None,
    photo: Annotated[
        Path | None, typer.Option("--photo", metavar="FILE", help="A photograph of it, in place of --colour.")
    ] = None,
    box: Annotated[
        str | None, typer.Option("--box", metavar="X,Y,W,H", help="Where it lies in the photograph, in pixels.")
    ] = None,
    white: Annotated[
        str | None, typer.Option("--white", metavar="X,Y,W,H", help="Where plain white paper lies in the photograph.")
    ] = None,
    top: Annotated[int, typer.Option("--top", metavar="N", help="How many yarns are listed at most.")] = 5,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Say which yarn an untagged scrap may be of.

    You see how likely each is, and what to measure next to tell the first two apart. Only what you give counts.

    Examples:
        matcher whose demo --colour "#22304f" --weighed "12 m = 5.1 g"
    """
    from matcher.actions.colours.whose import whose as act
    from matcher.actions.desk import Desk
    from matcher.actions.place import reads_demo
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.whose import show_whose

    if reads_demo(bin):
        show.demo_note()
    style = style_of(units.value)
    found = act(
        desk := Desk(bin, catalog),
        colour=colour,
        weighed=weighed,
        wraps=wraps,
        plies=plies,
        felts=felts,
        photo=photo,
        box=box,
        white=white,
        top=top,
        catalog=catalog,
    )
    show.read_note(desk, style)
    for words in found.notes:
        show.note(f"Mind: {style.say(words)}.")
    show.answer(found, show_whose, style, as_json=as_json, as_csv=as_csv)
