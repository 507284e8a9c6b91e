"""A knitter's history and a swatch on screen, with a small plot of letters."""

from __future__ import annotations

import math

from rich.console import Console
from rich.text import Text

from matcher.actions.learning.calibration import Calibrated, label_of, ratio_of, spread_of
from matcher.actions.learning.history import Noted
from matcher.actions.learning.swatch import Swatched
from matcher.cli.screens.console import console, say
from matcher.cli.screens.table import Cell, show_table
from matcher.materials.uncertain import Estimate
from matcher.reasons.quantities import GaugeFigures, Length, Number, Share
from matcher.reasons.reason import Action, Field, counted, reason
from matcher.reasons.style import Style

WIDE = 31  # letters of the plot, an odd number: the figures stand in the middle
REACH = math.log(1.5)
MOST_ROWS = 20
# What the edges of the plot stand for.
_EDGES = {"least": Share(1.0 - math.exp(-REACH)), "most": Share(math.exp(REACH) - 1.0)}
_SCALE = reason("from {least} less to {most} more", **_EDGES)


def show_calibration(found: Calibrated, style: Style) -> None:
    """Print on stdout."""
    screen = console()
    say(screen, style.say(found.words), style="bold")
    known, prior = found.calibration, found.calibration.prior
    if not found.history.noted:
        how = "Weigh what is left when an accessory is done ({finish}), or weigh a swatch ({swatch}): from then on"
        how += " every estimate follows your own knitting."
        say(screen, style.say(reason(how, finish=Action("finish"), swatch=Action("swatch"))))
        return
    rows = []
    for one in found.next:
        spreads = (style.say(Share(spread)) for spread in (spread_of(one.now), prior.shared_sd(one.structure)))
        rows.append((style.say(one.words), signed(one.now, style), *spreads))
    if rows:
        headings = ("what to expect next", "yarn", "give or take", "before")
        show_table(screen, headings, rows, right=(1, 2, 3))
    screen.print()
    _plot(found, style, screen)
    say(
        screen,
        style.say(reason("= likely range (two in three), o what you noted; {scale}.", scale=_SCALE)),
        style="dim",
    )
    left_out = len(found.history.noted) - len(found.history.counted)
    if left_out:
        single = "{n} marked ? is so far off that the weight is probably a slip: it is not counted."
        many = "{n} marked ? are so far off that the weights are probably slips: they are not counted."
        say(screen, style.say(counted(left_out, single, many)))
    if known.seen:
        more = "Every estimate follows this. For the whole plot: {svg} or {png}."
        say(screen, style.say(reason(more, svg=Field("svg", "FILE"), png=Field("png", "FILE"))), style="dim")


def _plot(found: Calibrated, style: Style, screen: Console) -> None:
    prior = Estimate(0.0, found.calibration.prior.shared_sd())
    rows: list[tuple[Cell, ...]] = [(style.say(reason("the estimates")), "", band(prior), "")]
    if found.calibration.seen:
        knitter = found.calibration.knitter
        rows.append((style.say(reason("you, in everything you knit")), "", band(knitter), signed(knitter, style)))
    noted = found.history.noted[-MOST_ROWS:]
    if len(noted) < len(found.history.noted):
        earlier = len(found.history.noted) - len(noted)
        rows.append((style.say(counted(earlier, "({n} earlier one)", "({n} earlier ones)")), "", "", ""))
    for one in noted:
        name = f"{one.role}: {style.say(one.name)}" if one.role else style.say(label_of(one))
        change = signed(Estimate(one.told.log_ratio, 0.0), style)
        rows.append((name, metres(one, style), dot(one, found.history.counts(one)), change))
    headings = ("", "used / estimated", "less" + "more".rjust(WIDE - 4), "")
    show_table(screen, headings, rows, right=(1, 2, 3))


def metres(one: Noted, style: Style) -> str:
    """Used over predicted, such as "57 / 54 m"."""
    used, predicted = (style.say(Length(value)) for value in (one.used_m, one.predicted_m))
    return f"{used.rsplit(' ', 1)[0]} / {predicted}"


def place_of(logarithm: float) -> int:
    """Which letter of the plot stands for a logarithm of used over predicted; what lies beyond is at the edge."""
    half = WIDE // 2
    return half + round(half * min(max(logarithm / REACH, -1.0), 1.0))


def band(told: Estimate) -> Text:
    """One standard deviation either way, as a bar; the figures' own place is marked."""
    letters = [" "] * WIDE
    for place in range(place_of(told.mean - told.sd), place_of(told.mean + told.sd) + 1):
        letters[place] = "="
    letters[WIDE // 2] = "|"
    return Text("".join(letters))


def dot(one: Noted, counts: bool) -> Text:
    """What was noted, as a dot."""
    letters = [" "] * WIDE
    letters[WIDE // 2] = "|"
    letters[place_of(one.told.log_ratio)] = "o" if counts else "?"
    return Text("".join(letters))


def signed(told: Estimate, style: Style) -> str:
    """A change against the estimates such as "+6%"."""
    return style.say(Share(ratio_of(told) - 1.0, signed=True))


def show_swatch(found: Swatched, style: Style) -> None:
    """Print on stdout."""
    screen = console()
    for place, sentence in enumerate(found.words):
        say(screen, style.say(sentence), style="bold" if place == 0 else "")
    say(screen, style.say(found.took))
    if found.gauge is not None:
        stitches, rows = found.gauge.stitches_10cm, found.gauge.rows_10cm
        told = reason("{stitches} st x {rows} rows", stitches=Number(stitches, 1), rows=Number(rows, 1))
        asked = reason(
            "Your gauge: {gauge}; {needs} and {piece} take it as {swatch}.",
            gauge=GaugeFigures(stitches, rows),
            needs=Action("needs"),
            piece=Action("piece"),
            swatch=Field("swatch", f'"{told}"'),
        )
        say(screen, style.say(asked))
