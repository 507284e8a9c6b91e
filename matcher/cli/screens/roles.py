"""What each role is knitted with: what to take for it, what it needs, what is free, kept and left."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console

from matcher.actions.roles import RoleYarn
from matcher.cli.screens.console import chip
from matcher.cli.screens.screen import marked
from matcher.cli.screens.table import show_table
from matcher.materials.lots import Lot
from matcher.reasons.quantities import Length, Mass
from matcher.reasons.style import Style


def show_roles(roles: Sequence[RoleYarn], style: Style, screen: Console, *, kept: bool = True) -> None:
    """Print a line for each role. kept : with what is kept of its lots, where that is known."""
    shown = [at for at in range(len(_HEADINGS)) if kept or _HEADINGS[at] != "kept"]
    rows = [(chip(one.colour, screen), one.role, *_role_cells(one, style)) for one in roles]
    cells = [[row[at] for at in shown] for row in rows]
    show_table(screen, [_HEADINGS[at] for at in shown], cells, right=range(3, len(shown)))


_HEADINGS = ("  ", "", "take", "needs", "free", "kept", "left")


def _role_cells(role: RoleYarn, style: Style) -> tuple[str, str, str, str, str]:
    """What to take for a role, what it needs, what is free, kept and left; each length with its weight below it."""
    grams = role.need_g / role.need_m if role.need_m else 0.0

    def cell(metres: float, spread: str = "") -> str:
        weight = f"\n{style.say(Mass(metres * grams))}" if grams else ""
        return f"{style.say(Length(metres))}{spread}{weight}"

    needs = cell(role.need_m, f" ±{style.say(Length(role.need_sd_m)).split()[0]}")
    if role.brought:
        return "yours to bring", needs, "", "", ""
    take = style.say(role.said(_place)) or "no yarn yet"
    return take, needs, cell(role.need_m + role.left_m), cell(role.reserve_m), cell(role.left_m)


def _place(lot: Lot) -> str:
    return f"{marked(lot)} ({lot.place})" if lot.place else marked(lot)
