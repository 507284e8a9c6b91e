"""`matcher undo` and `matcher verify`: the store as a whole."""

from __future__ import annotations

from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.keeping import say
from matcher.cli.options import JsonOption, StoreOption


@app.command()
def undo(
    number: Annotated[int, typer.Argument(metavar="N", help="How many of the last actions; 1 if left out.")] = 1,
    listed: Annotated[bool, typer.Option("--list", help="Only show what was done, the last first.")] = False,
    bin: StoreOption = None,
    as_json: JsonOption = False,
) -> None:
    """Take back the last thing that was done to the store.

    Or the last N, as far back as you like.

    Examples:
        matcher intake demo --bin try.db
        matcher undo --list --bin try.db
        matcher undo 1 --bin try.db
    """
    from matcher.actions.keeping import store as keep_store

    say.tell(keep_store.done_lately(bin=bin) if listed else keep_store.undo(number, bin=bin), as_json)


@app.command()
def verify(
    bin: StoreOption = None,
    as_json: JsonOption = False,
) -> None:
    """Look your store over: is all of it whole?

    The file, what belongs together, the sums, every cell. Ends with 1 when something is wrong.

    Examples:
        matcher intake demo --bin try.db
        matcher verify --bin try.db
    """
    from matcher.actions.keeping.store import verify as act
    from matcher.cli.terminal import print_json, tell
    from matcher.cli.words import COMMAND_LINE

    found = act(bin=bin)
    if as_json:
        print_json(found.as_dict(), COMMAND_LINE)
    elif found.ok:
        tell(f"{'1 lot' if found.lots == 1 else f'{found.lots} lots'}, all in order.")
    else:
        tell("1 fault:" if len(found.faults) == 1 else f"{len(found.faults)} faults:")
        for fault in found.faults:
            say.paragraph(f"{COMMAND_LINE.say(fault.where)}: {COMMAND_LINE.say(fault.what)}")
        say.paragraph("Earlier copies of the store lie in the folder beside it.")
    if not found.ok:
        raise typer.Exit(1)
