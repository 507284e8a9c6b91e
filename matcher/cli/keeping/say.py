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
GarmentOption = Annotated[str | None, typer.Option("--garment", help="The garment it came from.")]
RoleOption = Annotated[str | None, typer.Option("--role", help="Its part there: main, contrast 1 ...")]
YarnOption = Annotated[str | None, typer.Option("--yarn", help="The yarn's name.")]
ColourOption = Annotated[
    str | None, typer.Option("--colour", "--color", help="Such as '#6b7f4a', moss green, '#6b7f4a 60%, cream 40%'.")
]
ColourNameOption = Annotated[str | None, typer.Option("--colour-name", "--color-name", help="What you call it.")]
GramsOption = Annotated[str | None, typer.Option("--grams", help="What it weighs: 41, '1.5 oz'.")]
BallGramsOption = Annotated[str | None, typer.Option("--ball-grams", help="What a full ball weighs, from its band.")]
BallMetresOption = Annotated[
    str | None, typer.Option("--ball-metres", "--ball-meters", help="The length of a full ball: 125, '137 yd'.")
]
TexOption = Annotated[str | None, typer.Option("--tex", help="A yarn count: 250, 'Nm 4'.")]
ClassOption = Annotated[str | None, typer.Option("--class", help="A yarn weight class: 3, DK.")]
FibreOption = Annotated[str | None, typer.Option("--fibre", "--fiber", help="Such as '80% wool 20% nylon'.")]
WashOption = Annotated[str | None, typer.Option("--wash", help="hand, machine or unknown.")]
PiecesOption = Annotated[str | None, typer.Option("--pieces", help="How many pieces.")]
DyeLotOption = Annotated[str | None, typer.Option("--dye-lot", help="As on the label.")]
LabelOption = Annotated[str | None, typer.Option("--label", help="yes, partly or no: is there a ball band?")]
ReserveOption = Annotated[str | None, typer.Option("--reserve", help="Metres to hold back, set by hand; 0 for none.")]
PlaceOption = Annotated[str | None, typer.Option("--place", help="Where it lies.")]
NoteOption = Annotated[str | None, typer.Option("--note", help="Anything.")]


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


def given(**cells: str | None) -> dict[str, str]:
    """The cells that were given as options, by their column."""
    return {name.removesuffix("_"): text for name, text in cells.items() if text is not None}
