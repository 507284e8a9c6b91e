"""`matcher calibration`: how her knitting compares with the figures, from what she finished."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import CatalogOption, CsvOption, JsonOption, ReplaceOption, Units, UnitsOption
from matcher.cli.words import style_of
from matcher.reasons.reason import reason


@app.command()
def calibration(
    bin: Annotated[
        Path | None, typer.Option("--bin", metavar="FILE", help="The store; your own if left out (or MATCHER_BIN).")
    ] = None,
    svg: Annotated[
        Path | None, typer.Option("--svg", metavar="FILE", help="Write the plot to this file, as SVG.")
    ] = None,
    png: Annotated[
        Path | None, typer.Option("--png", metavar="FILE", help="Write the plot to this file, as PNG.")
    ] = None,
    share: Annotated[
        Path | None,
        typer.Option("--share", metavar="FILE", help="Show the bare figures, then write them to this file, as CSV."),
    ] = None,
    replace: ReplaceOption = False,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
    as_csv: CsvOption = False,
) -> None:
    """Show how much yarn you use against the estimates.

    From your finished accessories and your swatches: before, what was noted, and now. Every need follows it.

    What would prove the estimates is weighed pieces. --share writes yours as numbers (metres estimated and used,
    structure, class, gauge), without a name, a place or a date, and sends them nowhere: hand the file on if you like.

    Examples:
        matcher intake demo --bin try.db
        matcher calibration --bin try.db
    """
    from matcher.actions.learning.calibration import calibration as act
    from matcher.actions.learning.calibration import write_plots
    from matcher.actions.learning.share import shared_rows, shared_text, write_shared
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.calibration import show_calibration

    style = style_of(units.value)
    found = act(bin, catalog=catalog)
    for path in write_plots(found, svg=svg, png=png, replace=replace, style=style):
        show.note(reason("The plot is in {file}.", file=str(path)), style)
    if share is not None:
        text = shared_text(shared_rows(found))
        for line in text.splitlines():
            show.note(line)
        path = write_shared(text, share, replace=replace)
        said = "These lines are in {file} and nothing else is; they are sent nowhere."
        show.note(reason(said, file=str(path)), style)
    show.answer(found, show_calibration, style, as_json=as_json, as_csv=as_csv)
