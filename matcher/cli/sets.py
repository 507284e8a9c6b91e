"""`matcher set`: what to knit with all of it."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager
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
    MendingOption,
    ReplaceOption,
    TimeOption,
    Units,
    UnitsOption,
)


@app.command(name="set")
def plan(
    bin: BinArgument = None,
    want: Annotated[
        list[str] | None,
        typer.Option(
            "--want",
            metavar="THINGS",
            help="What is to be among them: '2 hats for adults, 1 mitts for my sister'; may be repeated.",
        ),
    ] = None,
    people: Annotated[
        bool, typer.Option("--people", help="Something for each person of your bin, in their size and to their taste.")
    ] = False,
    match: Annotated[
        str | None,
        typer.Option(
            "--match",
            metavar="GARMENT",
            help="A hat, a cowl and mitts in the motif of this garment, from what it left of its colours.",
        ),
    ] = None,
    use_up: Annotated[bool, typer.Option("--use-up", help="Use as much of the free yarn as can be.")] = False,
    few: Annotated[bool, typer.Option("--few", help="Use up as many lots as can be: few part-used ones stay.")] = False,
    most: Annotated[bool, typer.Option("--most", help="Make as many things as can be.")] = False,
    each_different: Annotated[
        bool, typer.Option("--each-different", help="No accessory twice, in whatever size or colours.")
    ] = False,
    keep: Annotated[
        list[str] | None, typer.Option("--keep", metavar="LOT", help="Leave this lot alone; may be repeated.")
    ] = None,
    must: Annotated[
        list[str] | None, typer.Option("--must", metavar="LOT", help="Use this lot; may be repeated, then all of them.")
    ] = None,
    sure: Annotated[
        float | None,
        typer.Option("--sure", help="The least chance that the yarn lasts for all, 0.5 to 0.999; 0.95 if left out."),
    ] = None,
    time_limit: TimeOption = 20,
    alternatives: Annotated[int, typer.Option("--alternatives", help="How many other sets that really differ.")] = 0,
    whom: ForOption = None,
    eyes: EyesOption = None,
    mending: MendingOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            metavar="DIR",
            help="Write a picture, pages to print and set.json, which matcher begin --set takes, into this folder.",
        ),
    ] = None,
    replace: ReplaceOption = False,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Plan several things that can all be knitted from one bin.

    No metre is promised twice, what must stay to mend each garment is kept back, and the chance that the yarn lasts is
    for all of them at once. Ctrl-C shows the best that was found so far.

    Examples:
        matcher set demo --people
        matcher set demo --want "2 hats for adults, 1 cowl" --alternatives 1
        matcher set demo --match "grey yoke pullover"
        matcher set demo --use-up --time-limit 5
    """
    from matcher.actions.place import reads_demo
    from matcher.actions.sets.plan import plan_set
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.sets import bounds_shown, show_sets
    from matcher.cli.words import style_of

    if reads_demo(bin):
        show.demo_note()
    style = style_of(units.value)
    aim = _aim(use_up=use_up, few=few, most=most)
    with show.LateProgress("looking for what goes together") as progress, _ended_by_ctrl_c():
        found = plan_set(
            bin,
            want=want or (),
            people=people,
            match=match,
            aim=aim,
            each_different=each_different,
            keep=keep or (),
            must=must or (),
            sure=sure,
            time_limit=time_limit,
            alternatives=alternatives,
            whom=whom or (),
            eyes=eyes.value if eyes else None,
            mending=mending,
            catalog=catalog,
            out=out,
            replace_files=replace,
            style=style,
            progress=bounds_shown(progress, aim),
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
        show_sets(found, style)


@contextmanager
def _ended_by_ctrl_c() -> Iterator[None]:
    """Ctrl-C ends the search, which then gives what it has; where nothing is searched it stops the command as ever."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        yield
    except KeyboardInterrupt:
        signal.signal(signal.SIGINT, before)
        signal.raise_signal(signal.SIGINT)
        raise
    finally:
        if signal.getsignal(signal.SIGINT) is signal.default_int_handler:  # else it has been answered
            signal.signal(signal.SIGINT, before)


def _aim(**asked: bool) -> str:
    """The one aim that is asked for, else the best things. Raises BadInput for two."""
    from matcher.errors import BadInput
    from matcher.matching.sets.aims import BEST
    from matcher.reasons.reason import Field, listed, reason

    aims = [name.replace("_", "-") for name, wished in asked.items() if wished]
    if len(aims) > 1:
        fields = listed((Field(one) for one in aims), "and")
        raise BadInput(reason("a set has one aim"), fields, reason("give one of them"))
    return aims[0] if aims else BEST
