"""`matcher partner`: an accessory to match a sweater."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.keeping.say import tell
from matcher.cli.options import (
    BinArgument,
    CatalogOption,
    EyesOption,
    JsonOption,
    MendingOption,
    ReplaceOption,
    Units,
    UnitsOption,
)


@app.command()
def partner(
    garment: Annotated[str, typer.Option("--garment", help="The sweater that it is to go with.")],
    accessory: Annotated[str, typer.Option("--accessory", help="What to knit, such as 'hat-stranded-band'.")],
    bin: BinArgument = None,
    motif: Annotated[
        str | None,
        typer.Option("--motif", metavar="FILE", help="A motif by its file or name, in place of the garment's own."),
    ] = None,
    lots: Annotated[
        list[str] | None,
        typer.Option(
            "--lots",
            metavar="[ROLE=]LOT",
            help="The lot of a role, such as 'main=navy', in place of the sweater's own; may be given again.",
        ),
    ] = None,
    whom: Annotated[
        str | None, typer.Option("--for", metavar="NAME", help="Who it is for, if not the garment's wearer.")
    ] = None,
    size: Annotated[
        str | None, typer.Option("--size", help="Its size, such as 'adult medium'; the wearer's if left out.")
    ] = None,
    head_cm: Annotated[float | None, typer.Option("--head-cm", help="The head, measured, in place of a size.")] = None,
    hand_cm: Annotated[
        float | None, typer.Option("--hand-cm", help="Round the hand without the thumb, in place of a size.")
    ] = None,
    neck_cm: Annotated[float | None, typer.Option("--neck-cm", help="The neck, measured, in place of a size.")] = None,
    swatch: Annotated[
        str | None,
        typer.Option("--swatch", help="Your gauge in 10 cm, such as '22 st x 30 rows'; the sweater's if left out."),
    ] = None,
    ease_percent: Annotated[
        str | None,
        typer.Option("--ease-percent", metavar="LOW..HIGH", help="Least and most ease, such as '-10..2'."),
    ] = None,
    fit: Annotated[
        int, typer.Option("--fit", metavar="N", help="Work out fit N of the list in place of the best.")
    ] = 1,
    recolour: Annotated[
        bool, typer.Option("--recolour", help="Share all lots of the bin out among the roles anew.")
    ] = False,
    sure: Annotated[
        float | None,
        typer.Option("--sure", help="The least chance that the yarn is enough, 0.5 to 0.999; 0.95 if left out."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Write pictures and a page to print into this folder.")
    ] = None,
    replace: ReplaceOption = False,
    begin: Annotated[
        bool, typer.Option("--begin", help="Put it on the needles as well, and set its yarn aside.")
    ] = False,
    name: Annotated[
        str | None, typer.Option("--as", metavar="NAME", help="With --begin: what to call it, if not as the accessory.")
    ] = None,
    anyway: Annotated[
        bool, typer.Option("--anyway", help="With --begin: set aside what there is, even if it is too little.")
    ] = False,
    mending: MendingOption = None,
    eyes: EyesOption = None,
    catalog: CatalogOption = None,
    units: UnitsOption = Units.metric,
    as_json: JsonOption = False,
) -> None:
    """Fit a hat, cowl, mitts or headband to match a sweater.

    It gets the sweater's own motif and colours: stitches, rounds, metres of each colour, and what to do when a colour
    is short. What must stay to mend the sweater is kept back first.

    Examples:
        matcher partner demo --garment "grey yoke pullover" --accessory headband
    """
    from matcher.actions.beginning.begin_partner import begin_partner
    from matcher.actions.partner.partner import partner as act
    from matcher.actions.place import reads_demo
    from matcher.cli.screens import screen as show
    from matcher.cli.screens.partner import show_partner
    from matcher.cli.words import style_of

    if reads_demo(bin):
        show.demo_note()
    style = style_of(units.value)
    with show.LateProgress("matching") as progress:
        found = act(
            bin,
            garment=garment,
            accessory=accessory,
            motif=motif,
            lots=lots or (),
            whom=whom,
            size=size,
            head_cm=head_cm,
            hand_cm=hand_cm,
            neck_cm=neck_cm,
            swatch=swatch,
            ease_percent=ease_percent,
            fit=fit,
            recolour=recolour,
            sure=sure,
            out=out,
            replace=replace,
            mending=mending,
            eyes=eyes.value if eyes else None,
            catalog=catalog,
            style=style,
            progress=progress,
        )
    for remark in found.notes:
        show.note(remark, style)
    for path in found.files:
        show.note(f"{path} is written")
    begun = None
    if begin:
        begun = begin_partner(found, name=name, anyway=anyway, mending=mending, bin=bin, catalog=catalog)
    if as_json:
        show.print_json({**found.as_dict(), **({"begun": begun.as_dict()} if begun else {})}, style)
        return
    show_partner(found, style)
    if begun:
        tell(begun, False, units)
