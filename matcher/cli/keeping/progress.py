"""`matcher row`: how far a piece on the needles is."""

from __future__ import annotations

from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.keeping import say
from matcher.cli.options import CatalogOption, JsonOption, StoreOption, Units, UnitsOption


@app.command()
def row(
    work: say.WorkArgument,
    course: Annotated[
        int | None,
        typer.Argument(metavar="ROUND", help="The round or row that is done, by its number in the pattern."),
    ] = None,
    done: Annotated[
        str | None, typer.Option("--done", metavar="SECTION", help="A whole section that is done: 'crown'.")
    ] = None,
    piece: Annotated[
        int | None, typer.Option("--piece", metavar="N", help="Which of several alike: 2 for the second mitt.")
    ] = None,
    weighed: Annotated[
        list[str] | None,
        typer.Option("--weigh", metavar="LOT=GRAMS", help="What a lot weighs now, once for each: 'navy=23 g'."),
    ] = None,
    bin: StoreOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Note how far a piece is, and see whether each colour lasts.

    Weigh its yarn in the middle, and what it has used so far tells what the rest will take. Where a colour may run
    out, it says what still helps from there.

    Examples:
        matcher intake demo --bin try.db
        matcher begin hat-plain --size "adult small" --lots navy --bin try.db
        matcher row hat-plain 20 --weigh "navy=70 g" --bin try.db
    """
    from matcher.actions.progress.row import row as act
    from matcher.actions.progress.works import weights

    found = act(
        work,
        course,
        done=done,
        piece=piece,
        weighed=weights(weighed or ()),
        bin=bin,
        catalog=catalog,
    )
    say.tell(found, as_json, units)
