"""`matcher wishes`: what every command goes by, unless it is told otherwise."""

from __future__ import annotations

from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.keeping import say
from matcher.cli.options import JsonOption, StoreOption


@app.command()
def wishes(
    units: Annotated[str | None, typer.Option("--units", help="metric, imperial, or mixed: grams with yards.")] = None,
    never: Annotated[
        str | None, typer.Option("--never", metavar="KINDS", help="What is never suggested: 'yokes; egg cosy'.")
    ] = None,
    apart: Annotated[
        str | None,
        typer.Option("--apart", metavar="YARNS", help="What never meets in one piece: 'mohair + cotton; fog + navy'."),
    ] = None,
    least_contrast: Annotated[
        str | None, typer.Option("--least-contrast", help="How well colours must read: clear, readable or quiet.")
    ] = None,
    eyes: Annotated[
        str | None, typer.Option("--eyes", help="Whose eyes must see it too: red, green, red-green, blue or any.")
    ] = None,
    mending: Annotated[
        str | None, typer.Option("--mending", help="Which mending yarn is kept for: little, usual or all.")
    ] = None,
    bin: StoreOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show or set what every command goes by.

    An option given to a command goes before a wish. Wishes are kept in your store, and undo takes them back. Two
    quotation marks with nothing between them leave one open again: --never "".

    Examples:
        matcher wishes --units mixed --never "yokes; small things" --bin try.db
        matcher wishes --bin try.db
    """
    from matcher.actions.keeping.wishes import wishes as act

    given = {"units": units, "never": never, "apart": apart, "least_contrast": least_contrast, "eyes": eyes}
    given |= {"mending": mending}
    say.tell(act({wish: text for wish, text in given.items() if text is not None}, bin=bin), as_json)
