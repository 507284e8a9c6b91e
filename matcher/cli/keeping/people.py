"""`matcher person`: those she knits for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.keeping import say
from matcher.cli.keeping.columns import with_cells
from matcher.cli.options import JsonOption, StoreOption
from matcher.store.sheets.columns import PEOPLE


@app.command()
@with_cells(PEOPLE, "person")
def person(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Who it is, as garments name their wearer.")],
    cells: Mapping[str, str],
    forget: Annotated[bool, typer.Option("--forget", help="Take the person out again.")] = False,
    bin: StoreOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write down somebody you knit for: sizes, skin, eyes, likes.

    Suggestions are for those who are written down. With the name alone, what is written is shown. Two quotation marks
    with nothing between them clear a cell: --likes "".

    Examples:
        matcher person Ada --size "5 years" --avoid-on-skin wool --bin try.db
        matcher person "my father" --head "23 in" --eyes red-green --bin try.db
    """
    from matcher.actions.keeping.people import person as act

    say.tell(act(name, cells, forget=forget, bin=bin), as_json)
