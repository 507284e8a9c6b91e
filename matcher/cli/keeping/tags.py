"""`matcher tags`: a sheet of tags to print and cut out."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import (
    BinArgument,
    CatalogOption,
    JsonOption,
    MendingOption,
    ReplaceOption,
    Units,
    UnitsOption,
)


class Paper(StrEnum):
    """Paper to print on."""

    a4 = "a4"
    letter = "letter"


@app.command()
def tags(
    bin: BinArgument = None,
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="The page to write, ending in .html.")] = Path(
        "tags.html"
    ),
    replace: ReplaceOption = False,
    lot: Annotated[list[str] | None, typer.Option("--lot", help="Only this lot; may be repeated.")] = None,
    paper: Annotated[Paper, typer.Option("--paper", help="Paper to print on.")] = Paper.a4,
    bags: Annotated[
        bool, typer.Option("--bags", help="One tag for all lots of the same yarn, colour and dye lot.")
    ] = False,
    mending: MendingOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Make a page of tags to print, cut out and tuck into the balls.

    Twelve to a sheet, at full size.

    Examples:
        matcher tags demo --out tags.html
    """
    from matcher.actions.desk import Desk
    from matcher.actions.keeping.tags import tags as act
    from matcher.actions.place import reads_demo
    from matcher.cli.screens import screen as show
    from matcher.cli.terminal import tell
    from matcher.cli.words import style_of
    from matcher.reasons.quantities import Share
    from matcher.reasons.reason import counted, reason

    style = style_of(units.value)
    if reads_demo(bin):
        show.demo_note()
    with show.LateProgress("drawing") as progress:
        found = act(
            desk := Desk(bin, catalog, mending),
            out=out,
            replace=replace,
            lot=lot or (),
            paper=paper.value,
            bags=bags,
            mending=mending,
            catalog=catalog,
            progress=progress,
            style=style,
        )
    show.read_note(desk, style)
    if as_json:
        show.print_json(found.as_dict())
        return
    pages = counted(found.pages, "{n} page", "{n} pages")
    said = counted(len(found.tags), "{n} tag on {pages}, written to", "{n} tags on {pages}, written to", pages=pages)
    tell(said, style)
    tell(f"  {found.written}")
    tell(reason("Print at full size ({share}) and cut along the crosses.", share=Share(1.0)), style)
