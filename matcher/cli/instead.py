"""`matcher instead`: which lots could stand in for another."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.keeping.columns import with_cells
from matcher.cli.options import (
    CatalogOption,
    CsvOption,
    JsonOption,
    MendingOption,
    Units,
    UnitsOption,
    bin_named,
)
from matcher.store.sheets.columns import LOTS

NOTHING: Mapping[str, str] = {}
# Of a lot's columns those that tell what its yarn is like.
_NOT_OF_YARN = tuple(name for name in LOTS.typed if name != "colour" and not LOTS[name].yarn)


@app.command()
@with_cells(LOTS, *_NOT_OF_YARN)
def instead(
    lot: Annotated[
        str | None,
        typer.Argument(metavar="LOT", help="The lot's name, or the code on its tag; or describe a yarn by options."),
    ] = None,
    metres: Annotated[
        str | None,
        typer.Option("--metres", help="How much is wanted, such as 120 or 130 yd; all that is free if left out."),
    ] = None,
    cells: Mapping[str, str] = NOTHING,
    any_colour: Annotated[bool, typer.Option("--any-colour", help="Let colour count for nothing.")] = False,
    sure: Annotated[
        float | None,
        typer.Option("--sure", help="The least chance that the yarn is enough, 0.5 to 0.999; 0.95 if left out."),
    ] = None,
    top: Annotated[int, typer.Option("--top", help="How many ways.")] = 5,
    explain: Annotated[int | None, typer.Option("--explain", metavar="N", help="Show how way N was valued.")] = None,
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
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Find what could stand in for a lot, and what that changes.

    Lots alone, one after the other, or held together. Only what is free counts. In place of a lot you can describe a
    yarn: its class, fibre, colour, and how much of it is wanted.

    Examples:
        matcher instead navy --metres 100 --bin demo
        matcher instead --class DK --fibre wool --colour cream --metres 60 --bin demo
    """
    from matcher.actions.instead.instead import instead as act
    from matcher.actions.place import reads_demo
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.instead import show_explained, show_instead
    from matcher.cli.words import style_of
    from matcher.errors import BadInput
    from matcher.reasons.reason import Field, reason

    if reads_demo(bin):
        show.demo_note()
    style = style_of(units.value)
    with show.LateProgress("comparing"):
        found = act(
            lot,
            cells,
            metres=metres,
            any_colour=any_colour,
            sure=sure,
            top=top,
            bin=bin,
            mending=mending.value if mending else None,
            catalog=catalog,
        )
    for remark in found.notes:
        show.note(remark, style)
    every = (*found.stand_ins, *found.nearest)
    if explain is not None and not 1 <= explain <= len(every):
        holds = reason("the list has {number} of them", number=len(every))
        raise BadInput(reason("there is no way {number}", number=explain), Field("explain"), holds)
    if explain is not None and not as_json and not as_csv:
        show_explained(found, explain, style)
    else:
        show.answer(found, show_instead, style, as_json=as_json, as_csv=as_csv)
