"""`matcher export`: the whole bin as sheets."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import JsonOption, ReplaceOption, bin_named


@app.command()
def export(
    to: Annotated[
        Path | None,
        typer.Argument(
            metavar="PLACE",
            help="A folder for lots.csv and garments.csv, or a file .xlsx or .ods; a file .parquet gets what is free, "
            "for matcher pool.",
        ),
    ] = None,
    bin: Annotated[
        Path | None,
        typer.Option(
            "--bin",
            metavar="BIN",
            callback=bin_named,
            help="A store, folder or spreadsheet; the usual store if left out.",
        ),
    ] = None,
    as_written: Annotated[
        bool, typer.Option("--as-written", help="Add a sheet of what you wrote yourself, where it was read otherwise.")
    ] = False,
    code: Annotated[
        str, typer.Option("--code", metavar="CODE", help="What you are called in a pool, for a file .parquet.")
    ] = "",
    place: Annotated[
        str, typer.Option("--place", metavar="PLACE", help="Where your yarn lies in a pool, such as a depot.")
    ] = "",
    replace: ReplaceOption = False,
    as_json: JsonOption = False,
) -> None:
    """Write the whole bin as sheets.

    Intake reads them back without loss; the same bin gives the same bytes. Files of motifs that its garments name go
    along, into the folder or beside the file. A file .parquet is for matcher pool: the
    free yarn alone, without notes and without names of lots and garments. Yarns, colours and dye lots go along as they
    are written; where one of them names somebody whom this bin knows, it is left out. Names of others can't be known:
    look through the file before you hand it on.

    Examples:
        matcher export my-bin.xlsx --bin demo
    """
    from matcher.actions.keeping.export import export as act
    from matcher.actions.place import reads_demo
    from matcher.cli.screens import screen as show
    from matcher.cli.terminal import tell
    from matcher.errors import BadInput
    from matcher.reasons.reason import Field, counted, listed, reason

    if to is None and not as_json:
        todo = reason("give a folder, or a file ending in .xlsx or .ods; or {json}", json=Field("json"))
        raise BadInput(reason("no place to write to"), Field("place to write to"), todo)
    if reads_demo(bin):
        show.demo_note()
    with show.LateProgress("writing") as progress:
        found = act(to, bin, as_written=as_written, code=code, place=place, replace=replace, progress=progress)
    if found.withheld:
        what = (
            'The place "{place}" is left out, since it names somebody whom your bin knows: give another with {field}.'
        )
        show.note(reason(what, place=found.withheld, field=Field("place")))
    for remark in found.notes:
        show.note(remark)
    if as_json:
        show.print_json(found.as_dict())
        return
    if found.given is not None:
        one, many = "{n} row of free yarn written to", "{n} rows of free yarn written to"
        tell(counted(found.given, one, many))
        tell(f"  {found.written[0]}")
        if not found.given:
            show.note(reason("Nothing in this bin is free, so it gives a pool nothing but its code."))
            return
        show.note(
            reason(
                "Yarns, colours and dye lots stand in it as they are written, but for those that name somebody whom "
                "your bin knows: look through it before you hand it on."
            )
        )
        return
    lots = counted(len(found.cells["lots"]), "{n} lot", "{n} lots")
    garments = counted(len(found.cells["garments"]), "{n} garment", "{n} garments")
    people = len(found.cells["people"])
    more = [counted(people, "{n} person", "{n} people")] if people else []
    tell(reason("{things} written to", things=listed((lots, garments, *more), "and")))
    for path in found.written:
        tell(f"  {path}")
