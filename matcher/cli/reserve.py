"""`matcher reserve`: what is kept back for mending, and what goes free."""

from __future__ import annotations

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
from matcher.cli.words import style_of


@app.command()
def reserve(
    bin: BinArgument = None,
    mending: MendingOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Show what is kept back for mending and plans, and what is free.

    For every garment: how much, from which lots, and for what.

    Examples:
        matcher reserve demo
    """
    from matcher.actions.place import reads_demo
    from matcher.actions.reserve import reserve as act
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.reserve import show_reserves

    style = style_of(units.value)
    if reads_demo(bin):
        show.demo_note()
    with show.LateProgress("adding up"):
        found = act(bin, mending=mending, catalog=catalog)
    for remark in found.notes:
        show.note(remark, style)
    show.answer(found, show_reserves, style, as_json=as_json, as_csv=as_csv)
