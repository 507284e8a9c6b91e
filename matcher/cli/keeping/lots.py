"""`matcher weigh`, `move`, `split`, `join`: what happens to a lot."""

from __future__ import annotations

from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.keeping import say
from matcher.cli.options import JsonOption, StoreOption, Units, UnitsOption


@app.command()
def weigh(
    lot: say.LotArgument,
    mass: Annotated[
        str,
        typer.Argument(
            metavar="GRAMS", help="What it weighs now: 41g, '1.5 oz', 'about 40 g', 'half'; 0 if all is gone."
        ),
    ],
    bin: StoreOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Write down what a lot weighs now.

    A lot of 0 g is taken out of the store.

    Examples:
        matcher intake demo --bin try.db
        matcher weigh navy 41g --bin try.db
    """
    from matcher.actions.progress.weigh import weigh as act

    say.tell(act(lot, mass, bin=bin), as_json, units)


@app.command()
def move(
    lot: say.LotArgument,
    place: Annotated[str, typer.Argument(metavar="PLACE", help="Where it lies now.")],
    bin: StoreOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write down where a lot lies.

    Examples:
        matcher intake demo --bin try.db
        matcher move navy "top shelf" --bin try.db
    """
    from matcher.actions.keeping.lots import move as act

    say.tell(act(lot, place, bin=bin), as_json)


@app.command()
def split(
    lot: say.LotArgument,
    mass: Annotated[str, typer.Argument(metavar="GRAMS", help="What the new lot weighs, such as 50g.")],
    name: Annotated[
        str | None, typer.Option("--as", metavar="NAME", help="Its name; the old one with a number if left out.")
    ] = None,
    bin: StoreOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Make a lot of its own of some of a lot's yarn.

    One ball of several, say.

    Examples:
        matcher intake demo --bin try.db
        matcher split navy 50g --as "navy, full ball" --bin try.db
    """
    from matcher.actions.keeping.lots import split as act

    say.tell(act(lot, mass, name=name, bin=bin), as_json, units)


@app.command()
def join(
    lots: Annotated[
        list[str], typer.Argument(metavar="LOT LOT ...", help="Two lots or more; the first one's name stays.")
    ],
    anyway: Annotated[
        bool, typer.Option("--anyway", help="Also if they differ; then the first one's cells stay.")
    ] = False,
    bin: StoreOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Make one lot of several that are alike.

    They are of the same yarn, colour, dye lot and garment.

    Examples:
        matcher intake demo --bin try.db
        matcher join "mid grey" "mid grey, full ball" --bin try.db
    """
    from matcher.actions.keeping.lots import join as act

    say.tell(act(lots, anyway=anyway, bin=bin), as_json, units)
