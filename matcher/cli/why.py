"""`matcher why`: why something is in the list of suggestions or not, and what would let it in."""

from __future__ import annotations

from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import (
    BinArgument,
    CatalogOption,
    EyesOption,
    ForOption,
    JsonOption,
    Level,
    MendingOption,
    Units,
    UnitsOption,
)


@app.command()
def why(
    accessory: Annotated[str, typer.Option("--accessory", help="Its name, its key, or words of it.")],
    bin: BinArgument = None,
    lot: Annotated[str | None, typer.Option("--lot", help="With this lot in it.")] = None,
    size: Annotated[str | None, typer.Option("--size", help="In this size, such as 'adult medium'.")] = None,
    whom: ForOption = None,
    sure: Annotated[
        float | None,
        typer.Option("--sure", help="The least chance that the yarn is enough, 0.5 to 0.999; 0.95 if left out."),
    ] = None,
    top: Annotated[int, typer.Option("--top", help="How many suggestions.")] = 10,
    least_contrast: Annotated[
        Level | None,
        typer.Option("--least-contrast", help="How well colours must read, in place of what each accessory asks."),
    ] = None,
    held_together: Annotated[
        bool,
        typer.Option("--held-together/--single", help="Whether strands of different lots may be held together."),
    ] = True,
    every: Annotated[
        bool,
        typer.Option("--all", help="The best of every accessory: also many of a kind, from the same lots, and small."),
    ] = False,
    mending: MendingOption = None,
    eyes: EyesOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Say why a thing is suggested or not, and what would let it in.

    The list is the one that matcher suggest gives with the same options. Whatever is said to make something possible
    was tried: with it the search finds a way, with a gram less it finds none.

    Examples:
        matcher why demo --accessory hat-ribbed --lot mustard
    """
    from matcher.actions.place import reads_demo
    from matcher.actions.ranking.why_not import why as act
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.why import show_why
    from matcher.cli.words import style_of

    if reads_demo(bin):
        show.demo_note()
    style = style_of(units.value)
    with show.LateProgress("looking") as progress:
        found = act(
            bin,
            accessory=accessory,
            lot=lot,
            size=size,
            whom=whom or (),
            sure=sure,
            top=top,
            least_contrast=least_contrast.value if least_contrast else None,
            eyes=eyes.value if eyes else None,
            held_together=held_together,
            varied=not every,
            mending=mending,
            catalog=catalog,
            stage=progress.stage,
        )
    for remark in found.notes:
        show.note(remark, style)
    if as_json:
        show.print_json(found.as_dict(style.units), style)
    else:
        show_why(found, style)
