"""`matcher pool`: what many bins could become together."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import CatalogOption, CsvOption, EyesOption, JsonOption, Level, TimeOption, Units, UnitsOption


@app.command()
def pool(
    folder: Annotated[
        Path,
        typer.Argument(
            metavar="DIR",
            help="A folder of bins: stores, workbooks, folders with lots.csv, files .parquet of matcher export. A "
            "folder in it is a place, such as a depot, or one member's lists.",
        ),
    ],
    kind: Annotated[
        list[str] | None, typer.Option("--kind", help="Only this kind, such as hat; may be repeated.")
    ] = None,
    size: Annotated[
        list[str] | None,
        typer.Option("--size", help="Only this size, such as 'adult medium'; may be repeated."),
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
    each_member: Annotated[
        bool, typer.Option("--each-member", help="Also the best few for each member, from their own yarn.")
    ] = False,
    each_place: Annotated[
        bool, typer.Option("--each-place", help="Also the best few for each place, from what lies there.")
    ] = False,
    use_most: Annotated[bool, typer.Option("--set", help="Also a set of things that uses most of the yarn.")] = False,
    gap: Annotated[
        bool, typer.Option("--gap", help="Also what can nearly be made, and who could give what it lacks.")
    ] = False,
    good_files: Annotated[
        bool, typer.Option("--good-files", help="Leave out files that can't be read, and say which.")
    ] = False,
    who: Annotated[
        bool, typer.Option("--who", help="First say which file is whose, for yourself; the answer names codes alone.")
    ] = False,
    time_limit: TimeOption = 20,
    cluster: Annotated[
        str,
        typer.Option(
            "--cluster",
            metavar="ADDRESS",
            help="Let the workers of this Dask scheduler read and bound the files, from the same paths as here.",
        ),
    ] = "",
    explain: Annotated[
        int | None,
        typer.Option("--explain", metavar="N", help="Show the whole working of suggestion N of all together."),
    ] = None,
    full: Annotated[bool, typer.Option("--full", help="Show every suggestion at length.")] = False,
    eyes: EyesOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Rank what the free yarn of many bins could become together.

    For a guild, a charity's depots, a swap group. Of each bin only what is free in it enters, and lots of two members
    never count as one. Every lot is told by its member's code, its place and the code on its tag, or its number in a
    list that is no store, and by its yarn and colour as they are written: of people's names only those that the bin
    itself knows can be withheld. Codes are member 1, member 2 and so on, in the order of the files' names. A file
    .parquet may say another; before both goes codes.csv in the folder, such as the line file,code and below it
    north/anna.ods,A7. Nobody's code is another's. A folder goes before the place that a file .parquet says. Files in
    which no list of yarn is found are named and passed over. Files that are the same to the letter are named and count
    once; where others only seem to be one bin, that is said, and each counts.

    Examples:
        matcher export pooled/north/first.parquet --bin demo --code A7
        matcher pool pooled
    """
    from matcher.actions.collection.pool import pool as act
    from matcher.actions.collection.result import LARGE
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.explain import show_explained
    from matcher.cli.screens.pool import counted_once, left_out, passed_over, show_pool
    from matcher.cli.words import style_of
    from matcher.errors import BadInput
    from matcher.reasons.reason import Field, reason

    _one_form(json=as_json, csv=as_csv, explain=explain is not None)
    style = style_of(units.value)
    with show.LateProgress("reading") as progress:
        found = act(
            folder,
            kind=kind or (),
            size=size or (),
            sure=sure,
            top=top,
            each=each,
            least_contrast=least_contrast.value if least_contrast else None,
            eyes=eyes.value if eyes else None,
            held_together=held_together,
            colourwork=colourwork,
            varied=not every,
            each_member=each_member,
            each_place=each_place,
            use_most=use_most,
            gap=gap,
            good_files=good_files,
            time_limit=time_limit,
            cluster=cluster,
            catalog=catalog,
            progress=progress,
            stage=progress.stage,
        )
    if who and not as_json:
        for code, file in found.who:
            show.note(reason("{member}: {file}", member=code, file=file), style)
    for remark in found.notes:
        show.note(remark, style)
    for words in left_out(found.left_out, style):
        show.note(words, style)
    if found.passed_over:
        show.note(passed_over(found.passed_over), style)
    if found.copies:
        show.note(counted_once(found.copies), style)
    numbered = found.numbered
    if explain is not None and not 1 <= explain <= len(numbered):
        raise BadInput(
            reason("there is no suggestion {number}", number=explain),
            Field("explain"),
            reason("the list has {number} of them", number=len(numbered)),
        )
    if as_json:
        show.print_json(found.as_dict(style.units, who=who), style)
    elif as_csv:
        show.print_csv(found.frame(), style)
    elif explain is not None:
        show_explained(numbered[explain - 1].suggestion, style, catalog, kept=False)
    else:
        show_pool(found, style, full=full)
        if found.lots > LARGE and (took := found.cost.said(by_workers=bool(cluster))):
            show.note(took, style)


def _one_form(**asked: bool) -> None:
    """Raises BadInput where an answer is asked for in two forms."""
    from matcher.errors import BadInput
    from matcher.reasons.reason import Field, listed, reason

    forms = [name for name, wished in asked.items() if wished]
    if len(forms) > 1:
        fields = listed((Field(one) for one in forms), "and")
        raise BadInput(reason("an answer has one form"), fields, reason("give one of them"))
