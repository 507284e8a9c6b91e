"""`matcher show`: one thing with all that is known of it."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import (
    CatalogOption,
    JsonOption,
    MendingOption,
    ReplaceOption,
    Trade,
    TradeOption,
    Units,
    UnitsOption,
    bin_named,
)


class Kind(StrEnum):
    """What a name may be of."""

    lot = "lot"
    garment = "garment"
    person = "person"
    work = "work"
    accessory = "accessory"


@app.command()
def show(
    name: Annotated[
        list[str],
        typer.Argument(
            metavar="NAME ...",
            help="A lot (or the code on its tag), a garment, a person, something on the needles, or an accessory.",
        ),
    ],
    what: Annotated[
        Kind | None, typer.Option("--what", help="Which of them, where a name fits several kinds of things.")
    ] = None,
    bin: Annotated[
        Path | None,
        typer.Option(
            "--bin",
            metavar="BIN",
            callback=bin_named,
            help="A store, folder or spreadsheet; if left out: your store where there is one, else the demo.",
        ),
    ] = None,
    mending: MendingOption = None,
    catalog: CatalogOption = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="PLACE", help="Write the pattern of a piece there, as matcher pattern does."),
    ] = None,
    replace: ReplaceOption = False,
    words: TradeOption = Trade.american,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Show all that is known of one lot, garment, person or accessory.

    Of a lot: what holds it and what was done with it. Of a garment: what is kept to mend it. Of an accessory: what it
    is and what it takes. Of a piece on the needles: its pattern.

    Examples:
        matcher show navy --bin demo
        matcher show grey yoke pullover --bin demo
        matcher show hat-ribbed
    """
    from matcher.actions.desk import Desk
    from matcher.actions.looking.show import show as act
    from matcher.actions.place import reads_demo
    from matcher.cli.screens import screen as show_screen
    from matcher.cli.screens.shown import show_found
    from matcher.cli.words import style_of

    if reads_demo(bin):
        show_screen.demo_note()
    style = style_of(units.value, british=words is Trade.british)
    desk = Desk(bin, catalog, mending)
    found = act(" ".join(name), desk, what=what.value if what else None, out=out, replace=replace, style=style)
    show_screen.read_note(desk, style)
    for path in found.files:
        show_screen.note(f"{path} is written")
    if as_json:
        show_screen.print_json(found.as_dict(), style)
    elif out is None:
        show_found(found, style)
