"""`matcher gap`: which single purchase would make most possible."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from matcher.cli.app import app
from matcher.cli.options import (
    BinArgument,
    CatalogOption,
    CsvOption,
    EyesOption,
    ForOption,
    JsonOption,
    MendingOption,
    ReplaceOption,
    Units,
    UnitsOption,
)


@app.command()
def gap(
    bin: BinArgument = None,
    whom: ForOption = None,
    kind: Annotated[
        list[str] | None, typer.Option("--kind", help="Only this kind, such as hat; may be repeated.")
    ] = None,
    size: Annotated[
        list[str] | None,
        typer.Option("--size", help="Only this size, such as 'adult medium'; may be repeated."),
    ] = None,
    accessory: Annotated[
        str | None, typer.Option("--accessory", metavar="A", help="The one thing that you want: its name or key.")
    ] = None,
    want: Annotated[
        list[str] | None,
        typer.Option(
            "--want",
            metavar="THINGS",
            help="A set to finish, as for matcher set: '2 hats for adults, 1 mitts for my sister'; may be repeated.",
        ),
    ] = None,
    sure: Annotated[
        float | None,
        typer.Option("--sure", help="The least chance that the yarn is enough, 0.5 to 0.999; 0.95 if left out."),
    ] = None,
    most_grams: Annotated[
        float | None, typer.Option("--most-grams", metavar="GRAMS", help="The most to buy; 200 g if left out.")
    ] = None,
    held_together: Annotated[
        bool,
        typer.Option("--held-together/--single", help="Whether strands of different lots may be held together."),
    ] = True,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Write a picture of the colours and a page into this folder."),
    ] = None,
    replace: ReplaceOption = False,
    mending: MendingOption = None,
    eyes: EyesOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Find the single purchase that would make most possible.

    A class, a kind of fibre, a range of colours and whole balls; and what does without buying. Things of one colour
    count only when you ask for one: they would be knitted from the new yarn alone.

    Examples:
        matcher gap demo
        matcher gap demo --for "my father" --accessory "cowl, five colours"
        matcher gap demo --want "2 hats for adults, 3 cowls"
    """
    from matcher.actions.place import reads_demo
    from matcher.actions.ranking.gap import gap as act
    from matcher.actions.sets.gap import gap_of_set
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.gap import show_gaps
    from matcher.cli.words import style_of

    if reads_demo(bin):
        show.demo_note()
    style = style_of(units.value)
    with show.LateProgress("matching") as progress:
        asked: dict[str, Any] = {"kind": kind or (), "size": size or (), "accessory": accessory}
        asked.update(held_together=held_together, replace=replace)
        if want:
            _alone(kind=kind, size=size, accessory=accessory, single=not held_together)
            asked = {"want": want, "replace_files": replace}
        found = (gap_of_set if want else act)(
            bin,
            **asked,
            whom=whom or (),
            sure=sure,
            most_grams=most_grams,
            mending=mending,
            eyes=eyes.value if eyes else None,
            catalog=catalog,
            out=out,
            style=style,
            progress=progress,
            stage=progress.stage,
        )
    for remark in found.notes:
        show.note(remark, style)
    for path in found.files:
        show.note(f"{path} is written")
    if as_json:
        show.print_json(found.as_dict(style.units), style)
    elif as_csv:
        show.print_csv(found.frame(), style)
    else:
        show_gaps(found, style)


def _alone(**others: object) -> None:
    """Wants say which things and sizes by themselves. Raises BadInput for an option that says it again."""
    from matcher.errors import BadInput
    from matcher.reasons.reason import Field, listed, reason

    if given := [Field(name) for name, value in others.items() if value]:
        todo = reason("leave out the one or the other")
        raise BadInput(reason("a set says by itself what is wanted"), listed((Field("want"), *given), "and"), todo)
