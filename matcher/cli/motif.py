"""`matcher motif`: a motif counted, judged in colours, and drawn."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import CatalogOption, EyesOption, JsonOption, ReplaceOption, SwatchOption, bin_named
from matcher.cli.words import style_of
from matcher.reasons.reason import reason


@app.command()
def motif(
    file: Annotated[
        str | None,
        typer.Argument(
            metavar="FILE",
            help="A text grid, a PNG or GIF with one pixel a stitch, or a motif of the catalogue by its name; all "
            "names are listed if left out.",
        ),
    ] = None,
    lots: Annotated[
        list[str] | None,
        typer.Option(
            "--lots",
            metavar="[ROLE=]LOT",
            help="The lot (or a colour) of a role; once for each role, in the order of the roles if none is named.",
        ),
    ] = None,
    bin: Annotated[
        Path | None,
        typer.Option(
            "--bin", metavar="BIN", callback=bin_named, help="Where the lots are; your own bin, or else the demo."
        ),
    ] = None,
    svg: Annotated[Path | None, typer.Option("--svg", metavar="F", help="Draw it as knitted, as SVG.")] = None,
    png: Annotated[Path | None, typer.Option("--png", metavar="F", help="Draw it as knitted, as PNG.")] = None,
    grid: Annotated[
        Path | None,
        typer.Option("--grid", metavar="F", help="Write the grid: as text (.txt), or one pixel a stitch (.png)."),
    ] = None,
    distances: Annotated[
        Path | None,
        typer.Option(
            "--distances",
            metavar="F",
            help="Draw it as seen in the hand, across a table and across a room (.svg or .png).",
        ),
    ] = None,
    swatch: SwatchOption = None,
    eyes: EyesOption = None,
    replace: ReplaceOption = False,
    catalog: CatalogOption = None,
    as_json: JsonOption = False,
) -> None:
    """Count a motif and judge its colours where they touch.

    You get stitches, floats, rows of three colours or more, light and dark; without a motif, a list of all of them.

    Examples:
        matcher motif
        matcher motif crosses --lots cream --lots navy
    """
    from matcher.actions.desk import Desk
    from matcher.actions.motifs.motif import motif as act
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.motif import show_motif

    if file is None:
        from matcher.actions.contents import all_motifs
        from matcher.cli.screens.contents import show_motifs

        every = all_motifs(catalog)
        show.print_json(every.as_dict()) if as_json else show_motifs(every)
        return
    style = style_of()
    found = act(
        file,
        lots=lots or (),
        bin=(desk := Desk(bin, catalog) if bin is not None else None),
        svg=svg,
        png=png,
        grid=grid,
        distances=distances,
        swatch=swatch,
        eyes=eyes.value if eyes else None,
        replace=replace,
        catalog=catalog,
        style=style,
    )
    show.read_note(desk, style)
    for path in found.files:
        show.note(reason("{file} is written", file=str(path)), style)
    if as_json:
        show.print_json(found.as_dict(), style)
    else:
        show_motif(found, style)
