"""A partner on screen: what to knit, what to take, how it reads, and what to do when a colour is short."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from matcher.actions.partner.result import Partner
from matcher.actions.partner.words import contrast_words, fit_words, part_words, placed_words, way_words
from matcher.cli.screens.console import chip, console, say
from matcher.cli.screens.roles import show_roles
from matcher.cli.screens.suggestions import how_sure
from matcher.cli.screens.table import show_table
from matcher.knitting.fit.fitted import Fitted
from matcher.reasons.quantities import Chance, GaugeFigures, Measure
from matcher.reasons.style import Style

_MOST_FITS, _MOST_WAYS = 5, 5
_GAUGE_FROM = {"garment": "the sweater's own", "swatch": "your swatch", "yarn": "from the yarn", "class": "usual"}


def show_partner(found: Partner, style: Style) -> None:
    """Print on stdout."""
    screen, fit = console(), found.fit
    screen.print(Text(f"{found.accessory.name}, {style.say(found.worn.size)}", style="bold"))
    said = how_sure(found.sure) if found.sure > 0 else "a yarn is missing"
    say(screen, f"To go with {found.garment.name}; {said}.", 2)
    gauge = style.say(GaugeFigures(fit.gauge.stitches_10cm, fit.gauge.rows_10cm))
    say(screen, f"Motif: {found.motif.name}. Gauge: {gauge} ({_GAUGE_FROM[found.worn.gauge_from]}).", 2)
    for words in fit_words(fit):
        say(screen, style.sentence(words), 2)
    for remedy in found.remedies:
        say(screen, f"It would help: {style.say(remedy.words)}.", 2)
    say(screen, style.sentence(placed_words(fit, found.motif)), 2)
    screen.print(Text("To knit", style="bold"))
    for words in part_words(fit, found.worn.wearing.constants):
        say(screen, style.sentence(words), 2)
    _other_fits(found, style, screen)
    _roles(found, style, screen)
    _reading(found, style, screen)
    _short(found, style, screen)
    _recolourings(found, screen)
    say(screen, style.sentence(found.care), 0)
    for words in found.warnings:
        say(screen, f"Mind: {style.say(words)}.", 0)
    screen.print(Text("Take care", style="bold"))
    for caution in found.cautions:
        say(screen, style.say(caution), 2)


def _other_fits(found: Partner, style: Style, screen: Console) -> None:
    others = [(number, one) for number, one in enumerate(found.fits, start=1) if one is not found.fit]
    if not others:
        return
    rows = [(str(number), *_fit_cells(one, style)) for number, one in others[:_MOST_FITS]]
    screen.print(Text("Other fits", style="bold").append(" (--fit N works one out)", style="not bold dim"))
    show_table(screen, ("fit", "stitches", "repeats", "plain", "around", "ease"), rows, right=range(6))


def _fit_cells(one: Fitted, style: Style) -> tuple[str, ...]:
    ease = f"{'+' if one.ease_cm > 0 else ''}{style.say(Measure(one.ease_cm))}"
    return str(one.stitches), str(one.repeats), str(one.plain_columns), style.say(Measure(one.around_cm)), ease


def _roles(found: Partner, style: Style, screen: Console) -> None:
    title = Text("Yarn", style="bold")
    if found.recolourings:
        score = style.number(found.recolourings[0].score, 2, exact=True)
        title.append(f" (all lots considered again, score {score})", style="not bold dim")
    screen.print(title)
    show_roles(found.roles, style, screen)


def _reading(found: Partner, style: Style, screen: Console) -> None:
    for words in contrast_words(found.contrasts):
        say(screen, style.say(words), 2)


def _short(found: Partner, style: Style, screen: Console) -> None:
    if found.enough:
        return
    screen.print(Text(f"To make it {style.say(Chance(found.sure_at_least, 1))} sure", style="bold"))
    for one in found.exchanges[:_MOST_WAYS]:
        say(screen, style.sentence(way_words(one)), 2)
    if not found.exchanges:
        say(screen, "Nothing in the bin would do, and buying more would not make it that sure.", 2)


def _recolourings(found: Partner, screen: Console) -> None:
    if len(found.recolourings) < 2:
        return
    screen.print(Text("Other ways to use the lots", style="bold"))
    rows = []
    for one in found.recolourings[1:]:
        patches = Text(" ")
        for pool in one.pools:
            patches.append_text(chip(pool.colour, screen))
        names = " + ".join(pool.name for pool in one.pools)
        rows.append((patches, f"{names} (score {one.score:.2f}, {how_sure(one.sure)})"))
    show_table(screen, ("", ""), rows)
