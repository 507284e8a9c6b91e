"""The `matcher` command. Heavy imports happen inside the commands, so that --help is quick."""

from __future__ import annotations

import sys
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from matcher.errors import MatcherError


class QuietGroup(TyperGroup):
    """Shows our errors as one plain message on stderr, never as a traceback."""

    def invoke(self, ctx: Any) -> Any:
        try:
            return super().invoke(ctx)
        except MatcherError as error:
            print(f"matcher: {error}", file=sys.stderr)
            raise typer.Exit(error.exit_code) from None
        except BrokenPipeError:
            # The reader of a pipe has seen enough.
            sys.stderr.close()
            raise typer.Exit(0) from None


app = typer.Typer(
    cls=QuietGroup,
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode="markdown",
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="""
Example: **matcher suggest my-bin**

What your leftover yarn could become, with enough kept back to mend the sweaters it came from.
A bin is a folder with lots.csv and garments.csv, or one .xlsx or .ods with the sheets lots and garments.
""",
)


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        print(f"matcher {version('matcher')}")
        raise typer.Exit


@app.callback()
def _root(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version and stop.")
    ] = False,
) -> None:
    pass


def main() -> None:
    """Run the command line. Only the command asked for is built: building all takes as long as weighing a ball."""
    asked = [one for one in app.registered_commands if [_name(one)] == sys.argv[1:2]]
    app.registered_commands = asked or app.registered_commands
    app()


def _name(command: typer.models.CommandInfo) -> str:
    return command.name or (command.callback.__name__.replace("_", "-") if command.callback else "")


# Each module adds its commands to `app` when it is imported.
from matcher.cli import (  # noqa: E402, F401
    calibration,
    check,
    companion,
    contrast,
    export,
    intake,
    keep_cells,
    keep_garments,
    keep_lots,
    keep_store,
    keep_works,
    knit,
    lookalikes,
    motif,
    palette,
    photo,
    reserve,
    suggest,
    swatch,
    tags,
    triage,
    whose,
)
