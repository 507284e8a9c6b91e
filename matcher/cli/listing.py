"""`matcher list`: lots, garments, people and works on a line each."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import (
    CatalogOption,
    CsvOption,
    JsonOption,
    MendingOption,
    Units,
    UnitsOption,
    bin_named,
    units_asked,
)


class What(StrEnum):
    """What can be listed."""

    lots = "lots"
    garments = "garments"
    people = "people"
    works = "works"


class Sort(StrEnum):
    """Orders of lots."""

    name = "name"
    place = "place"
    weight_class = "class"
    colour = "colour"
    lightness = "lightness"
    garment = "garment"
    free = "free"
    grams = "grams"


@app.command("list")
def list_(
    context: typer.Context,
    what: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="WHAT BIN",
            help="lots, garments, people or works (what is and was on the needles); lots if left out. BIN is your "
            "store, a folder or a spreadsheet; if left out: your store where there is one, else the demo.",
        ),
    ] = None,
    place: Annotated[str | None, typer.Option("--place", help="Only what lies there.")] = None,
    weight_class: Annotated[
        str | None, typer.Option("--class", help="Only this weight class, such as 3 or DK.")
    ] = None,
    colour: Annotated[
        str | None,
        typer.Option(
            "--colour",
            "--color",
            help="Only what is called so: blue, 'dark red', 'pale green'. Families are told by hue, lightness and how "
            "strong a colour is; another colour stands for the family it is in.",
        ),
    ] = None,
    free: Annotated[
        str | None, typer.Option("--free", metavar="METRES", help="Only lots with so much free: 50m, '55 yd'.")
    ] = None,
    sort: Annotated[Sort, typer.Option("--sort", help="In which order lots stand; most free or heaviest first.")] = (
        Sort.name
    ),
    mending: MendingOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """List your lots, garments, people, or what is on the needles.

    Grams stand beside metres; free is what neither mending nor the needles hold.

    Examples:
        matcher list demo
        matcher list garments demo
        matcher list demo --place "blue box" --sort colour
        matcher list demo --colour blue --class DK --free 50m
    """
    from matcher.actions.looking.listing import listing as act
    from matcher.actions.place import reads_demo
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.listing import show_listing
    from matcher.cli.words import style_of

    asked, bin = _what_and_bin(what or ())
    if reads_demo(bin_named(bin)):
        show.demo_note()
    style = style_of(units_asked(context, units, bin).value)
    with show.LateProgress("listing"):
        found = act(
            asked.value,
            bin,
            place=place,
            weight_class=weight_class,
            colour=colour,
            free=free,
            sort=sort.value,
            mending=mending,
            catalog=catalog,
        )
    for remark in found.notes:
        show.note(remark, style)
    show.answer(found, show_listing, style, as_json=as_json, as_csv=as_csv)


def _what_and_bin(words: Sequence[str]) -> tuple[What, Path | None]:
    """What is to be listed, and of which bin, in whichever order she types them. Raises BadInput for too many."""
    from matcher.errors import BadInput
    from matcher.reasons.reason import Field, listed, reason

    kinds = {one.value: one for one in What} | {one.value.removesuffix("s"): one for one in What}
    kinds["person"] = What.people
    asked = [kinds[word.casefold()] for word in words if word.casefold() in kinds]
    places = [word for word in words if word.casefold() not in kinds]
    if len(asked) > 1 or len(places) > 1:
        given = listed(words, "and", " and ")
        which = listed((Field("place"), Field("class"), Field("colour")), "or")
        said = "list {kinds}, of one bin at a time; which lots goes into {which}"
        todo = reason(said, kinds=listed([one.value for one in What], "or"), which=which)
        raise BadInput(reason("{words} are too many", words=given), "", todo)
    return asked[0] if asked else What.lots, Path(places[0]) if places else None
