"""Needs on screen: a table by size and class, or the whole working of one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rich.console import Console
from rich.text import Text

from matcher.actions.needs import Needs
from matcher.cli.screens.console import console, say
from matcher.cli.screens.table import show_table
from matcher.knitting.piece import PieceNeed
from matcher.reasons.quantities import GaugeFigures, Length, Mass, Measure, Number, StitchLength, Tex
from matcher.reasons.reason import Field, Term, Words, counted, listed, reason
from matcher.reasons.style import Style

# Shapes of the catalogue as a knitter calls them.
_SHAPES = {"frustum": "tapered"}
_ONE = {"size": Field("size"), "class": Field("class")}


def shape_of(shape: str) -> str:
    """A shape of the catalogue as a knitter calls it."""
    return _SHAPES.get(shape, shape)


def show_needs(found: Needs, style: Style) -> None:
    """Print on stdout."""
    screen = console()
    screen.print(Text(found.accessory.name, style="bold"))
    if found.accessory.note:
        say(screen, found.accessory.note)
    if len(found.rows) == 1:
        _working(found.rows[0], found.called, style, screen, learnt=found.history.learnt is not None)
        return
    lines = []
    for row in found.rows:
        for place, role in enumerate(row["roles"]):
            head = (row["size"], str(row["class"])) if place == 0 else ("", "")
            brought = " (yours)" if role["bring"] else ""
            figures = (Length(role["metres"]), Length(role["sd"]), Mass(role["grams"]))
            lines.append((*head, role["role"] + brought, *map(style.say, figures), str(role["stitches"])))
    headings = ("size", "class", "role", "length", "give or take", "weight", "stitches")
    show_table(screen, headings, lines, right=(3, 4, 5, 6))
    more = reason("Name one size and one class ({size}, {class}) for the whole working.", **_ONE)
    screen.print(style.say(more), style="dim")


def _working(row: dict[str, Any], called: Mapping[str, str], style: Style, screen: Console, *, learnt: bool) -> None:
    """The working of one size and class. learnt : whether its stitches follow her own knitting."""
    gauge = row["gauge"]
    said = "{size}, class {number}, {tex}: {gauge}; one plain stitch takes {loop} of yarn."
    if learnt:
        said = "{size}, class {number}, {tex}: {gauge}; one plain stitch usually takes {loop} of yarn."
    head = reason(
        said,
        size=Term(row["size"]),
        number=row["class"],
        tex=Tex(row["tex"]),
        gauge=GaugeFigures(gauge["stitches_10cm"], gauge["rows_10cm"]),
        loop=StitchLength(row["loop_cm"]),
    )
    say(screen, style.say(head))
    for role in row["roles"]:
        named = reason("{role} (yours to bring)", role=Term(role["role"])) if role["bring"] else Term(role["role"])
        screen.print(Text(style.say(named), style="bold"))
        takes = counted(
            role["stitches"],
            "{length}, give or take {spread}, about {mass}; {n} stitch:",
            "{length}, give or take {spread}, about {mass}; {n} stitches:",
            length=Length(role["metres"]),
            spread=Length(role["sd"]),
            mass=Mass(role["grams"]),
        )
        say(screen, style.say(takes), 2)
        for zone in role["zones"]:
            say(screen, style.say(_zone(zone, called)), 2)
        ends = reason("edges take {edges}, ends {ends}", edges=Length(role["edge_m"]), ends=Length(role["tail_m"]))
        say(screen, style.say(ends), 2)


def _zone(zone: dict[str, Any], called: Mapping[str, str]) -> Words:
    pieces = counted(zone["pieces"], "", "{n} pieces, ")
    across: Words = str(zone["first"])
    if zone["first"] != zone["last"]:
        across = reason("{first} to {last}", first=zone["first"], last=zone["last"])
    floats: Words = ""
    if zone["passed"]:
        passed = ", {passed} of them passed by floats of {float}"
        floats = reason(passed, passed=Number(zone["passed"]), float=StitchLength(zone["float_cm"]))
    return reason(
        "{zone} ({shape}, {structure}): {pieces}{across} stitches by {rows} rows; {stitches} stitches of {loop}{floats}"
        " = {length}",
        zone=Term(zone["zone"]),
        shape=Term(shape_of(zone["shape"])),
        structure=Term(called[zone["structure"]]),
        pieces=pieces,
        across=across,
        rows=zone["rows"],
        stitches=Number(zone["stitches"]),
        loop=StitchLength(zone["loop_cm"]),
        floats=floats,
        length=Length(zone["length_m"]),
    )


def show_piece(found: PieceNeed, style: Style) -> None:
    """Print on stdout."""
    screen, working = console(), found.working
    spread = "{whole}, give or take {spread}"
    length = reason(spread, whole=Length(found.length.mean), spread=Length(found.length.sd))
    mass = reason(spread, whole=Mass(found.grams.mean), spread=Mass(found.grams.sd))
    screen.print(Text(style.say(length), style="bold").append(f" ({style.say(mass)})", style="not bold"))
    gauge = working["gauge"]
    parts: list[Words] = [reason("floats {length}", length=Length(working["float_m"]))] if working["float_m"] else []
    parts.append(
        reason("edges {edges} and ends {ends}", edges=Length(working["edge_m"]), ends=Length(working["tail_m"]))
    )
    told = reason(
        "{stitches} by {rows}, about {width} wide and {height} high; {gauge} (from the {gauge_from}), one stitch takes "
        "{loop}; {parts} are in it; {tex} (from the {tex_from}).",
        stitches=counted(working["stitches"], "{n} stitch", "{n} stitches"),
        rows=counted(working["rows"], "{n} row", "{n} rows"),
        width=Measure(working["width_cm"]),
        height=Measure(working["height_cm"]),
        gauge=GaugeFigures(gauge["stitches_10cm"], gauge["rows_10cm"]),
        gauge_from=working["gauge_from"],
        loop=StitchLength(working["loop_cm"]),
        parts=listed(parts),
        tex=Tex(working["tex"]),
        tex_from=working["tex_from"],
    )
    say(screen, style.say(told))
