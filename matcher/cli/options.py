"""Options that several commands share."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.terminal import note
from matcher.cli.words import style_of
from matcher.reasons.reason import reason
from matcher.store.places import hides_demo


class Units(StrEnum):
    """Units on screen; files may use either."""

    metric = "metric"
    imperial = "imperial"
    mixed = "mixed"


class Level(StrEnum):
    """Verdicts that can be asked for."""

    clear = "clear"
    readable = "readable"
    quiet = "quiet"


class Mending(StrEnum):
    """Which repairs of a garment to keep yarn for."""

    little = "little"
    usual = "usual"
    all = "all"


class Trade(StrEnum):
    """Whose words of the trade."""

    american = "american"
    british = "british"


class Eyes(StrEnum):
    """Whose eyes decide."""

    ordinary = "ordinary"
    red = "red"
    green = "green"
    red_green = "red-green"
    blue = "blue"
    protan = "protan"
    deutan = "deutan"
    tritan = "tritan"
    any = "any"


EyesOption = Annotated[
    Eyes | None,
    typer.Option(
        "--eyes",
        metavar="EYES",
        help="Who else must see the contrast: red for red-blind eyes, green, red-green, blue, or any of them; protan, "
        "deutan and tritan are the same. If left out: as you wish, and those of whom it is for. What they would lose "
        "is said in any case.",
    ),
]
ForOption = Annotated[
    list[str] | None,
    typer.Option("--for", metavar="NAME", help="Only for this person, such as 'my sister'; may be repeated."),
]
SwatchOption = Annotated[
    str | None,
    typer.Option("--swatch", help="Your gauge in 10 cm, such as '22 st x 30 rows'; a usual one if left out."),
]


def bin_named(bin: Path | None) -> Path | None:
    """The bin that she names; where a thing of hers is called as the demo is, she is told which of them it is."""
    if bin is not None and hides_demo(bin):
        note(reason("{bin} is your own, in this folder; in any other it names the demo", bin=str(bin)))
    return bin


BinArgument = Annotated[
    Path | None,
    typer.Argument(
        metavar="BIN",
        callback=bin_named,
        help="Your store, a folder with lots.csv and garments.csv, or one .xlsx or .ods. If left out: your store where "
        "there is one, else the demo; demo names that one in any folder.",
    ),
]
StoreOption = Annotated[
    Path | None,
    typer.Option(
        "--bin",
        metavar="FILE",
        help="The store; if left out, the one that MATCHER_BIN names, else your own data folder.",
    ),
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print one JSON object for programs.")]
ReplaceOption = Annotated[bool, typer.Option("--replace", help="Write over files that are there already.")]
TimeOption = Annotated[
    float,
    typer.Option(
        "--time-limit",
        metavar="SECONDS",
        help="How long to look for a better set, in seconds; 0 takes the first that is found.",
    ),
]
TradeOption = Annotated[
    Trade,
    typer.Option(
        "--words",
        case_sensitive=False,
        help="Patterns say gauge, bind off and stockinette; or tension, cast off and stocking stitch.",
    ),
]
CsvOption = Annotated[bool, typer.Option("--csv", help="Print the table as CSV.")]


def _remember(context: typer.Context, units: Units) -> Units:
    return units_asked(context, units, context.params.get("bin"))


def units_asked(context: typer.Context, units: Units, bin: Path | None) -> Units:
    """Her units: those typed, else those that the store wishes which the command works on. Errors are shown in them."""
    source = context.get_parameter_source("units")
    if source is None or source.name != "COMMANDLINE":
        units = wished_units(bin) or Units.metric
    context.find_root().obj = style_of(units.value)
    return units


def wished_units(bin: Path | None = None) -> Units | None:
    """What her store wishes. One that cannot be read is told of by whatever works on it."""
    from matcher.store.database.wishes import written_wishes

    wished = written_wishes(bin).get("units", "")
    return Units(wished) if wished in tuple(Units) else None


UnitsOption = Annotated[
    Units,
    typer.Option(
        "--units",
        callback=_remember,
        help="Units on screen: metric, imperial or mixed (grams with yards and inches). As you wish if left out, else "
        "metric.",
    ),
]
MendingOption = Annotated[
    Mending | None,
    typer.Option(
        "--mending",
        help="Keep yarn for little mending (darned holes only), for the usual (those and any one larger repair) or for "
        "all repairs at once. What is written down for a garment goes first. If left out: as you wish, else usual.",
    ),
]
CatalogOption = Annotated[
    Path | None,
    typer.Option("--catalog", metavar="DIR", help="A folder of your own accessories, added to ours."),
]
