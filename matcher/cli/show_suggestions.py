"""Suggestions on screen: the first at length, the others in a line each; or all of them at length."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from matcher.actions.suggestion import RolePlan, Suggestion, Suggestions
from matcher.cli.show import chip, console
from matcher.materials.lots import Lot
from matcher.materials.units import show_length


def in_100(chance: float) -> str:
    """A chance as a knitter says it; never more sure than it is."""
    return f"{min(99, int(chance * 100))} in 100 sure"


def show_list(found: Suggestions, units: str) -> None:
    """The first screen."""
    screen = console()
    if not found.suggestions:
        _nothing(found, screen)
        return
    first, *others = found.suggestions
    _at_length(first, units, screen)
    if others:
        table = Table(box=None, padding=(0, 1, 0, 0), show_header=False)
        table.add_column(justify="right")
        table.add_column(max_width=31, no_wrap=True, overflow="ellipsis")
        table.add_column(max_width=5, no_wrap=True)
        table.add_column(no_wrap=True, overflow="ellipsis")
        table.add_column(justify="right", no_wrap=True)
        for one in others:
            patches = Text()
            for role in one.roles:
                patches.append_text(chip(role.colour, screen, 1))
            table.add_row(
                str(one.rank),
                f"{one.accessory}, {one.size}",
                patches,
                _lots(one),
                f"{min(99, int(one.found.sure * 100))}",
            )
        screen.print(table)
    _ends(found, screen)


def show_full(found: Suggestions, units: str) -> None:
    """Everything at length."""
    screen = console()
    if not found.suggestions:
        _nothing(found, screen)
    for one in found.suggestions:
        _at_length(one, units, screen, warnings=True)
        screen.print()
    if found.near_misses:
        screen.print(Text("Nearly", style="bold"))
        for near in found.near_misses:
            screen.print(f"  {near.suggestion.accessory}, {near.suggestion.size}: {'; '.join(near.lacks)}")
    if found.unused:
        screen.print(Text("Of no use to anything here", style="bold"))
        for lot in found.unused:
            screen.print(f"  {lot.lot}: {lot.why}")
    cautions = dict.fromkeys(words for one in found.suggestions for words in one.cautions)
    if cautions:
        screen.print(Text("Take care", style="bold"))
        for words in cautions:
            screen.print(f"  {words}")


def _at_length(one: Suggestion, units: str, screen: Console, warnings: bool = False) -> None:
    gauge = one.found.variant.gauge
    screen.print(Text(f"{one.rank}  {one.accessory}, {one.size}", style="bold"), f" {in_100(one.found.sure)}")
    screen.print(f"   First because {_and(one.reasons)}." if one.rank == 1 else f"   Because {_and(one.reasons)}.")
    screen.print(
        f"   {gauge.stitches_10cm:.0f} stitches and {gauge.rows_10cm:.0f} rows in 10 cm"
        + (f", {one.strands} strands held together" if one.strands > 1 else "")
        + f"; {one.care}."
    )
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim", pad_edge=False)
    table.add_column("  ")
    table.add_column("role", no_wrap=True)
    table.add_column("take", overflow="fold")
    for heading in ("needs", "free", "kept", "left"):
        table.add_column(heading, justify="right", no_wrap=True)
    for role in one.roles:
        table.add_row(chip(role.colour, screen), role.role, *_cells(role, units))
    screen.print(table)
    _side_by_side(one, screen)
    for contrast in one.contrasts:
        judged = contrast.judged
        screen.print(
            f"   {contrast.roles[0]} and {contrast.roles[1]}: {judged.verdict} "
            f"(lightness {judged.delta_l:.0f} apart, CIEDE2000 {judged.delta_e:.0f}"
            + (f"; least seen with {judged.least_seen} sight)" if judged.least_seen != "daylight" else ")")
        )
    if warnings:
        for words in one.warnings:
            screen.print(f"   Mind: {words}.")
    else:
        for words in one.warnings[:2]:
            screen.print(f"   Mind: {words}.")


def _cells(role: RolePlan, units: str) -> tuple[str, str, str, str, str]:
    needs = f"{show_length(role.need_m, units)} ±{show_length(role.need_sd_m, units).split()[0]}"
    if role.brought:
        return "yours to bring", needs, "", "", ""
    take = " + ".join(_place(lot) for lot in role.lots)
    if role.strands > 1:
        take += f" ({role.strands} strands)"
    free = role.need_m + role.left_m
    return (
        take,
        needs,
        show_length(free, units),
        show_length(role.reserve_m, units),
        show_length(role.left_m, units),
    )


def _place(lot: Lot) -> str:
    return f"{lot.name} ({lot.place})" if lot.place else lot.name


def _side_by_side(one: Suggestion, screen: Console) -> None:
    """The colours beside each other as they will lie, where the terminal can show them."""
    if screen.color_system is None or screen.no_color or len(one.roles) < 2:
        return
    line = Text("   ")
    colours = [role.colour for role in one.roles if role.colour is not None]
    for turn in range(3):
        for place, colour in enumerate(colours):
            line.append_text(chip(colour, screen, 4 if place == 0 or turn == 1 else 2))
    screen.print(line)


def _lots(one: Suggestion) -> str:
    return ", ".join(lot.name for role in one.roles for lot in role.lots)


def _and(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _ends(found: Suggestions, screen: Console) -> None:
    screen.print()
    if found.near_misses:
        near = found.near_misses[0]
        screen.print(
            f"Nearly: {near.suggestion.accessory}, {near.suggestion.size} ({near.lacks[0]})",
            overflow="ellipsis",
            no_wrap=True,
        )
    counts = []
    if len(found.near_misses) > 1:
        counts.append(f"{len(found.near_misses)} near misses")
    if found.unused:
        counts.append(f"{len(found.unused)} lots that fit nothing")
    more = f"  --full: {' and '.join(counts)}, each with its reason." if counts else "  --full: all at length."
    screen.print(f"{more} --explain 1: its whole working.", style="dim")


def _nothing(found: Suggestions, screen: Console) -> None:
    screen.print(f"Nothing in the catalogue can be made with {found.sure_at_least:.0%} certainty from what is free.")
    for near in found.near_misses:
        screen.print(f"  Nearly: {near.suggestion.accessory}, {near.suggestion.size}: {'; '.join(near.lacks)}")
    if found.unused:
        screen.print(f"  {len(found.unused)} lots fit nothing; --full says why of each.")
