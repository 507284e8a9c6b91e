"""`matcher begin`, `finish`, `abandon`: an accessory on the needles."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.keeping import say
from matcher.cli.options import CatalogOption, JsonOption, MendingOption, StoreOption, Units, UnitsOption


@app.command()
def begin(
    accessory: Annotated[
        str,
        typer.Argument(
            metavar="ACCESSORY",
            help="Its name or its key in the catalogue; or the number of a suggestion, as matcher suggest last listed "
            "them for this bin.",
        ),
    ] = "",
    lots: Annotated[
        list[str] | None,
        typer.Option(
            "--lots",
            metavar="ROLE=LOT",
            help="The lot of a role, once for each: 'main=navy'. 'main=navy + navy 2': one after the other; "
            "'main=fog & navy': held together; 'main=2 x fog': doubled. Without the role: in their order. They go "
            "before those of a suggestion or a pattern.",
        ),
    ] = None,
    size: Annotated[str | None, typer.Option("--size", help="Which size.")] = None,
    whom: Annotated[
        str | None, typer.Option("--for", metavar="NAME", help="Who it is for: their size or measures.")
    ] = None,
    swatch: Annotated[
        str | None,
        typer.Option("--swatch", help="Your gauge: '22 st x 30 rows' in 10 cm; if left out, the yarn's usual one."),
    ] = None,
    pattern: Annotated[
        Path | None,
        typer.Option("--pattern", metavar="FILE", help="A pattern's .json file, in place of an accessory."),
    ] = None,
    planned: Annotated[
        str | None,
        typer.Option(
            "--set",
            metavar="[FILE]",
            help="All things of a set that matcher set wrote, its .json file or its folder; without one, of the set "
            "that it showed last for this bin.",
        ),
    ] = None,
    name: Annotated[
        str | None, typer.Option("--as", metavar="NAME", help="What to call it; the accessory's name if left out.")
    ] = None,
    anyway: Annotated[
        bool, typer.Option("--anyway", help="Set aside what there is, even if it is too little or kept for mending.")
    ] = False,
    bin: StoreOption = None,
    mending: MendingOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Put an accessory on the needles and set its yarn aside.

    As many metres of its lots as it takes are claimed, and not offered to anything else. All things of a set are begun
    at once, or none.

    Examples:
        matcher intake demo --bin try.db
        matcher begin hat-plain --size "adult small" --lots navy --bin try.db
        matcher suggest try.db
        matcher begin 2 --bin try.db
    """
    from matcher.actions.beginning.begin import begin as act

    done = act(
        accessory,
        lots or (),
        size=size,
        whom=whom,
        swatch=swatch,
        pattern=pattern,
        planned=planned,
        name=name,
        anyway=anyway,
        mending=mending,
        bin=bin,
        catalog=catalog,
    )
    say.tell(done, as_json, units)


@app.command()
def finish(
    work: say.WorkArgument,
    weighed: Annotated[
        list[str] | None,
        typer.Option("--weigh", metavar="LOT=GRAMS", help="What is left of a lot, once for each: 'navy=41 g'."),
    ] = None,
    bin: StoreOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Finish an accessory by weighing what is left of its lots.

    What it really used is kept for matcher calibration.

    Examples:
        matcher intake demo --bin try.db
        matcher begin egg-cosy --lots "white cotton" --bin try.db
        matcher finish egg-cosy --weigh "white cotton=20g" --bin try.db
    """
    from matcher.actions.progress.works import finish as act
    from matcher.actions.progress.works import weights

    say.tell(act(work, weights(weighed or ()), bin=bin), as_json, units)


@app.command()
def abandon(
    work: say.WorkArgument,
    bin: StoreOption = None,
    as_json: JsonOption = False,
) -> None:
    """Give an accessory up: its yarn is free again.

    Examples:
        matcher intake demo --bin try.db
        matcher begin egg-cosy --lots "white cotton" --bin try.db
        matcher abandon egg-cosy --bin try.db
    """
    from matcher.actions.progress.works import abandon as act

    say.tell(act(work, bin=bin), as_json)
