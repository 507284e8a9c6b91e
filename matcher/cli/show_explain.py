"""The whole working of one suggestion: zones, metres, spread, reserve, contrast, score, sources."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from rich.table import Table
from rich.text import Text

from matcher.actions.context import catalogue_for
from matcher.actions.suggestion import RolePlan, Suggestion
from matcher.cli.show import chip, console
from matcher.cli.show_suggestions import in_100
from matcher.matching.score import PARTS
from matcher.materials.units import show_length, show_mass
from matcher.materials.vision import SIGHTS


def show_explained(one: Suggestion, units: str, catalog: Path | None) -> None:
    """Print the working on stdout."""
    screen = console()
    catalogue = catalogue_for(catalog)
    variant, ranking = one.found.variant, catalogue.ranking
    screen.print(
        Text(f"{one.accessory}, {one.size}", style="bold"),
        f" score {one.found.score:.3f}, {in_100(one.found.sure)}",
    )
    screen.print(f"{variant.accessory.note}\n")
    gauge = variant.gauge
    screen.print(
        f"Gauge {gauge.stitches_10cm:.0f} stitches and {gauge.rows_10cm:.1f} rows in 10 cm: one stitch takes "
        f"{gauge.loop_cm:.2f} cm of yarn (4.2 / stitches in 1 cm)."
    )
    screen.print(_zones(one))
    for role in one.roles:
        _role(role, units, screen)
    if one.contrasts:
        screen.print(Text("How the colours read", style="bold"))
    for contrast in one.contrasts:
        figures = ", ".join(
            f"{sight} {contrast.judged.sights[sight][0]:.0f}/{contrast.judged.sights[sight][1]:.0f}" for sight in SIGHTS
        )
        screen.print(
            f"  {contrast.roles[0]} and {contrast.roles[1]}: {contrast.judged.verdict}. {contrast.judged.reason}."
        )
        screen.print(f"    CIEDE2000/lightness: {figures}", style="dim")
    screen.print(Text("In one fabric", style="bold"))
    for rule in one.together:
        screen.print(f"  {rule.rule}: {rule.verdict}, {rule.reason}")
    screen.print(f"  {one.care}")
    screen.print(Text("The score", style="bold"))
    parts = [f"{name} {one.found.parts[name]:.2f} x {getattr(ranking, f'weight_{name}'):.2f}" for name in PARTS]
    screen.print(f"  {' + '.join(parts)} = {one.found.score:.3f}")
    for words in one.warnings:
        screen.print(f"Mind: {words}.")
    for words in one.cautions:
        screen.print(f"Take care: {words}")
    _sources(
        one,
        screen,
        catalogue.sources[variant.accessory.source].title if variant.accessory.source in catalogue.sources else "",
    )


def _zones(one: Suggestion) -> Table:
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim", pad_edge=False)
    for heading in ("zone", "in", "knitted", "role"):
        table.add_column(heading, overflow="fold")
    for heading in ("pieces", "stitches", "rows", "metres"):
        table.add_column(heading, justify="right")
    for role in one.roles:
        for line in role.need.working:
            across = f"{line.first}" if line.first == line.last else f"{line.first} to {line.last}"
            table.add_row(
                line.zone,
                line.shape,
                line.structure,
                role.role,
                str(line.pieces),
                across,
                str(line.rows),
                f"{line.length_m:.1f}",
            )
    return table


def _role(role: RolePlan, units: str, screen: Console) -> None:
    need = role.need
    name = Text(role.role, style="bold")
    screen.print(chip(role.colour, screen), name, end="")
    screen.print(
        f": {need.stitches} stitches; floats {show_length(need.float_m, units)}, edges {show_length(need.edge_m, units)}, "
        f"ends {show_length(need.tail_m, units)}."
    )
    strands = f" in {role.strands} strands" if role.strands > 1 else ""
    screen.print(
        f"  needs {show_length(role.need_m, units)}{strands}, give or take {show_length(role.need_sd_m, units)}"
        + ("" if role.brought else f", about {show_mass(role.need_g, units)}")
    )
    if role.brought:
        screen.print("  yours to bring")
        return
    for lot in role.lots:
        tex = f"{lot.yarn.tex.mean:.0f} tex ({lot.yarn.tex_from}), give or take {lot.yarn.tex.sd:.0f}"
        place = f" in {lot.place}" if lot.place else ""
        screen.print(
            f"  {lot.name}{place}: {show_mass(lot.mass_g, units)} at {tex} = {show_length(lot.length.mean, units)}, "
            f"give or take {show_length(lot.length.sd, units)}"
        )
    screen.print(
        f"  on hand {show_length(role.on_hand_m, units)}, kept for mending {show_length(role.reserve_m, units)}, "
        f"left over after knitting {show_length(role.left_m, units)}"
    )


def _sources(one: Suggestion, screen: Console, shape: str) -> None:
    screen.print(
        f"Sources: stitch geometry Munden 1959 with Kc 5.5, Kw 4.2; body sizes {_bodies(one)}; CIEDE2000 Sharma, Wu and "
        f"Dalal 2005; deficiencies Machado et al. 2009; shape: {shape or 'your own entry'}.",
        style="dim",
    )


def _bodies(one: Suggestion) -> str:
    return "WHO 2007" if one.size in ("newborn", "baby", "toddler", "child") else "ANSUR II 2012"
