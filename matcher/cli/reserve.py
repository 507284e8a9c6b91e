"""`matcher reserve`: what is kept back for mending, and what goes free."""

from __future__ import annotations

from matcher.cli.app import app
from matcher.cli.options import BinArgument, CatalogOption, CsvOption, JsonOption, Units, UnitsOption


@app.command()
def reserve(
    bin: BinArgument = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Example: **matcher reserve my-bin**

    Show for every garment what is kept back to mend and alter it, from which lots, for what; and what goes free.
    """
    from rich.text import Text

    from matcher.actions.place import reads_demo
    from matcher.actions.reserve import reserve as act
    from matcher.cli.screens import screen as show
    from matcher.materials.reading.units import show_length

    if reads_demo(bin):
        show.note("No bin was named, so this is the demo: an invented knitter's leftovers.")
    found = act(bin, catalog=catalog)
    if as_json:
        show.print_json(found.as_dict())
        return
    if as_csv:
        show.print_csv(found.frame())
        return
    screen = show.console()
    lots = {lot.name: lot for lot in found.bin.lots}
    garment: str | None = None
    for group in found.groups:
        if group.garment != garment:
            garment = group.garment
            known = found.bin.garments.get(garment)
            status = f" ({known.kind}, {known.status})" if known else ""
            screen.print(Text(f"{garment or 'No garment, set by hand'}{status}", style="bold"))
        colour = lots[next(iter(group.held))].colour if group.held else None
        screen.print(show.chip(colour, screen), f"{group.called}: keep {show_length(group.reserve_m, units.value)}")
        show.say(screen, show.in_her_units(f"{group.because}.", units.value), 3)
        for lot, held in group.held.items():
            free = group.freed[lot]
            screen.print(f"   {lot}: {show_length(held, units.value)} kept, {show_length(free, units.value)} free")
