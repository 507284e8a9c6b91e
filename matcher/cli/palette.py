"""`matcher palette`: all colours laid out for colourwork."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import (
    BinArgument,
    CatalogOption,
    CsvOption,
    EyesOption,
    JsonOption,
    MendingOption,
    ReplaceOption,
    Units,
    UnitsOption,
)
from matcher.cli.words import style_of


class By(StrEnum):
    """Ways to lay colours out."""

    lightness = "lightness"
    hue = "hue"
    map = "map"


@app.command()
def palette(
    bin: BinArgument = None,
    by: Annotated[
        By, typer.Option("--by", help="Dark to light; by hue, greys first; or as a map, green to red, blue to yellow.")
    ] = By.lightness,
    svg: Annotated[Path | None, typer.Option("--svg", metavar="F", help="Draw it as SVG.")] = None,
    png: Annotated[Path | None, typer.Option("--png", metavar="F", help="Draw it as PNG.")] = None,
    replace: ReplaceOption = False,
    top: Annotated[int, typer.Option("--top", metavar="N", help="How many pairs, and how many triples.")] = 5,
    mending: MendingOption = None,
    eyes: EyesOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Lay out your colours, and the pairs that read well together.

    Each weight class stands alone, each colour beside the grey that is as light. Pairs and triples are of yarns of
    which enough is free to make something.

    Examples:
        matcher palette demo --by hue --png palette.png
    """
    from matcher.actions.colours.palette import palette as act
    from matcher.actions.place import reads_demo
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.palette import show_palette

    if reads_demo(bin):
        show.demo_note()
    style = style_of(units.value)
    with show.LateProgress("laying out"):
        found = act(
            bin,
            by=by.value,
            svg=svg,
            png=png,
            top=top,
            mending=mending,
            eyes=eyes.value if eyes else None,
            replace=replace,
            catalog=catalog,
            style=style,
        )
    for path in found.files:
        show.note(f"{path} is written")
    show.answer(found, show_palette, style, as_json=as_json, as_csv=as_csv)
