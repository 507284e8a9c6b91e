"""What a file adds to the store and changes in it, cell by cell; and the questions where they differ."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer
from rich.text import Text

from matcher.actions.reading import follows
from matcher.cli.screens import screen as show
from matcher.cli.screens.reading import show_reading
from matcher.materials.reading.numerals import shorten
from matcher.reasons.reason import Action, Field, Term, Words, counted, listed, reason
from matcher.reasons.style import Style

if TYPE_CHECKING:
    from matcher.actions.keeping.intake import Ask, Intake
    from matcher.store.intake import Incoming

MOST_NAMES = 20  # names listed before "and N more"; the JSON has all
# What is counted, one and many, by sheet.
_PEOPLE = ("{n} person", "{n} people")
_LOTS, _GARMENTS, _ROWS = ("{n} lot", "{n} lots"), ("{n} garment", "{n} garments"), ("{n} row", "{n} rows")
_THINGS = {"lots": _LOTS, "garments": _GARMENTS, "people": _PEOPLE}
_THING = {"lots": "lot", "garments": "garment", "people": "person"}


def show_intake(found: Intake, style: Style, *, read: bool) -> None:
    """Added, changed, left and refused, in words. read: how the sheets were read comes first."""
    screen, compared, say = show.console(), found.compared, style.say
    if read:
        show_reading(compared.understood, follows(compared.tables), style)

    def headline(words: Words) -> None:
        screen.print(Text(say(words), style="bold"))

    for remark in compared.notes:
        show.note(remark, style)
    for sheet, things in _THINGS.items():
        added = [one.name for one in compared.added if one.sheet == sheet]
        if added:
            said = "{things} added" if found.done else "{things} would be added"
            headline(reason(said, things=counted(len(added), *things)))
            show.say(screen, say(_few(added, "; ")), 3)
    if compared.changed:
        headline(_changed(found))
        for one in compared.changed[:MOST_NAMES]:
            taken = not found.done or (one.sheet, one.name) in found.taken
            left = "" if taken else say(reason(" (left as in the store)"))
            screen.print(Text(f"   {say(Term(_THING[one.sheet]))} {one.name}{left}"))
            for line in _cells(one):
                show.say(screen, line, 6)
        if len(compared.changed) > MOST_NAMES:
            more = reason(
                "and {n} more; {field} lists them all", n=len(compared.changed) - MOST_NAMES, field=Field("json")
            )
            show.say(screen, say(more), 3)
    if compared.same:
        same = reason("{rows} the same as in the store", rows=counted(len(compared.same), *_ROWS))
        screen.print(Text(say(same)))
    left_alone = sum(map(len, compared.left.values()))
    if left_alone:
        untouched = counted(
            left_alone,
            "{n} row of the store not in the file, left as it is",
            "{n} rows of the store not in the file, left as they are",
        )
        screen.print(Text(say(untouched)))
    if compared.refused:
        headline(reason("{rows} refused", rows=counted(len(compared.refused), *_ROWS)))
        for row in compared.refused[:MOST_NAMES]:
            show.say(screen, say(reason("{sheet}, row {row}: {why}", sheet=row.sheet, row=row.row, why=row.why)), 3)
        if len(compared.refused) > MOST_NAMES:
            show.say(screen, say(reason("and {n} more", n=len(compared.refused) - MOST_NAMES)), 3)
    if not found.done:
        screen.print(Text(say(reason("Nothing was taken in: this was a dry run."))))
    elif not compared.added and not found.taken:
        screen.print(Text(say(reason("Nothing to do: the store is as it was."))))
    for path in found.written:
        said = "The refused rows are in {file}. Mend them there, and run {intake} on that file."
        show.note(reason(said, file=str(path), intake=Action("intake")), style)
    if found.copy:
        show.note(reason("The store as it was before: {file}", file=str(found.copy)), style)


def _changed(found: Intake) -> Words:
    changed = found.compared.changed
    differ = counted(len(changed), "{n} row differs from the store", "{n} rows differ from the store")
    kept = sum((one.sheet, one.name) not in found.taken for one in changed)
    if not found.done:
        return differ
    said = (
        "{differ}: {taken} taken as in the file, {kept} left as in the store"
        if kept
        else "{differ}: {taken} taken as in the file"
    )
    return reason(said, differ=differ, taken=len(changed) - kept, kept=kept)


def asker(progress: show.LateProgress) -> Ask:
    """Asks on the terminal about each row that differs; "all" and "none" settle those that follow."""
    settled: list[bool] = []

    def ask(one: Incoming) -> bool:
        if settled:
            return settled[0]
        progress.__exit__()
        show.note(f"{_THING[one.sheet]} {one.name}")
        for line in _cells(one):
            show.note(f"   {line}")
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


def _few(names: list[str], between: str) -> Words:
    shown = listed(names[:MOST_NAMES], between=between)
    more = len(names) - MOST_NAMES
    return reason("{names}; and {n} more", names=shown, n=more) if more > 0 else shown
