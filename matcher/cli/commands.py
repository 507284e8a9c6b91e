"""The command line as a whole: importing this module gives `app` all its commands."""

from __future__ import annotations

import os
from collections.abc import Sequence

import typer

# Imported for what importing does, and so unused here (F401): each module adds its commands to `app`. A list of them
# below would be a second one, and an import by name would hide from whoever reads which rooms lead where.
from matcher.cli import (  # noqa: F401
    calibration,
    check,
    contrast,
    gap,
    instead,
    listing,
    lookalikes,
    motif,
    needs,
    page,
    palette,
    partner,
    pattern,
    photo,
    pool,
    reserve,
    sets,
    show,
    suggest,
    swatch,
    whose,
    why,
)
from matcher.cli.app import app

# The rest, likewise (F401).
from matcher.cli.keeping import (  # noqa: F401
    cells,
    export,
    garments,
    intake,
    lots,
    people,
    progress,
    store,
    tags,
    triage,
    wishes,
    works,
)
from matcher.cli.terminal import note
from matcher.cli.words import COMMAND_LINE
from matcher.errors import BadInput
from matcher.reasons.reason import reason
from matcher.reasons.visible import HIDDEN


def run(arguments: Sequence[str]) -> None:
    """Run the command line. Only the command asked for is built: building all takes as long as weighing a ball."""
    for one in arguments:
        # Bytes that are no letters may be a file's name; what a terminal would obey is nobody's.
        if HIDDEN.search(os.fsencode(one).decode("utf-8", "replace")):
            what = reason('"{text}" holds a sign that can\'t be seen', text=one)
            note(f"matcher: {BadInput(what, todo=reason('type it again')).shown(COMMAND_LINE)}")
            raise SystemExit(2)
    asked = [one for one in app.registered_commands if [_name(one)] == list(arguments[:1])]
    app.registered_commands = asked if asked or not arguments else app.registered_commands
    app(list(arguments), prog_name="matcher")


def _name(command: typer.models.CommandInfo) -> str:
    return command.name or (command.callback.__name__.replace("_", "-") if command.callback else "")
