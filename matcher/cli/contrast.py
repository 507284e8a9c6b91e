"""`matcher contrast`: are these colours distinct enough?"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import CatalogOption, CsvOption, EyesOption, JsonOption, Level, SwatchOption, bin_named


@app.command()
def contrast(
    colours: Annotated[
        list[str],
        typer.Argument(
            metavar="COLOUR COLOUR ...",
            help="Codes such as '#1f3355', plain words such as navy, or with --bin the names of lots.",
        ),
    ],
    bin: Annotated[
        Path | None,
        typer.Option("--bin", metavar="BIN", callback=bin_named, help="Take the colours from the lots of this bin."),
    ] = None,
    least_contrast: Annotated[
        Level | None,
        typer.Option("--least-contrast", help="What every pair should reach; readable if left out, or as you wish."),
    ] = None,
    motif: Annotated[
        str | None,
        typer.Option(
            "--motif",
            metavar="FILE",
            help="What to look at from afar, by its file or name; single stitches if left out.",
        ),
    ] = None,
    swatch: SwatchOption = None,
    eyes: EyesOption = None,
    catalog: CatalogOption = None,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Say how well colours read beside each other.

    Every pair is judged in daylight and in grey, and what the three kinds of colour blindness lose is said.
    Ends with 1 when a pair reads less than --least-contrast.

    Examples:
        matcher contrast navy cream "#7f8285"
        matcher contrast rust cream --bin demo
    """
    from matcher.actions.colours.contrast import contrast as act
    from matcher.actions.desk import Desk
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.contrast import show_contrasts
    from matcher.cli.words import COMMAND_LINE

    found = act(
        *colours,
        bin=(desk := Desk(bin, catalog) if bin is not None else None),
        least_contrast=least_contrast.value if least_contrast else None,
        motif=motif,
        swatch=swatch,
        eyes=eyes.value if eyes else None,
        catalog=catalog,
    )
    show.read_note(desk, COMMAND_LINE)
    if as_json:
        show.print_json(found.as_dict())
    elif as_csv:
        show.print_csv(found.frame())
    else:
        show_contrasts(found, catalog)
    if not found.passes:
        raise typer.Exit(1)
