"""What the commands on the store share: their options, and how they say what was done.

They print by themselves, without the screen of the other commands, whose libraries would take longer to load than
weighing a ball takes.
"""

from __future__ import annotations

import json
import sys
import textwrap
from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any

import typer

from matcher.cli.options import Units
from matcher.cli.words import style_of
from matcher.reasons.style import Style

if TYPE_CHECKING:
    from matcher.actions.keeping.done import Done

WIDTH = 80

LotArgument = Annotated[str, typer.Argument(metavar="LOT", help="The lot's name, or the short code on its tag.")]
WorkArgument = Annotated[str, typer.Argument(metavar="WORK", help="Its name, its first words, its key or its number.")]


def tell(done: Done, as_json: bool, units: Units = Units.metric) -> None:
    """Say what was done: sentences on stdout, remarks on stderr; or one JSON object."""
    style = style_of(units.value)
    if as_json:
        print_json(done.as_dict(), style)
        return
    for sentence in done.said:
        paragraph(style.say(sentence))
    for remark in done.notes:
        print(textwrap.fill(style.say(remark), WIDTH), file=sys.stderr)


def print_json(value: Mapping[str, Any], style: Style) -> None:
    """One JSON object on stdout; its reasons are put into words here."""
    print(json.dumps(value, ensure_ascii=False, indent=2, default=style.say))


def paragraph(sentence: str) -> None:
    """A sentence, wrapped; its further lines stand in."""
    print(textwrap.fill(sentence, WIDTH, subsequent_indent="  "))
