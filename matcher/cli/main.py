"""The command line as a whole: importing this module gives `app` all its commands."""

from __future__ import annotations

import sys

import typer

# Each module adds its commands to `app` when it is imported.
from matcher.cli import (  # noqa: F401
    calibration,
    check,
    contrast,
    lookalikes,
    motif,
    needs,
    palette,
    partner,
    photo,
    reserve,
    suggest,
    swatch,
    whose,
)
from matcher.cli.app import app
from matcher.cli.keeping import cells, export, garments, intake, lots, store, tags, triage, works  # noqa: F401


def main() -> None:
    """Run the command line. Only the command asked for is built: building all takes as long as weighing a ball."""
    asked = [one for one in app.registered_commands if [_name(one)] == sys.argv[1:2]]
    app.registered_commands = asked or app.registered_commands
    app()


def _name(command: typer.models.CommandInfo) -> str:
    return command.name or (command.callback.__name__.replace("_", "-") if command.callback else "")
