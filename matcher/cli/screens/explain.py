"""The whole working of one suggestion: zones, metres, spread, reserve, contrast, score, sources."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from rich.text import Text

from matcher.actions.desk import desk_of
from matcher.actions.ranking.suggestion import Suggestion
from matcher.actions.roles import RoleYarn
from matcher.cli.screens.console import chip, console, say
from matcher.cli.screens.contrast import figures_of
from matcher.cli.screens.needs import shape_of
from matcher.cli.screens.suggestions import how_sure
from matcher.cli.screens.table import show_table
from matcher.matching.ranking.score import PARTS
from matcher.reasons.quantities import GaugeFigures, Length, Mass, Measure, Share, StitchLength, Tex
from matcher.reasons.reason import listed
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import Catalogue

_EQUATIONS = (
    "Munden 1959: stitches, rows and loop length of relaxed plain knitting",
    "Sharma, Wu and Dalal 2005: CIEDE2000",
)


def show_explained(one: Suggestion, style: Style, catalog: Path | None, *, kept: bool = True) -> None:
    """Print the working on stdout. kept : whether it is known what its owner keeps of a lot; else all told is free."""
    screen, catalogue = console(), desk_of(None, catalog).catalogue
    gauge, unit = one.found.variant.gauge, "in" if style.inches else "cm"
    head = Text(style.say(one.called), style="bold")
    score = style.number(one.found.score, 3, exact=True)
    screen.print(head.append(f"   score {score}, {how_sure(one.found.sure)}", style="not bold"))
    say(screen, one.found.variant.accessory.note)
    say(
        screen,
        f"Gauge: {style.say(GaugeFigures(gauge.stitches_10cm, gauge.rows_10cm))}; one plain stitch takes "
        f"{style.say(StitchLength(gauge.loop_cm))} of yarn "
        f"({style.number(catalogue.fabric.Kw, 3)} / stitches in 1 {unit}).",
    )
    _zones(one, style, screen, catalogue)
    for role in one.roles:
        _role(role, style, screen, kept)
    _contrasts(one, style, screen)
    _heading("In one fabric", screen)
    for rule in one.together:
        say(screen, f"{rule.rule}: {rule.verdict}, {style.say(rule.reason)}", 2)
    say(screen, style.say(one.care), 2)
    _score(one, style, screen, catalogue)
    for words in one.warnings:
        say(screen, f"Mind: {style.say(words)}.")
    for words in one.cautions:
        say(screen, f"Take care: {style.say(words)}")
    say(screen, f"Sources: {'; '.join(_sources(one, catalogue))}.", 0, "dim")


def _heading(words: str, screen: Console) -> None:
    screen.print(Text(words, style="bold"))


def _zones(one: Suggestion, style: Style, screen: Console, catalogue: Catalogue) -> None:
    rows, called = [], {name: known.words for name, known in catalogue.fabric.structures.items()}
    for role in one.roles:
        for line in role.need.working:
            across = f"{line.first}" if line.first == line.last else f"{line.first} to {line.last}"
            what = (style.say(line.zone), shape_of(line.shape), called[line.structure], role.role, str(line.pieces))
            rows.append((*what, across, str(line.rows), style.say(Length(line.length_m))))
    headings = ("zone", "shape", "knitted", "role", "pieces", "stitches", "rows", "yarn")
    show_table(screen, headings, rows, right=(4, 5, 6, 7))


def _role(role: RoleYarn, style: Style, screen: Console, kept: bool) -> None:
    need = role.need
    screen.print(chip(role.colour, screen).append(f"{role.role}", style="bold"))
    shared, own = (style.say(Share(one)) for one in (need.shared_sd, need.own_sd))
    say(
        screen,
        f"{need.stitches} stitches, with floats of {style.say(Length(need.float_m))}, edges of "
        f"{style.say(Length(need.edge_m))} and ends of {style.say(Length(need.tail_m))}: "
        f"{style.say(Length(need.length_m))} a strand, give or take {style.say(Length(need.sd_m))} "
        f"({shared} for your tension and the figures' own error, which all roles share, {own} for this role alone).",
        2,
    )
    if role.brought:
        say(screen, "Yours to bring.", 2)
        return
    strands = f" in {role.strands} strands" if role.strands > 1 else ""
    say(screen, f"It needs {style.say(Length(role.need_m))}{strands}, about {style.say(Mass(role.need_g))}.", 2)
    for lot in role.lots:
        mean, sd = style.say(Tex(lot.yarn.tex.mean)), style.number(lot.yarn.tex.sd)
        tex = f"{mean} from the {lot.yarn.tex_from}, give or take {sd}"
        place = f" ({lot.place})" if lot.place else ""
        say(
            screen,
            f"{lot.name}{place}: {'' if kept else 'free, '}{style.say(lot.weight)} of {tex} = "
            f"{style.say(Length(lot.length.mean))}, give or take {style.say(Length(lot.length.sd))}.",
            2,
        )
    for group in role.reserves:
        say(
            screen,
            f"Kept back, {style.say(Length(group.reserve_m))}: {style.say(group.because)}.",
            2,
        )
        for line in group.working:
            size = f"{style.say(Measure(line.width_cm))} by {style.say(Measure(line.height_cm))}"
            say(
                screen,
                f"{style.say(line.area)}: {line.count} of {size}, {line.stitches} stitches by {line.rows} rows, "
                f"share {style.say(Share(line.share))} = {style.say(Length(line.length_m))}",
                4,
                "dim",
            )
    there = style.say(Length(role.on_hand_m))
    say(
        screen,
        f"{f'On hand {there}, kept {style.say(Length(role.reserve_m))}' if kept else f'Free {there}'}, "
        f"needed {style.say(Length(role.need_m))}, left over {style.say(Length(role.left_m))}.",
        2,
    )


def _contrasts(one: Suggestion, style: Style, screen: Console) -> None:
    if one.contrasts:
        _heading("How the colours read", screen)
    for contrast in one.contrasts:
        judged = contrast.judged
        say(
            screen, f"{contrast.roles[0]} and {contrast.roles[1]}: {judged.verdict}. {style.sentence(judged.reason)}", 2
        )
        say(screen, f"CIEDE2000/lightness: {figures_of(judged)}.", 4, "dim")


def _score(one: Suggestion, style: Style, screen: Console, catalogue: Catalogue) -> None:
    _heading("The score", screen)
    parts = [
        f"{name} {style.number(one.found.parts[name], 2, exact=True)} x "
        f"{style.number(getattr(catalogue.ranking, f'weight_{name}'), 2, exact=True)}"
        for name in PARTS
    ]
    say(screen, f"{' + '.join(parts)} = {style.number(one.found.score, 3, exact=True)}", 2)
    say(screen, style.sentence(listed(one.reasons, between="; ")), 2)


def _sources(one: Suggestion, catalogue: Catalogue) -> list[str]:
    """What the equations rest on, and the titles of the sources of all figures (catalog/sources.toml)."""
    accessory = one.found.variant.accessory
    sizes = catalogue.sizes
    # What is made to measure takes the measures that were not taken from any size.
    keys = [figure.source for figure in sizes.figures if figure.size == one.size or one.size not in sizes.names]
    keys += [figure.source for figure in catalogue.figures if figure.file.startswith(("fabric/", "standards/"))]
    keys.append(accessory.source)
    titles = [catalogue.sources[key].title for key in dict.fromkeys(keys) if key in catalogue.sources]
    return [*_EQUATIONS, *titles]
