"""The names of the catalogue on screen."""

from __future__ import annotations

from itertools import groupby

from rich.text import Text

from matcher.actions.contents import Accessories, Motifs
from matcher.cli.screens.console import console
from matcher.cli.screens.table import show_table


def show_accessories(found: Accessories) -> None:
    """Keys and names, by kind."""
    screen, wide = console(), max((len(one.key) for one in found.entries), default=0)
    for kind, entries in groupby(found.entries, key=lambda one: one.kind):
        screen.print(Text(kind, style="bold"))
        show_table(screen, ("", ""), [(one.key.ljust(wide), one.name) for one in entries], indent=2)


def show_motifs(found: Motifs) -> None:
    """Keys and names, with stitches, rows and colours."""
    rows = []
    for one in found.motifs:
        size = f"{one.width} stitches by {one.height} rows, {len(one.role_names)} colours"
        rows.append((one.key, f"{one.name}: {size}"))
    show_table(console(), ("", ""), rows, indent=2)
