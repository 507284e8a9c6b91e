"""A knitter's history and a swatch on screen, with a small plot of letters."""

from __future__ import annotations

import math

from rich.console import Console
from rich.table import Table
from rich.text import Text

from matcher.actions.learning.calibration import Calibrated, label_of, percent, ratio_of, spread_of
from matcher.actions.learning.history import Noted
from matcher.actions.learning.swatch import Swatched
from matcher.cli.screens.screen import console, say
from matcher.materials.reading.units import show_gauge, show_length, show_stitch
from matcher.materials.uncertain import Estimate

WIDE = 31  # letters of the plot, an odd number: the figures stand in the middle
REACH = math.log(1.5)
MOST_ROWS = 20


def show_calibration(found: Calibrated, units: str) -> None:
    """Print on stdout."""
    screen = console()
    say(screen, found.words, style="bold")
    known, prior = found.calibration, found.calibration.prior
    if not found.history.noted:
        say(
            screen,
            "Weigh what remains when an accessory is done (matcher finish), or weigh a swatch (matcher swatch): "
            "from then on every need follows your own knitting.",
        )
        return
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim", pad_edge=False)
    table.add_column("to expect of a next piece", overflow="fold")
    for heading in ("yarn", "give or take", "before"):
        table.add_column(heading, justify="right", no_wrap=True)
    for one in found.next:
        table.add_row(one.words, signed(one.now), percent(spread_of(one.now)), percent(prior.shared_sd))
    if found.next:
        screen.print(table)
    screen.print()
    _plot(found, units, screen)
    say(screen, f"= within one standard deviation, o what was noted; {scale_words()}.", style="dim")
    left_out = len(found.history.noted) - len(found.history.counted)
    if left_out:
        say(
            screen,
            f"{left_out} marked ? {'is' if left_out == 1 else 'are'} so far off that a slip in the weighing is "
            "likelier: left out.",
        )
    if known.seen:
        say(screen, "Every need follows this. The plot in full: --svg FILE or --png FILE.", style="dim")


def _plot(found: Calibrated, units: str, screen: Console) -> None:
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim", pad_edge=False)
    table.add_column("", overflow="ellipsis", no_wrap=True, max_width=26)
    table.add_column("used / figures", justify="right", no_wrap=True)
    table.add_column("less" + "more".rjust(WIDE - 4), no_wrap=True, width=WIDE)
    table.add_column("", justify="right", no_wrap=True)
    prior = Estimate(0.0, found.calibration.prior.shared_sd)
    table.add_row("the figures alone", "", band(prior), "")
    if found.calibration.seen:
        table.add_row("you, in all you knit", "", band(found.calibration.knitter), signed(found.calibration.knitter))
    noted = found.history.noted[-MOST_ROWS:]
    if len(noted) < len(found.history.noted):
        table.add_row(f"({len(found.history.noted) - len(noted)} earlier ones)", "", "", "")
    for one in noted:
        table.add_row(
            f"{one.role}: {one.name}" if one.role else label_of(one),
            metres(one, units),
            dot(one, found.history.counts(one)),
            signed(Estimate(one.told.log_ratio, 0.0)),
        )
    screen.print(table)


def metres(one: Noted, units: str) -> str:
    """Used over predicted, such as "57 / 54 m"."""
    used, predicted = (show_length(value, units) for value in (one.used_m, one.predicted_m))
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


def scale_words() -> str:
    """What the edges of the plot stand for."""
    return f"from {100 - 100 / math.exp(REACH):.0f} % less to {100 * math.exp(REACH) - 100:.0f} % more"


def signed(told: Estimate) -> str:
    """A change against the figures such as "+6 %"."""
    change = round(100.0 * (ratio_of(told) - 1.0))
    return f"{change:+d} %" if change else "0 %"


def show_swatch(found: Swatched, units: str) -> None:
    """Print on stdout."""
    screen = console()
    for place, sentence in enumerate(found.words):
        say(screen, sentence, style="bold" if place == 0 else "")
    say(
        screen,
        f"One stitch takes {show_stitch(found.loop_cm, units)} of yarn; {show_stitch(found.usual_loop_cm, units)} is "
        "usual.",
    )
    if found.gauge is not None:
        stitches, rows = found.gauge.stitches_10cm, found.gauge.rows_10cm
        say(
            screen,
            f"Your gauge: {show_gauge(stitches, rows, units)}; matcher needs and matcher piece take it as "
            f'--swatch "{stitches:.1f} st x {rows:.1f} rows".',
        )
