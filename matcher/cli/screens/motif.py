"""A motif on screen: the grid as it is knitted, what is counted on it, and how its colours read."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from rich.console import Console
from rich.table import Table
from rich.text import Text

from matcher.actions.motifs.motif import CountedMotif
from matcher.cli.screens.screen import chip, console, say
from matcher.materials.colours.cielab import hex_from_lab
from matcher.materials.colours.colour import Colour

# More rows than this scroll away; the counts below matter more (a choice).
_MOST_ROWS = 64
# More pairs that never touch than this are not named one by one.
_MOST_APART = 3


def show_motif(found: CountedMotif) -> None:
    """Print on stdout."""
    screen, motif = console(), found.motif
    screen.print(Text(motif.name, style="bold"))
    size = f"{_count(motif.width, 'stitch', 'stitches')} by {_count(motif.height, 'row', 'rows')}"
    licence = f"; licence {motif.licence}" if motif.licence else ""
    say(screen, f"{size}{licence}.")
    if found.how:
        say(screen, f"{found.how[0].upper()}{found.how[1:]}.")
    screen.print()
    _grid(found, screen)
    screen.print()
    screen.print(_roles(found, screen))
    _rows(found, screen)
    _light(found, screen)
    _neighbours(found, screen)
    for sentence in (*found.warnings, *found.cautions):
        words = str(sentence)
        say(screen, f"Note: {words[0].upper()}{words[1:].rstrip('.')}.")


def _grid(found: CountedMotif, screen: Console) -> None:
    """The chart, top row first, row numbers at the right where a round begins; in colour where that is known."""
    motif = found.motif
    inks = {}
    if screen.color_system is not None and not screen.no_color:
        inks = {role: _ink(one.colour) for role, one in found.colours.items()}
    numbers = len(str(motif.height)) + 1
    room = screen.width - numbers - 1
    wide = 2 if 2 * motif.width <= room else 1
    stitches = min(motif.width, room // wide)
    rows = min(motif.height, _MOST_ROWS)
    for number in range(rows, 0, -1):
        line = Text()
        for mark in motif.grid[number - 1][motif.width - stitches :]:
            role = motif.roles[mark]
            line.append(*(("█" * wide, inks[role]) if role in inks else (mark.ljust(wide), "")))
        screen.print(line.append(f"{number:>{numbers}}", style="dim"), no_wrap=True, crop=True)
    screen.print(Text(_stitch_numbers(stitches, wide), style="dim"), no_wrap=True)
    if (stitches, rows) != (motif.width, motif.height):
        say(screen, f"Shown are rows 1 to {rows} and stitches 1 to {stitches}; --svg draws all.", style="dim")


def _ink(colour: Colour) -> str:
    """One code for a stitch: a variegated colour's largest part."""
    lab, _ = max(colour.stitches(), key=lambda part: part[1])
    return hex_from_lab(lab)


def _stitch_numbers(stitches: int, wide: int) -> str:
    """Stitch 1 and every tenth, counted from the right, each ending below its own stitch."""
    line = [" "] * (stitches * wide)
    for number in (1, *range(10, stitches + 1, 10)):
        end = (stitches - number + 1) * wide
        digits = str(number).rjust(wide)[-end:] if wide == 1 else str(number).ljust(wide)
        start = end - len(digits)
        line[max(0, start) : end] = digits[-(end - max(0, start)) :]
    return "".join(line).rstrip()


def _roles(found: CountedMotif, screen: Console) -> Table:
    motif = found.motif
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim", pad_edge=False)
    table.add_column("")
    table.add_column("role", overflow="fold")
    if found.colours:
        table.add_column("lot or colour", overflow="fold")
    for heading in ("stitches", "share", "longest float"):
        table.add_column(heading, justify="right", no_wrap=True)
    for mark, role in motif.roles.items():
        shown = []
        if found.colours:
            one = found.colours[role]
            patch = chip(one.colour, screen)
            shown = [patch.append(f"{' ' if patch else ''}{one.name}{'' if one.lot else ' (a colour)'}")]
        count = motif.stitches[role]
        table.add_row(
            Text(mark), Text(role), *shown, str(count), f"{motif.shares[role]:.0%}", str(motif.longest_float[role])
        )
    return table


def _rows(found: CountedMotif, screen: Console) -> None:
    many = found.many_coloured
    if many:
        say(screen, f"Three colours or more in {'row' if len(many) == 1 else 'rows'} {_runs(many)}.")
    else:
        say(screen, "No row has more than two colours.")


def _light(found: CountedMotif, screen: Console) -> None:
    light = found.balance
    if light is None:
        return
    if light.lighter_share == 0:
        say(screen, "Light and dark: all stitches are of one lightness.")
        return
    say(
        screen,
        f"Light and dark: {100 * light.lighter_share:.0f} of 100 stitches are lighter than the mean "
        f"(lightness {light.mean_l:.0f}); their own mean lies {light.apart_l:.0f} above that of the others.",
    )


def _neighbours(found: CountedMotif, screen: Console) -> None:
    if found.meetings:
        for one in found.meetings:
            a, b = one.shared.roles
            head = Text.assemble(
                chip(found.colours[a].colour, screen, 4),
                chip(found.colours[b].colour, screen, 4),
            )
            touch = f"touch at {_count(one.shared.edges, 'edge', 'edges')}"
            pair = f"{a} ({found.colours[a].name}) and {b} ({found.colours[b].name})"
            screen.print(head.append(f"{' ' if head else ''}{pair}: {one.judged.verdict}", style="bold"))
            say(screen, f"{touch} ({one.shared.beside} beside, {one.shared.above} above); {one.judged.reason}.", 2)
    else:
        for shared in found.shared:
            a, b = shared.roles
            touch = _count(shared.edges, "edge", "edges")
            say(screen, f"{a} and {b} touch at {touch} ({shared.beside} beside, {shared.above} above).")
    met = {frozenset(one.roles) for one in found.shared}
    names = found.motif.role_names
    apart = [f"{a} and {b}" for at, a in enumerate(names) for b in names[at + 1 :] if frozenset((a, b)) not in met]
    if len(apart) > _MOST_APART:
        say(screen, "No other two colours touch, so that it does not matter how those read.")
    elif apart:
        say(screen, f"Never touching, so that it does not matter how they read: {'; '.join(apart)}.")


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def _runs(numbers: Sequence[int]) -> str:
    """[1, 4, 5, 6] as "1, 4 to 6"."""
    runs = [[numbers[0]]]
    for before, number in pairwise(numbers):
        if number == before + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        str(run[0]) if len(run) == 1 else f"{run[0]}{' to ' if len(run) > 2 else ', '}{run[-1]}" for run in runs
    )
