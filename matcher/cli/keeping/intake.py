"""`matcher intake`: take sheets into the store."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import CatalogOption, JsonOption, bin_named


class Take(StrEnum):
    """What holds where the store has a row otherwise than the file."""

    file = "file"
    bin = "bin"
    ask = "ask"


@app.command()
def intake(
    file: Annotated[
        Path,
        typer.Argument(
            metavar="FILE", callback=bin_named, help="Folder with lots.csv and garments.csv, or one .xlsx or .ods."
        ),
    ],
    bin: Annotated[
        Path | None, typer.Option("--bin", metavar="STORE", help="The store; the usual one if left out.")
    ] = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only show what would be added and changed.")] = False,
    take: Annotated[
        Take | None,
        typer.Option("--take", help="Where cells differ: as the file has them, as your bin has them, or ask."),
    ] = None,
    refused: Annotated[
        Path | None,
        typer.Option(
            "--refused", metavar="PLACE", help="Folder, .xlsx or .ods for rows that cannot be taken, and why."
        ),
    ] = None,
    good_rows: Annotated[
        bool, typer.Option("--good-rows", help="With --refused: take the other rows in all the same.")
    ] = False,
    catalog: CatalogOption = None,
    as_json: JsonOption = False,
) -> None:
    """Take your sheets into the store: all of them or nothing.

    A copy of the store is made first.

    Examples:
        matcher intake demo --dry-run
        matcher intake demo --bin try.db
    """
    from matcher.actions.keeping.intake import intake as act
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.intake import asker, show_intake
    from matcher.cli.words import COMMAND_LINE

    can_ask = sys.stdin.isatty() and sys.stderr.isatty() and take in (None, Take.ask)
    with show.LateProgress("taking in") as progress:
        found = act(
            file,
            bin=bin,
            dry_run=dry_run,
            take=take.value if take else None,
            refused=refused,
            good_rows=good_rows,
            ask=asker(progress) if can_ask else None,
            catalog=catalog,
            style=COMMAND_LINE,
            progress=progress,
        )
    if as_json:
        show.print_json(found.as_dict())
    else:
        show_intake(found, COMMAND_LINE)
    if dry_run and found.compared.refused:
        raise typer.Exit(1)
