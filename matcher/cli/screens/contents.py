"""The names of the catalogue on screen."""

from __future__ import annotations

from itertools import groupby

from rich.table import Table
from rich.text import Text

from matcher.actions.contents import Accessories, Motifs
from matcher.cli.screens.screen import console


def show_accessories(found: Accessories) -> None:
    """Keys and names, by kind."""
    screen = console()
    for kind, entries in groupby(found.entries, key=lambda one: one.kind):
        screen.print(Text(kind, style="bold"))
        table = _table()
        for one in entries:
            table.add_row("", one.key, one.name)
        screen.print(table)


def show_motifs(found: Motifs) -> None:
    """Keys and names, with stitches, rows and colours."""
    table = _table()
    for one in found.motifs:
        size = f"{one.width} stitches by {one.height} rows, {len(one.role_names)} colours"
        table.add_row("", one.key, f"{one.name}: {size}")
    console().print(table)


def _table() -> Table:
    table = Table(box=None, padding=(0, 1, 0, 0), show_header=False, pad_edge=False)
    table.add_column("", width=1)
    table.add_column("", no_wrap=True, min_width=24)
    table.add_column("")
    return table
