"""`matcher needs` and `matcher piece`: metres and grams, with the working."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import CatalogOption, CsvOption, JsonOption, Units, UnitsOption
from matcher.cli.words import style_of
from matcher.reasons.reason import Field

StructureOption = Annotated[
    str,
    typer.Option(
        "--structure", help="How it is knitted: stocking, garter, rib, stranded, or what else the catalogue has."
    ),
]


HistoryOption = Annotated[
    Path | None,
    typer.Option("--bin", metavar="FILE", help="The store whose history the needs follow; your own if left out."),
]


@app.command()
def needs(
    accessory: Annotated[
        str | None,
        typer.Argument(metavar="ACCESSORY", help="Its name, such as 'ribbed hat'; all names are listed if left out."),
    ] = None,
    size: Annotated[str | None, typer.Option("--size", help="Only this size.")] = None,
    weight_class: Annotated[
        str | None, typer.Option("--class", help="Only this weight class, such as 3 or DK.")
    ] = None,
    tex: Annotated[
        float | None, typer.Option("--tex", help="Your yarn's tex (grams in 1000 m), in place of the class.")
    ] = None,
    swatch: Annotated[
        str | None, typer.Option("--swatch", help="Your own gauge in 10 cm, such as '22 st x 30 rows'.")
    ] = None,
    bin: HistoryOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Say how much yarn an accessory takes, by size and weight class.

    With one size and one class you get the whole working; without an accessory, a list of all of them.

    Examples:
        matcher needs
        matcher needs hat-ribbed --size "adult medium" --class 3
    """
    from matcher.actions.needs import needs as act
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.needs import show_needs

    if accessory is None:
        from matcher.actions.contents import all_accessories
        from matcher.cli.screens.contents import show_accessories

        every = all_accessories(catalog)
        show.print_json(every.as_dict()) if as_json else show_accessories(every)
        return
    found = act(accessory, size=size, weight_class=weight_class, tex=tex, swatch=swatch, bin=bin, catalog=catalog)
    style = style_of(units.value)
    for remark in found.notes:
        show.note(remark, style)
    show.answer(found, show_needs, style, as_json=as_json, as_csv=as_csv)


@app.command()
def piece(
    structure: StructureOption,
    stitches: Annotated[int, typer.Option("--stitches", help="Stitches in a row or round.")],
    height: Annotated[str | None, typer.Option("--height", help="How high it is, such as '20 cm' or '8 in'.")] = None,
    rows: Annotated[int | None, typer.Option("--rows", help="Rows or rounds, in place of the height.")] = None,
    tex: Annotated[float | None, typer.Option("--tex", help="The yarn's tex: grams in 1000 m.")] = None,
    weight_class: Annotated[
        str | None, typer.Option("--class", help="The yarn's weight class, such as 3 or DK.")
    ] = None,
    swatch: Annotated[
        str | None, typer.Option("--swatch", help="Your own gauge in 10 cm, such as '22 st x 30 rows'.")
    ] = None,
    colours: Annotated[int, typer.Option("--colours", help="Colours in a round of stranded knitting.")] = 2,
    bin: HistoryOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Say how much yarn any piece of your own pattern takes.

    Examples:
        matcher piece --structure stocking --stitches 110 --height "20 cm" --class 3
    """
    from matcher.actions.needs import piece as act
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.needs import show_piece
    from matcher.errors import BadInput
    from matcher.materials.reading.units import Unreadable, parse_cm

    style = style_of(units.value)
    try:
        height_cm = parse_cm(height) if height is not None else None
    except Unreadable as fault:
        raise BadInput(fault.said, Field("height")) from None
    found = act(
        structure,
        stitches,
        height_cm=height_cm,
        rows=rows,
        tex=tex,
        weight_class=weight_class,
        swatch=swatch,
        colours=colours,
        bin=bin,
    )
    for remark in found.notes:
        show.note(remark, style)
    if as_json:
        show.print_json(found.as_dict(), style)
    else:
        show_piece(found, style)
