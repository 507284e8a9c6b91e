"""The `matcher` command. Heavy imports happen inside the commands, so that --help is quick."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from itertools import pairwise
from typing import Annotated, Any, TypeVar

import typer
from typer.core import TyperGroup

from matcher.cli.help import Explained, whole
from matcher.cli.terminal import note, tell
from matcher.cli.words import style_of
from matcher.errors import BadInput, MatcherError
from matcher.reasons.reason import reason
from matcher.reasons.style import Style
from matcher.store.changes import changed

_Command = TypeVar("_Command", bound=Callable[..., Any])


class QuietGroup(TyperGroup):
    """Shows our errors as one plain message on stderr, never as a traceback."""

    def format_help(self, ctx: Any, formatter: Any) -> None:
        """Write the page of the whole."""
        formatter.write(whole(self.help or "", self.get_params(ctx), dict(self.commands)))

    def format_usage(self, ctx: Any, formatter: Any) -> None:
        """The line that a usage error begins with."""
        formatter.write("Usage: matcher COMMAND ...\n")

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """A number below 0 would be taken for an option that is not there."""
        for before, text in pairwise(args):
            if before == "--":
                break
            if re.match(r"-\d", text) and not before.startswith("-"):
                what = reason("a number below 0 makes no sense here")
                raise BadInput(what, f'"{text}"', reason("leave out the minus"))
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: Any) -> Any:
        try:
            return super().invoke(ctx)
        except MatcherError as error:
            # An option of the command that failed may have said in which units she reads.
            style = ctx.obj if isinstance(ctx.obj, Style) else style_of()
            note(f"matcher: {error.shown(style)}")
            raise typer.Exit(error.exit_code) from None
        except OSError as fault:
            # The system's own word on a place: a name too long, no permission, a folder that is gone.
            what = reason("this place can't be used ({why})", why=(fault.strerror or "no reason given").lower())
            refused = BadInput(what, os.fsdecode(fault.filename or ""), changed())
            note(f"matcher: {refused.shown(style_of())}")
            raise typer.Exit(refused.exit_code) from None
        except typer.Abort:  # a question was not answered
            note(reason("matcher: stopped; {changed}", changed=changed()))
            raise typer.Exit(2) from None


class _App(typer.Typer):
    """Every command of it explains itself by our page."""

    def command(self, name: str | None = None, **given: Any) -> Callable[[_Command], _Command]:
        return super().command(name, **{"cls": Explained, **given})


app = _App(
    cls=QuietGroup,
    invoke_without_command=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="""Find out what your leftover yarn could become.

Enough is kept back to mend the sweaters it came from. A bin is your store, a folder with lots.csv and garments.csv, or
one .xlsx or .ods. "demo" names the leftovers of an invented knitter, to try things with. Each command has a page of its
own: matcher suggest --help.

Examples:
matcher suggest demo
matcher list garments demo
matcher contrast navy cream
""",
)


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        tell(f"matcher {version('matcher')}")
        raise typer.Exit


@app.callback()
def _root(
    context: typer.Context,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version and stop.")
    ] = False,
) -> None:
    if context.invoked_subcommand is None:
        from matcher.actions.looking.overview import overview
        from matcher.cli.options import Units, wished_units
        from matcher.cli.overview import show_overview

        show_overview(overview(), style_of((wished_units() or Units.metric).value))
