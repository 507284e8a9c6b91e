"""What a file adds to the store and changes in it, cell by cell; and the questions where they differ."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer
from rich.text import Text

from matcher.actions.keeping.intake_words import (
    MOST_NAMES,
    added_said,
    alike_said,
    cell_said,
    changed_said,
    end_said,
    refused_said,
    row_said,
    whys_said,
)
from matcher.actions.reading import follows, listed_by_check
from matcher.cli.screens import console as show
from matcher.cli.screens.reading import show_reading
from matcher.cli.screens.screen import LateProgress, note
from matcher.reasons.reason import Action, Field, Words, reason
from matcher.reasons.style import Style

if TYPE_CHECKING:
    from matcher.actions.keeping.intake import Ask, Intake
    from matcher.store.intake import Incoming


def show_intake(found: Intake, style: Style, *, read: bool) -> None:
    """Added, changed, left and refused, in words. read: how the sheets were read comes first."""
    screen, compared, say = show.console(), found.compared, style.say
    if read:
        show_reading(compared.understood, follows(compared.tables), style)

    def headline(words: Words) -> None:
        screen.print(Text(say(words), style="bold"))

    for remark in listed_by_check(compared.notes):
        note(remark, style)
    for things, names in added_said(found):
        headline(things)
        show.say(screen, say(names), 3)
    if compared.changed:
        headline(changed_said(found))
        for one in compared.changed[:MOST_NAMES]:
            taken = not found.done or (one.sheet, one.name) in found.taken
            left = "" if taken else say(reason(" (left as in the store)"))
            screen.print(Text(f"   {say(row_said(one))}{left}"))
            for cell in one.changes:
                show.say(screen, say(cell_said(cell)), 6)
        if len(compared.changed) > MOST_NAMES:
            more = reason(
                "and {n} more; {field} lists them all", n=len(compared.changed) - MOST_NAMES, field=Field("json")
            )
            show.say(screen, say(more), 3)
    for alike in alike_said(found):
        screen.print(Text(say(alike)))
    if compared.refused:
        headline(refused_said(found))
        whys = whys_said(found)
        for why in whys[:MOST_NAMES]:
            show.say(screen, say(why), 3)
        if len(whys) > MOST_NAMES:
            show.say(screen, say(reason("and {n} more", n=len(whys) - MOST_NAMES)), 3)
    if end := end_said(found):
        screen.print(Text(say(end)))
    for path in found.written:
        said = "The refused rows are in {file}. Mend them there, and run {intake} on that file."
        note(reason(said, file=str(path), intake=Action("intake")), style)
    if found.copy:
        note(reason("The store as it was before: {file}", file=str(found.copy)), style)


def asker(progress: LateProgress, style: Style) -> Ask:
    """Asks on the terminal about each row that differs; "all" and "none" settle those that follow."""
    settled: list[bool] = []

    def ask(one: Incoming) -> bool:
        if settled:
            return settled[0]
        progress.__exit__()
        note(row_said(one), style)
        for cell in one.changes:
            note(f"   {style.say(cell_said(cell))}")
        while True:
            answer = str(typer.prompt("Take the file's? yes, no, all or none", err=True)).strip().casefold()
            if answer in ("yes", "y", "no", "n"):
                return answer.startswith("y")
            if answer in ("all", "none"):
                settled.append(answer == "all")
                return settled[0]

    return ask
