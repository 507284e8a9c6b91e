"""`matcher triage`: one advice for each lot."""

from __future__ import annotations

from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import (
    BinArgument,
    CatalogOption,
    CsvOption,
    JsonOption,
    MendingOption,
    Units,
    UnitsOption,
)


@app.command()
def triage(
    bin: BinArgument = None,
    lot: Annotated[list[str] | None, typer.Option("--lot", help="Only this lot; may be repeated.")] = None,
    decide: Annotated[
        str | None,
        typer.Option(
            "--decide", metavar="ADVICE", help="With --lot: what you decide; it holds whatever the figures say."
        ),
    ] = None,
    undecide: Annotated[bool, typer.Option("--undecide", help="With --lot: forget what you decided.")] = False,
    mending: MendingOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Say of every lot what to do with it, and why.

    First comes what frees most yarn, or what may be lost: a lot without a label or with a weight that cannot be right
    counts with all its metres, others with what they free.

    Examples:
        matcher triage demo
        matcher triage demo --lot navy
    """
    from matcher.actions.desk import Desk
    from matcher.actions.keeping.triage import triage as act
    from matcher.actions.place import reads_demo
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.triage import show_triage
    from matcher.cli.words import style_of

    if reads_demo(bin) and decide is None and not undecide:
        show.demo_note()
    with show.LateProgress("looking over") as progress:
        found = act(
            desk := Desk(bin, catalog, mending),
            lot=lot or (),
            decide=decide,
            undecide=undecide,
            mending=mending,
            catalog=catalog,
            progress=progress,
        )
    style = style_of(units.value)
    show.read_note(desk, style)
    show.answer(found, show_triage, style, as_json=as_json, as_csv=as_csv)
    if not (as_json or as_csv):
        for caution in found.cautions:
            show.note(caution, style)
