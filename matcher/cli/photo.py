"""`matcher photo`: colours of yarn from a photograph."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import CatalogOption, CsvOption, JsonOption, ReplaceOption, bin_named
from matcher.cli.words import COMMAND_LINE


@app.command()
def photo(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="The photograph: JPEG, PNG, WebP or HEIC.", show_default=False)
    ],
    bin: Annotated[
        Path | None,
        typer.Option(
            "--bin", metavar="BIN", callback=bin_named, help="Name the lots of this bin whose colours are like it."
        ),
    ] = None,
    box: Annotated[
        list[str] | None,
        typer.Option(
            "--box",
            metavar="X,Y,W,H",
            help="Where a yarn lies: left, top, width, height in pixels of the upright picture; once for each yarn. "
            "If left out, yarns are looked for.",
        ),
    ] = None,
    white: Annotated[
        str | None,
        typer.Option("--white", metavar="X,Y,W,H", help="Where plain white paper lies. If left out, it is looked for."),
    ] = None,
    grey_card: Annotated[
        bool, typer.Option("--grey-card", help="What --white names is a grey card that reflects 18%.")
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="F", help="Draw what was seen on the picture, as .png or .jpg."),
    ] = None,
    take: Annotated[
        list[str] | None,
        typer.Option(
            "--take",
            metavar="N=LOT",
            help="Write the colour of yarn N into this lot of your store; once for each. undo takes it back.",
        ),
    ] = None,
    replace: ReplaceOption = False,
    catalog: CatalogOption = None,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Read the colours of yarns from a photograph.

    They come with how far they may be off, ready for the colour column of your sheet. Lay plain white paper beside the
    yarn, in the same light. Nothing of yours is changed, unless you take a colour.

    Examples:
        matcher photo demo/scraps.jpg --bin demo --out seen.png
        matcher intake demo --bin try.db
        matcher photo demo/scraps.jpg --take 1=plum --take 2=rust --bin try.db
    """
    from matcher.actions.colours.photo import photo as act
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.photo import show_photo

    found = act(
        file,
        box or (),
        white,
        grey_card=grey_card,
        bin=bin,
        out=out,
        replace=replace,
        take=take or (),
        catalog=catalog,
        style=COMMAND_LINE,
    )
    if found.out:
        show.note(f"{found.out} is written")
    if as_json:
        show.print_json(found.as_dict())
    elif as_csv:
        show.print_csv(found.frame())
    else:
        show_photo(found)
