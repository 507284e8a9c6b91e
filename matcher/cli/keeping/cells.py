"""`matcher add` and `matcher change`: the cells of a lot."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.keeping import say
from matcher.cli.keeping.columns import with_cells
from matcher.cli.options import JsonOption, StoreOption, Units, UnitsOption
from matcher.store.sheets.columns import LOTS


@app.command()
@with_cells(LOTS, "lot")
def add(
    lot: Annotated[str, typer.Argument(metavar="LOT", help="A name of its own.")],
    cells: Mapping[str, str],
    bin: StoreOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Put a lot into your store; the first one begins it.

    Needed: --grams, --colour, and how heavy the yarn is: --ball-grams with --ball-metres, or --tex, or --class. What
    holds a space stands in quotation marks.

    Examples:
        matcher add "sea green" --grams 41 --colour "#2f6f66" --class DK --bin try.db
    """
    from matcher.actions.keeping.cells import add as act

    say.tell(act(lot, cells, bin=bin), as_json, units)


@app.command()
@with_cells(LOTS, "lot")
def change(
    lot: say.LotArgument,
    cells: Mapping[str, str],
    name: Annotated[str | None, typer.Option("--name", help="A new name for it.")] = None,
    bin: StoreOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Change what is written down of a lot.

    Two quotation marks with nothing between them clear a cell: --place "".

    Examples:
        matcher intake demo --bin try.db
        matcher change navy --dye-lot 14 --label yes --bin try.db
    """
    from matcher.actions.keeping.cells import change as act

    say.tell(act(lot, cells, name=name, bin=bin), as_json, units)
