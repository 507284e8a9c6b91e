"""One way to lay out a table: figures stand whole in their columns, names go on in a second line and are never cut."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from rich.console import Console
from rich.text import Text

from matcher.cli.lines import cells, longest_word
from matcher.cli.screens.console import broken

# The longest word that a column makes room for; a longer one goes on in the next line (a choice).
_LONGEST_WORD = 30

Cell = str | Text


def show_table(
    screen: Console,
    headings: Sequence[str],
    rows: Iterable[Sequence[Cell]],
    right: Collection[int] = (),
    indent: int = 0,
) -> None:
    """Print rows of cells. right: the columns of figures, by their place; they are never broken.

    Where the words of the other columns do not fit beside the figures, each row takes a line for its words and one
    for its figures, each with its heading.
    """
    held = [[Text(one) if isinstance(one, str) else one for one in row] for row in rows]
    shown = [Text(heading, style="dim") for heading in headings]
    every = [shown, *held] if any(headings) else held
    natural = [max(_wide(row[at]) for row in every) for at in range(len(headings))] if every else []
    least = [
        natural[at] if at in right else min(_LONGEST_WORD, max(longest_word(row[at].plain) for row in every))
        for at in range(len(natural))
    ]
    room = screen.width - indent - max(0, len(natural) - 1)
    if sum(least) > room:
        for row in held:
            _stacked(screen, headings, row, right, indent)
        return
    widths = _shared_out(natural, least, room)
    for row in every:
        columns = [broken(cell, max(1, width)) for cell, width in zip(row, widths, strict=True)]
        for number in range(max(map(len, columns))):
            line = Text(" " * indent)
            for at, (parts, width) in enumerate(zip(columns, widths, strict=True)):
                part = parts[number] if number < len(parts) else Text()
                gap = " " * (width - cells(part.plain))
                line.append_text(Text.assemble(gap, part) if at in right else Text.assemble(part, gap)).append(" ")
            line.rstrip()
            screen.print(line, no_wrap=True)


def _wide(cell: Text) -> int:
    return max(map(cells, cell.plain.split("\n")))


def _shared_out(natural: Sequence[int], least: Sequence[int], room: int) -> list[int]:
    """Widths that come to no more than the room: the widest give way first, none below its least."""
    cap = max(natural, default=0)
    while sum(max(low, min(wish, cap)) for wish, low in zip(natural, least, strict=True)) > room:
        cap -= 1
    return [max(low, min(wish, cap)) for wish, low in zip(natural, least, strict=True)]


def _stacked(
    screen: Console, headings: Sequence[str], row: Sequence[Text], right: Collection[int], indent: int
) -> None:
    words = [cell for at, cell in enumerate(row) if at not in right and cell.plain.strip()]
    figures = [Text.assemble((f"{headings[at]} ".lstrip(), "dim"), row[at]) for at in right if row[at].plain.strip()]
    screen.print(Text(" " * indent).append_text(Text("  ").join(words)))
    if figures:
        screen.print(Text(" " * (indent + 4)).append_text(Text(", ").join(figures)))
