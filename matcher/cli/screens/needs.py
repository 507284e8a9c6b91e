"""Needs on screen: a table by size and class, or the whole working of one."""

from __future__ import annotations

from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

from matcher.actions.needs import Needs
from matcher.cli.screens.screen import console, say
from matcher.knitting.piece import PieceNeed
from matcher.materials.reading.units import show_cm, show_gauge, show_length, show_mass, show_stitch


def show_needs(found: Needs, units: str) -> None:
    """Print on stdout."""
    screen = console()
    screen.print(Text(found.accessory.name, style="bold"))
    say(screen, found.accessory.note)
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
    say(
        screen,
        f"{row['size']}, class {row['class']}, {row['tex']:.0f} tex: "
        f"{show_gauge(gauge['stitches_10cm'], gauge['rows_10cm'], units)}; one plain stitch takes "
        f"{show_stitch(row['loop_cm'], units)} of yarn.",
    )
    for role in row["roles"]:
        brought = " (yours to bring)" if role["bring"] else ""
        screen.print(Text(f"{role['role']}{brought}", style="bold"))
        say(
            screen,
            f"{show_length(role['metres'], units)}, give or take {show_length(role['sd'], units)}, about "
            f"{show_mass(role['grams'], units)}; {role['stitches']} stitches:",
            2,
        )
        for zone in role["zones"]:
            say(screen, _zone(zone, units), 2)
        say(screen, f"edges {show_length(role['edge_m'], units)}, ends {show_length(role['tail_m'], units)}", 2)


def _zone(zone: dict[str, Any], units: str) -> str:
    pieces = f"{zone['pieces']} pieces, " if zone["pieces"] > 1 else ""
    across = f"{zone['first']}" if zone["first"] == zone["last"] else f"{zone['first']} to {zone['last']}"
    floats = ""
    if zone["passed"]:
        floats = f", {zone['passed']:.0f} passed by floats of {show_stitch(zone['float_cm'], units)}"
    return (
        f"{zone['zone']} ({zone['shape']}, {zone['structure']}): {pieces}{across} stitches by {zone['rows']} rows; "
        f"{zone['stitches']:.0f} stitches of {show_stitch(zone['loop_cm'], units)}{floats} = "
        f"{show_length(zone['length_m'], units)}"
    )


def show_piece(found: PieceNeed, units: str) -> None:
    """Print on stdout."""
    screen, working = console(), found.working
    length = f"{show_length(found.length.mean, units)}, give or take {show_length(found.length.sd, units)}"
    mass = f"{show_mass(found.grams.mean, units)}, give or take {show_mass(found.grams.sd, units)}"
    screen.print(Text(length, style="bold").append(f" ({mass})", style="not bold"))
    gauge = working["gauge"]
    floats = f"floats {show_length(working['float_m'], units)}, " if working["float_m"] else ""
    say(
        screen,
        f"{working['stitches']} stitches by {working['rows']} rows, about {show_cm(working['width_cm'], units)} wide "
        f"and {show_cm(working['height_cm'], units)} high; "
        f"{show_gauge(gauge['stitches_10cm'], gauge['rows_10cm'], units)} (from the {working['gauge_from']}), one "
        f"stitch takes {show_stitch(working['loop_cm'], units)}; {floats}edges "
        f"{show_length(working['edge_m'], units)} and ends {show_length(working['tail_m'], units)} are in it; "
        f"{working['tex']:.0f} tex (from the {working['tex_from']}).",
    )
