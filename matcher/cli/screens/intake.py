"""What a file adds to the store and changes in it, cell by cell; and the questions where they differ."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import typer
from rich.text import Text

from matcher.cli.screens import screen as show
from matcher.materials.reading.numerals import shorten

if TYPE_CHECKING:
    from matcher.actions.keeping.intake import Ask, Intake
    from matcher.store.intake import Incoming

MOST_NAMES = 20  # names listed before "and N more"; the JSON has all
_THING = {"lots": "lot", "garments": "garment"}


def show_intake(found: Intake) -> None:
    """Added, changed, left and refused, in words."""
    screen, plan = show.console(), found.plan
    for remark in plan.notes:
        show.note(remark)
    would = "" if found.done else "would be "
    for sheet, thing in _THING.items():
        added = [one.name for one in plan.added if one.sheet == sheet]
        if added:
            screen.print(Text(f"{_count(len(added), thing)} {would}added", style="bold"))
            show.say(screen, _listed(added), 3)
    if plan.changed:
        kept = sum((one.sheet, one.name) not in found.taken for one in plan.changed)
        headline = (
            f"{_count(len(plan.changed), 'row')} {'differ' if len(plan.changed) > 1 else 'differs'} from the store"
        )
        if found.done:
            headline += f": {len(plan.changed) - kept} taken as in the file"
            headline += f", {kept} left as in the store" if kept else ""
        screen.print(Text(headline, style="bold"))
        for one in plan.changed[:MOST_NAMES]:
            taken = not found.done or (one.sheet, one.name) in found.taken
            screen.print(
                Text(f"   {_THING[one.sheet]} {shorten(one.name)}" + ("" if taken else " (left as in the store)"))
            )
            for line in _cells(one):
                show.say(screen, line, 6)
        if len(plan.changed) > MOST_NAMES:
            screen.print(f"   and {len(plan.changed) - MOST_NAMES} more; --json lists them all")
    if plan.same:
        screen.print(f"{_count(len(plan.same), 'row')} the same as in the store")
    left = [name for names in plan.left.values() for name in names]
    if left:
        as_they = "it is" if len(left) == 1 else "they are"
        screen.print(f"{_count(len(left), 'row')} of the store not in the file, left as {as_they}")
    if plan.refused:
        screen.print(Text(f"{_count(len(plan.refused), 'row')} refused", style="bold"))
        for refused in plan.refused[:MOST_NAMES]:
            show.say(screen, f"{refused.sheet}, row {refused.row}: {refused.why}", 3)
        if len(plan.refused) > MOST_NAMES:
            screen.print(f"   and {len(plan.refused) - MOST_NAMES} more")
    if not found.done:
        screen.print("Nothing was taken in: this was a dry run.")
    elif not plan.added and not found.taken:
        screen.print("Nothing to do: the store is as it was.")
    for path in found.written:
        show.note(f"The refused rows are in {path}.")
    if found.copy:
        show.note(f"The store as it was before: {found.copy}")


def asker(progress: show.LateProgress) -> Ask:
    """Asks on the terminal about each row that differs; "all" and "none" settle those that follow."""
    settled: list[bool] = []

    def ask(one: Incoming) -> bool:
        if settled:
            return settled[0]
        progress.__exit__()
        print(f"{_THING[one.sheet]} {shorten(one.name)}", file=sys.stderr)
        for line in _cells(one):
            print(f"   {line}", file=sys.stderr)
        while True:
            answer = str(typer.prompt("Take the file's? yes, no, all or none", err=True)).strip().casefold()
            if answer in ("yes", "y", "no", "n"):
                return answer.startswith("y")
            if answer in ("all", "none"):
                settled.append(answer == "all")
                return settled[0]

    return ask


def _cells(one: Incoming) -> list[str]:
    return [f"{cell.column}: {_quoted(cell.old)} -> {_quoted(cell.new)}" for cell in one.changes]


def _quoted(cell: str) -> str:
    return f'"{shorten(cell)}"' if cell else "nothing"


def _listed(names: list[str]) -> str:
    shown = "; ".join(shorten(name) for name in names[:MOST_NAMES])
    return shown if len(names) <= MOST_NAMES else f"{shown}; and {len(names) - MOST_NAMES} more"


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}{'' if number == 1 else 's'}"
