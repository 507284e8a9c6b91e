"""Needs on screen: a table by size and class, or the whole working of one."""

from __future__ import annotations

from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

from matcher.actions.knit import Needs
from matcher.cli.show import console
from matcher.knitting.piece import PieceNeed
from matcher.materials.units import show_cm, show_length, show_mass


def show_needs(found: Needs, units: str) -> None:
    """Print on stdout."""
    screen = console()
    screen.print(Text(found.accessory.name, style="bold"))
    screen.print(found.accessory.note)
    if len(found.rows) == 1:
        _working(found.rows[0], units, screen)
        return
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim", pad_edge=False)
    for heading in ("size", "class", "role"):
        table.add_column(heading, overflow="fold")
    for heading in ("length", "give or take", "mass", "stitches"):
        table.add_column(heading, justify="right", no_wrap=True)
    for row in found.rows:
        for place, role in enumerate(row["roles"]):
            head = (row["size"], str(row["class"])) if place == 0 else ("", "")
            brought = " (yours)" if role["bring"] else ""
            table.add_row(
                *head,
                role["role"] + brought,
                show_length(role["metres"], units),
                show_length(role["sd"], units),
                show_mass(role["grams"], units),
                str(role["stitches"]),
            )
    screen.print(table)
    screen.print("One size and one class (--size, --class) show the whole working.", style="dim")


def _working(row: dict[str, Any], units: str, screen: Console) -> None:
    gauge = row["gauge"]
    screen.print(
        f"{row['size']}, class {row['class']}, {row['tex']:.0f} tex: {gauge['stitches_10cm']:.1f} stitches and "
        f"{gauge['rows_10cm']:.1f} rows in 10 cm, one plain stitch takes {row['loop_cm']:.2f} cm of yarn"
    )
    for role in row["roles"]:
        screen.print(
            Text(role["role"], style="bold"),
            f"{show_length(role['metres'], units)}, give or take {show_length(role['sd'], units)}, "
            f"about {show_mass(role['grams'], units)}; {role['stitches']} stitches",
        )
        for zone in role["zones"]:
            pieces = f"{zone['pieces']} pieces, " if zone["pieces"] > 1 else ""
            across = f"{zone['first']}" if zone["first"] == zone["last"] else f"{zone['first']} to {zone['last']}"
            screen.print(
                f"  {zone['zone']} ({zone['shape']}, {zone['structure']}): {pieces}{across} stitches by {zone['rows']} rows; "
                f"{zone['stitches']:.0f} stitches of {zone['loop_cm']:.2f} cm"
                + (f", {zone['passed']:.0f} passed by floats of {zone['float_cm']:.2f} cm" if zone["passed"] else "")
                + f" = {show_length(zone['length_m'], units)}"
            )
        screen.print(f"  edges {show_length(role['edge_m'], units)}, ends {show_length(role['tail_m'], units)}")


def show_piece(found: PieceNeed, units: str) -> None:
    """Print on stdout."""
    screen, working = console(), found.working
    screen.print(
        Text(
            f"{show_length(found.length.mean, units)}, give or take {show_length(found.length.sd, units)}",
            style="bold",
        ),
        f"({show_mass(found.grams.mean, units)}, give or take {show_mass(found.grams.sd, units)})",
    )
    gauge = working["gauge"]
    screen.print(
        f"{working['stitches']} stitches by {working['rows']} rows, about {show_cm(working['width_cm'], units)} wide and "
        f"{show_cm(working['height_cm'], units)} high;"
    )
    screen.print(
        f"{gauge['stitches_10cm']:.1f} stitches and {gauge['rows_10cm']:.1f} rows in 10 cm (from the {working['gauge_from']}), "
        f"one stitch takes {working['loop_cm']:.2f} cm;"
    )
    floats = f"floats {show_length(working['float_m'], units)}, " if working["float_m"] else ""
    screen.print(
        f"{floats}edges {show_length(working['edge_m'], units)}, ends {show_length(working['tail_m'], units)} are in it; "
        f"{working['tex']:.0f} tex (from the {working['tex_from']})."
    )
