"""`matcher check`: how the files were read, and all their faults at once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import CatalogOption, JsonOption, bin_named


@app.command()
def check(
    bin: Annotated[
        Path,
        typer.Argument(metavar="BIN", callback=bin_named, help="Folder of csv sheets, or one .csv, .xlsx or .ods."),
    ],
    catalog: CatalogOption = None,
    as_json: JsonOption = False,
) -> None:
    """Look your files over: how they are read, and what is wrong.

    Each fault with its sheet, row and column, and how to mend it.

    Examples:
        matcher check demo
    """
    from matcher.actions.check import check as act
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.check import show_checked
    from matcher.cli.words import COMMAND_LINE
    from matcher.errors import BadSheets

    try:
        with show.LateProgress("reading"):
            found = act(bin, catalog=catalog)
    except BadSheets as error:  # cells of a store
        if not as_json:
            raise
        show.print_json({"ok": False, "faults": [vars(fault) for fault in error.faults], "notes": []})
        raise typer.Exit(error.exit_code) from None
    if as_json:
        show.print_json(found.as_dict())
    else:
        show_checked(found, COMMAND_LINE)
    if found.faults:
        wrong = BadSheets(found.faults, found.bin.source)
        if not as_json:
            raise wrong
        raise typer.Exit(wrong.exit_code)
