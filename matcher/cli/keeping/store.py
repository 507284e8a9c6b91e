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
    from matcher.reasons.reason import counted, reason

    found = act(bin=bin)
    if as_json:
        print_json(found.as_dict(), COMMAND_LINE)
    elif found.ok:
        tell(reason("{lots}, all in order.", lots=counted(found.lots, "{n} lot", "{n} lots")))
    else:
        tell(counted(len(found.faults), "{n} fault:", "{n} faults:"))
        for fault in found.faults:
            tell(reason("{where}: {what}", where=fault.where, what=fault.what))
        tell("Earlier copies of the store lie in the folder beside it.")
    if not found.ok:
        raise typer.Exit(1)
