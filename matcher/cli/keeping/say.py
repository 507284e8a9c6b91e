"""What the commands on the store share: their options, and how they say what was done.

They print by themselves, without the screen of the other commands, whose libraries would take longer to load than
weighing a ball takes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from matcher.cli import terminal
from matcher.cli.options import Units
from matcher.cli.words import style_of

if TYPE_CHECKING:
    from matcher.actions.keeping.done import Done

LotArgument = Annotated[str, typer.Argument(metavar="LOT", help="The lot's name, or the short code on its tag.")]
WorkArgument = Annotated[str, typer.Argument(metavar="WORK", help="Its name, its first words, its key or its number.")]


def tell(done: Done, as_json: bool, units: Units = Units.metric) -> None:
    """Say what was done: sentences on stdout, remarks on stderr; or one JSON object."""
    style = style_of(units.value)
    if as_json:
        terminal.print_json(done.as_dict(), style)
        return
    for sentence in done.said:
        terminal.tell(sentence, style)
    for remark in done.notes:
        terminal.note(remark, style)
