"""`matcher pattern`: from a suggestion to what she knits from."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import (
    CatalogOption,
    JsonOption,
    MendingOption,
    ReplaceOption,
    SwatchOption,
    Trade,
    TradeOption,
    Units,
    UnitsOption,
    bin_named,
    units_asked,
)


@app.command()
def pattern(
    context: typer.Context,
    what: Annotated[
        list[str],
        typer.Argument(
            metavar="BIN SUGGESTION",
            help="The number of a suggestion, as matcher suggest last listed them for this bin; or an accessory. BIN "
            "is your store, a folder or a spreadsheet; if left out: your store where there is one, else the demo.",
        ),
    ],
    lots: Annotated[
        list[str] | None,
        typer.Option("--lots", metavar="ROLE=LOT", help="The lot of a role, once for each, as matcher begin takes it."),
    ] = None,
    size: Annotated[str | None, typer.Option("--size", help="Which size of an accessory.")] = None,
    whom: Annotated[
        str | None, typer.Option("--for", metavar="NAME", help="Who it is for: their size or measures.")
    ] = None,
    swatch: SwatchOption = None,
    garment: Annotated[
        str | None, typer.Option("--garment", help="Fitted to go with this sweater, as matcher partner does it.")
    ] = None,
    motif: Annotated[
        str | None, typer.Option("--motif", metavar="FILE", help="With --garment: a motif in place of its own.")
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            metavar="PLACE",
            help="Write it into this folder: pages to print on A4 and Letter, pictures, text, and JSON for matcher "
            "begin. Or into one file that ends in .html, .svg, .png, .txt or .json.",
        ),
    ] = None,
    replace: ReplaceOption = False,
    words: TradeOption = Trade.american,
    mending: MendingOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Write out a complete pattern, from the cast-on to the last end.

    Of a suggestion by its number, of an accessory in your size and lots, or fitted to a sweater.

    Examples:
        matcher suggest demo
        matcher pattern demo 1
        matcher pattern demo hat-ribbed --size "adult medium" --lots navy
        matcher pattern demo headband --garment "grey yoke pullover" --words british
    """
    from matcher.actions.pattern.pattern import pattern as act
    from matcher.actions.place import reads_demo
    from matcher.cli.screens import screen as show
    from matcher.cli.terminal import print_page
    from matcher.cli.words import style_of
    from matcher.drawing.pattern_text import pattern_text
    from matcher.reasons.reason import reason

    bin, named = _bin_and_what(what)
    if reads_demo(bin_named(bin)):
        show.demo_note()
    style = style_of(units_asked(context, units, bin).value, british=words is Trade.british)
    found = act(
        bin,
        named,
        lots or (),
        size=size,
        whom=whom,
        swatch=swatch,
        garment=garment,
        motif=motif,
        out=out,
        replace=replace,
        mending=mending,
        catalog=catalog,
        style=style,
    )
    for remark in found.notes:
        show.note(remark, style)
    if found.files:  # else they stand in what is printed
        for warning in found.mind.warnings:
            show.note(reason("Mind: {words}", words=style.sentence(warning)), style)
    for path in found.files:
        show.note(f"{path} is written")
    if as_json:
        show.print_json(found.as_dict(), style)
    elif out is None:
        print_page(pattern_text(found.pattern, found.constants, found.weighed, style, found.mind))


def _bin_and_what(given: Sequence[str]) -> tuple[Path | None, str]:
    """The bin and the suggestion; raises BadInput for more."""
    from matcher.errors import BadInput
    from matcher.reasons.reason import listed, reason
    from matcher.store.places import to_read

    if len(given) == 1 and to_read(given[0]).exists():
        return Path(given[0]), ""
    if len(given) > 2:
        what = reason("{words} are too many", words=listed(given, "and"))
        raise BadInput(what, "", reason("name one bin and one suggestion; put an accessory's name into quotes"))
    return (Path(given[0]) if len(given) == 2 else None), given[-1]
