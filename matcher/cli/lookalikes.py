"""`matcher lookalikes`: lots that the eye cannot tell apart."""

from __future__ import annotations

from matcher.cli.app import app
from matcher.cli.options import BinArgument, CatalogOption, CsvOption, JsonOption, Units, UnitsOption
from matcher.cli.words import style_of


@app.command()
def lookalikes(
    bin: BinArgument = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Find lots that the eye cannot tell apart, and what can.

    They are of one weight class: tag them before they are mixed.

    Examples:
        matcher lookalikes demo
    """
    from matcher.actions.colours.lookalikes import lookalikes as act
    from matcher.actions.desk import Desk
    from matcher.actions.place import reads_demo
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.lookalikes import show_lookalikes

    if reads_demo(bin):
        show.demo_note()
    style = style_of(units.value)
    with show.LateProgress("looking"):
        found = act(desk := Desk(bin, catalog))
    show.read_note(desk, style)
    show.answer(found, show_lookalikes, style, as_json=as_json, as_csv=as_csv)
