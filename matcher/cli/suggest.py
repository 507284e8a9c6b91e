"""`matcher suggest`: what the leftovers could become."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import (
    BinArgument,
    CatalogOption,
    CsvOption,
    EyesOption,
    ForOption,
    JsonOption,
    Level,
    MendingOption,
    ReplaceOption,
    Units,
    UnitsOption,
)


@app.command()
def suggest(
    bin: BinArgument = None,
    whom: ForOption = None,
    kind: Annotated[
        list[str] | None, typer.Option("--kind", help="Only this kind, such as hat; may be repeated.")
    ] = None,
    size: Annotated[
        list[str] | None,
        typer.Option("--size", help="Only this size, such as 'adult medium'; may be repeated."),
    ] = None,
    garment: Annotated[str | None, typer.Option("--garment", help="Use something left over from this garment.")] = None,
    lot: Annotated[
        list[str] | None, typer.Option("--lot", help="Use this lot; may be repeated, then any of them.")
    ] = None,
    sure: Annotated[
        float | None,
        typer.Option("--sure", help="The least chance that the yarn is enough, 0.5 to 0.999; 0.95 if left out."),
    ] = None,
    top: Annotated[int, typer.Option("--top", help="How many suggestions.")] = 10,
    each: Annotated[int, typer.Option("--each", help="How many ways to make the same accessory.")] = 1,
    least_contrast: Annotated[
        Level | None,
        typer.Option("--least-contrast", help="How well colours must read, in place of what each accessory asks."),
    ] = None,
    held_together: Annotated[
        bool,
        typer.Option("--held-together/--single", help="Whether strands of different lots may be held together."),
    ] = True,
    colourwork: Annotated[bool, typer.Option("--colourwork", help="Only things in several colours.")] = False,
    every: Annotated[
        bool,
        typer.Option("--all", help="The best of every accessory: also many of a kind, from the same lots, and small."),
    ] = False,
    explain: Annotated[
        int | None, typer.Option("--explain", metavar="N", help="Show the whole working of suggestion N.")
    ] = None,
    full: Annotated[
        bool, typer.Option("--full", help="Show every suggestion, near miss and unused lot at length.")
    ] = False,
    pictures: Annotated[
        Path | None,
        typer.Option("--pictures", metavar="DIR", help="Write a sheet with all of them as pictures into this folder."),
    ] = None,
    replace: ReplaceOption = False,
    mending: MendingOption = None,
    eyes: EyesOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Rank what the free yarn of a bin could become.

    What must stay to mend each garment is kept back first. The list is for the people that your bin names, in their
    sizes; for adults where it names none.

    Examples:
        matcher suggest demo
        matcher suggest demo --kind hat --size "adult medium"
        matcher suggest demo --for "my father"
        matcher suggest demo --colourwork
    """
    from matcher.actions.place import reads_demo
    from matcher.actions.ranking.suggest import suggest as act
    from matcher.cli.screens import screen as show
    from matcher.cli.words import style_of
    from matcher.errors import BadInput
    from matcher.reasons.reason import Field, reason

    if reads_demo(bin):
        show.demo_note()
    style = style_of(units.value)
    with show.LateProgress("matching") as progress:
        found = act(
            bin,
            whom=whom or (),
            kind=kind or (),
            size=size or (),
            garment=garment,
            lot=lot or (),
            sure=sure,
            top=top,
            each=each,
            least_contrast=least_contrast.value if least_contrast else None,
            held_together=held_together,
            colourwork=colourwork,
            varied=not every,
            mending=mending,
            eyes=eyes.value if eyes else None,
            catalog=catalog,
            remember=True,
            pictures=pictures,
            replace=replace,
            style=style,
            progress=progress,
            stage=progress.stage,
        )
    for remark in found.notes:
        show.note(remark, style)
    for path in found.files:
        show.note(f"{path} is written")
    numbered = found.numbered
    if explain is not None and not 1 <= explain <= len(numbered):
        raise BadInput(
            reason("there is no suggestion {number}", number=explain),
            Field("explain"),
            reason("the list has {number} of them", number=len(numbered)),
        )
    if as_json:
        show.print_json(found.as_dict(style.units), style)
    elif as_csv:
        show.print_csv(found.frame(), style)
    elif explain is not None:
        from matcher.cli.screens.explain import show_explained

        show_explained(numbered[explain - 1], style, catalog)
    else:
        from matcher.cli.screens.suggestions import show_full, show_list  # what is printed for programs needs no screen

        (show_full if full else show_list)(found, style)
