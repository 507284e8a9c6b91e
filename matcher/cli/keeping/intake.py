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
        typer.Argument(metavar="FILE", callback=bin_named, help="Folder of csv sheets, or one .csv, .xlsx or .ods."),
    ],
    bin: Annotated[
        Path | None, typer.Option("--bin", metavar="STORE", help="The store; the usual one if left out.")
    ] = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only show what would be added and changed.")] = False,
    yes: Annotated[
        bool,
        typer.Option(
            "--yes",
            help="Ask nothing: take what is sure, and write what would be asked about into a sheet for you to mend.",
        ),
    ] = False,
    take: Annotated[
        Take | None,
        typer.Option("--take", help="Where cells differ: as the file has them, as your bin has them, or ask."),
    ] = None,
    refused: Annotated[
        Path | None,
        typer.Option("--refused", metavar="PLACE", help="Folder, .xlsx or .ods for rows that can't be taken, and why."),
    ] = None,
    good_rows: Annotated[
        bool, typer.Option("--good-rows", help="With --refused: take the other rows in all the same.")
    ] = False,
    catalog: CatalogOption = None,
    as_json: JsonOption = False,
) -> None:
    """Take your sheets into the store: all of them or nothing.

    It shows how they were read and asks what cannot be worked out; your answers
    are kept, also when you stop. A copy of the store is made first.

    Examples:
        matcher intake demo --dry-run
        matcher intake demo --bin try.db
    """
    from matcher.actions.keeping.intake import intake as act
    from matcher.actions.keeping.look import look
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.asking import ask_all
    from matcher.cli.screens.intake import asker, show_intake
    from matcher.cli.screens.reading import show_reading
    from matcher.cli.words import COMMAND_LINE
    from matcher.errors import BadSheets

    terminal = sys.stdin.isatty() and sys.stderr.isatty() and not yes
    asked = terminal and not dry_run and ask_all(file, bin, catalog, COMMAND_LINE, shown=not as_json)
    can_ask = terminal and take in (None, Take.ask)
    try:
        with show.LateProgress("taking in") as progress:
            found = act(
                file,
                bin=bin,
                dry_run=dry_run,
                yes=yes or (asked and (good_rows or refused is None)),
                take=take.value if take else None,
                refused=refused,
                good_rows=good_rows,
                ask=asker(progress, COMMAND_LINE) if can_ask else None,
                catalog=catalog,
                style=COMMAND_LINE,
                progress=progress,
            )
    except BadSheets:  # what could be read is shown all the same
        if not terminal and not as_json:
            seen = look(file, bin=bin, catalog=catalog)
            show_reading(seen.understood, seen.follows, COMMAND_LINE)
        raise
    if as_json:
        show.print_json(found.as_dict())
    else:
        show_intake(found, COMMAND_LINE, read=not terminal or dry_run)
    if found.compared.refused_whole or (dry_run and found.compared.refused):
        raise typer.Exit(1)
