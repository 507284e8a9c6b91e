"""The whole working of one suggestion: zones, metres, spread, reserve, contrast, score, sources."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from rich.table import Table
from rich.text import Text

from matcher.actions.desk import desk_of
from matcher.actions.ranking.suggestion import Suggestion
from matcher.actions.roles import RoleYarn
from matcher.cli.screens.screen import chip, console, in_her_units, say
from matcher.cli.screens.suggestions import in_100
from matcher.matching.ranking.score import PARTS
from matcher.materials.colours.vision import SIGHTS
from matcher.materials.reading.units import show_cm, show_gauge, show_length, show_mass, show_stitch
from matcher.store.catalogue.catalogue import Catalogue

_EQUATIONS = (
    "Munden 1959: stitches, rows and loop length of relaxed plain knitting",
    "Sharma, Wu and Dalal 2005: CIEDE2000",
)


def show_explained(one: Suggestion, units: str, catalog: Path | None) -> None:
    """Print the working on stdout."""
    screen, catalogue = console(), desk_of(None, catalog).catalogue
    gauge, unit = one.found.variant.gauge, "in" if units == "imperial" else "cm"
    head = Text(f"{one.accessory}, {one.size}", style="bold")
    screen.print(head.append(f"   score {one.found.score:.3f}, {in_100(one.found.sure)}", style="not bold"))
    say(screen, one.found.variant.accessory.note)
    say(
        screen,
        f"Gauge: {show_gauge(gauge.stitches_10cm, gauge.rows_10cm, units)}; one plain stitch takes "
        f"{show_stitch(gauge.loop_cm, units)} of yarn ({catalogue.fabric.Kw:g} / stitches in 1 {unit}).",
    )
    screen.print(_zones(one, units))
    for role in one.roles:
        _role(role, units, screen, catalogue)
    _contrasts(one, screen)
    _heading("In one fabric", screen)
    for rule in one.together:
        say(screen, f"{rule.rule}: {rule.verdict}, {rule.reason}", 2)
    say(screen, one.care, 2)
    _score(one, screen, catalogue)
    for words in one.warnings:
        say(screen, f"Mind: {in_her_units(words, units)}.")
    for words in one.cautions:
        say(screen, f"Take care: {words}")
    say(screen, f"Sources: {'; '.join(_sources(one, catalogue))}.", 0, "dim")


def _heading(words: str, screen: Console) -> None:
    screen.print(Text(words, style="bold"))


def _zones(one: Suggestion, units: str) -> Table:
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim", pad_edge=False)
    for heading in ("zone", "shape", "knitted", "role"):
        table.add_column(heading, overflow="fold")
    for heading in ("pieces", "stitches", "rows", "yarn"):
        table.add_column(heading, justify="right")
    for role in one.roles:
        for line in role.need.working:
            across = f"{line.first}" if line.first == line.last else f"{line.first} to {line.last}"
            what = (str(line.zone), line.shape, line.structure, role.role, str(line.pieces), across, str(line.rows))
            table.add_row(*what, show_length(line.length_m, units))
    return table


def _role(role: RoleYarn, units: str, screen: Console, catalogue: Catalogue) -> None:
    need = role.need
    screen.print(chip(role.colour, screen).append(f"{role.role}", style="bold"))
    shared, own = need.shared_sd_m / need.length_m, need.own_sd_m / need.length_m
    say(
        screen,
        f"{need.stitches} stitches, with floats of {show_length(need.float_m, units)}, edges of "
        f"{show_length(need.edge_m, units)} and ends of {show_length(need.tail_m, units)}: "
        f"{show_length(need.length_m, units)} a strand, give or take {show_length(need.sd_m, units)} "
        f"({shared:.0%} for your tension, which all roles share, {own:.0%} for this role alone).",
        2,
    )
    if role.brought:
        say(screen, "Yours to bring.", 2)
        return
    strands = f" in {role.strands} strands" if role.strands > 1 else ""
    say(screen, f"It needs {show_length(role.need_m, units)}{strands}, about {show_mass(role.need_g, units)}.", 2)
    for lot in role.lots:
        tex = f"{lot.yarn.tex.mean:.0f} tex from the {lot.yarn.tex_from}, give or take {lot.yarn.tex.sd:.0f}"
        place = f" ({lot.place})" if lot.place else ""
        say(
            screen,
            f"{lot.name}{place}: {show_mass(lot.mass_g, units)} of {tex} = "
            f"{show_length(lot.length.mean, units)}, give or take {show_length(lot.length.sd, units)}.",
            2,
        )
    for group in role.reserves:
        say(screen, f"Kept back, {show_length(group.reserve_m, units)}: {in_her_units(group.because, units)}.", 2)
        for line in group.working:
            size = f"{show_cm(line.width_cm, units)} by {show_cm(line.height_cm, units)}"
            say(
                screen,
                f"{line.area}: {line.count} of {size}, {line.stitches} stitches by {line.rows} rows, "
                f"share {line.share:.0%} = {show_length(line.length_m, units)}",
                4,
                "dim",
            )
    say(
        screen,
        f"On hand {show_length(role.on_hand_m, units)}, kept {show_length(role.reserve_m, units)}, "
        f"needed {show_length(role.need_m, units)}, left over {show_length(role.left_m, units)}.",
        2,
    )


def _contrasts(one: Suggestion, screen: Console) -> None:
    if one.contrasts:
        _heading("How the colours read", screen)
    for contrast in one.contrasts:
        judged = contrast.judged
        say(screen, f"{contrast.roles[0]} and {contrast.roles[1]}: {judged.verdict}. {judged.reason}.", 2)
        figures = ", ".join(f"{sight} {judged.sights[sight][0]:.0f}/{judged.sights[sight][1]:.0f}" for sight in SIGHTS)
        say(screen, f"CIEDE2000/lightness: {figures}", 4, "dim")


def _score(one: Suggestion, screen: Console, catalogue: Catalogue) -> None:
    _heading("The score", screen)
    parts = [
        f"{name} {one.found.parts[name]:.2f} x {getattr(catalogue.ranking, f'weight_{name}'):.2f}" for name in PARTS
    ]
    say(screen, f"{' + '.join(parts)} = {one.found.score:.3f}", 2)


def _sources(one: Suggestion, catalogue: Catalogue) -> list[str]:
    """What the equations rest on, and the titles of the sources of all figures (catalog/sources.toml)."""
    accessory = one.found.variant.accessory
    keys = [figure.source for figure in catalogue.sizes.figures if figure.size == one.size]
    keys += [figure.source for figure in catalogue.figures if figure.file.startswith(("fabric/", "standards/"))]
    keys.append(accessory.source)
    titles = [catalogue.sources[key].title for key in dict.fromkeys(keys) if key in catalogue.sources]
    return [*_EQUATIONS, *titles]
