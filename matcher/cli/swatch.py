"""`matcher swatch`: weigh a swatch, so that needs follow her own loop."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.needs import StructureOption
from matcher.cli.options import CatalogOption, JsonOption, Units, UnitsOption
from matcher.cli.words import style_of
from matcher.reasons.reason import Field


@app.command()
def swatch(
    stitches: Annotated[int, typer.Option("--stitches", help="Stitches in a row of the swatch.")],
    rows: Annotated[int, typer.Option("--rows", help="Rows of the swatch.")],
    grams: Annotated[str, typer.Option("--grams", help="What it weighs, such as 3.2 or '0.11 oz'.")],
    lot: Annotated[
        str | None, typer.Argument(metavar="LOT", help="The lot it was knitted from; or give --tex.")
    ] = None,
    structure: StructureOption = "stocking",
    tex: Annotated[float | None, typer.Option("--tex", help="The yarn's tex: grams in 1000 m.")] = None,
    size: Annotated[
        str | None, typer.Option("--size", help="Its width and height, such as '18 x 17 cm': shows your gauge.")
    ] = None,
    note: Annotated[str, typer.Option("--note", help="Anything, such as the needle.")] = "",
    bin: Annotated[
        Path | None, typer.Option("--bin", metavar="FILE", help="The store; your own if left out (or MATCHER_BIN).")
    ] = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Weigh a swatch, so that needs follow how you knit.

    It shows your yarn in one stitch against the usual. Needs follow it from then on.

    Examples:
        matcher intake demo --bin try.db
        matcher swatch "cream, thick" --stitches 20 --rows 26 --grams 14 --bin try.db
    """
    from matcher.actions.learning.swatch import swatch as act
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.calibration import show_swatch
    from matcher.errors import BadInput
    from matcher.materials.reading.units import Unreadable, parse_mass_g

    style = style_of(units.value)
    try:
        grams_read = parse_mass_g(grams)
    except Unreadable as fault:
        raise BadInput(fault.said, Field("grams")) from None
    found = act(
        lot,
        stitches=stitches,
        rows=rows,
        grams=grams_read,
        structure=structure,
        tex=tex,
        size=size,
        note=note,
        bin=bin,
        catalog=catalog,
    )
    if as_json:
        show.print_json(found.as_dict(), style)
    else:
        show_swatch(found, style)
