"""Workbooks as different knitters keep them: read in one go, the right lots, and what is guessed or left out is told.

Each book says what a sensible reader must get, lot by lot in her order, and words that must be among what it is told.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import pytest
from laid import lay

from matcher.materials.lots import Garment, Lot
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import Reading, reading_of

CATALOGUE = load_catalogue()
Wants = dict[str, object]
YD = 0.9144


@dataclass(frozen=True)
class Book:
    """sheets: rows of cells parted by "|", by the sheet's title; "@2024-05-01" is a date. lots: what each lot must be,
    in order; garments: by name; told: words that she must be told. kind "; csv" is a csv with semicolons. merged:
    ranges of the first sheet; hidden: its columns that are hidden. refused: how many faults."""

    kind: str
    sheets: dict[str, str]
    lots: tuple[Wants, ...]
    garments: dict[str, Wants] = field(default_factory=dict)
    told: tuple[str, ...] = ()
    merged: tuple[str, ...] = ()
    hidden: str = ""
    refused: int = 0


def lot(g: float | None = None, sd: object = None, **other: object) -> Wants:
    """A lot of g grams; sd: None for weighed, True for some spread, or its bounds [g]."""
    return {"g": g, "sd": sd, **other}


SPREAD = True
BOOKS: dict[str, Book] = {
    "a British tin": Book(
        "xlsx",
        {
            "Tin": """Yarn|Colour|Thickness|How much left|Put up
soft merino|navy|DK|1/2 ball|50g / 125m
soft merino|cream|double knitting|1 ball + a bit|50g / 125m
island wool|moorit|4ply|approx 40g|25g/105m
old tweed|bottle green|aran ish|2 x 50g|50 g/85 m"""
        },
        (
            lot(25, SPREAD, cls=3, tex=400, ball_g=50),
            lot((50, 75), SPREAD, cls=3, tex=400),
            lot(40, SPREAD, cls=1, tex=238),
            lot(100, None, tex=588, name="old tweed bottle green"),
        ),
    ),
    "an American stash": Book(
        "xlsx",
        {
            "Stash 2024": """My yarn stash
Brand/yarn|Colorway|Weight|Skeins left|Yards per skein|Skein weight (oz)|Where is it|Project it came from
heather wool|oatmeal|Worsted|1.5|220|3.5|cedar chest|harvest cardigan
heather wool|barn red|worsted|0.25|220|3.5|cedar chest|harvest cardigan
plain sock|teal|Fingering|.5|463|3.5|sock drawer|
big wool|charcoal|Bulky|2|106|3.5|cedar chest|"""
        },
        (
            lot(148.8, SPREAD, cls=4, tex=99.22 / (220 * YD) * 1000, garment="harvest cardigan", place="cedar chest"),
            lot(24.8, SPREAD, cls=4, garment="harvest cardigan"),
            lot(49.6, SPREAD, cls=1, tex=99.22 / (463 * YD) * 1000, garment=""),
            lot(198.4, SPREAD, cls=5),
        ),
    ),
    "Australian plies": Book(
        "xlsx",
        {
            "Sheet1": """Wool|Ply|Colour|Grams left|Fibre|Bought|Box
merino|8 ply|navy|65|wool|@2021-03-04|A
merino|5 ply|rust|34|wool|@2019-11-25|A
station wool|10 ply|natural|120|wool|@2020-01-02|B
alpaca mix|12ply|fawn|88|alpaca/wool 50/50|@2020-01-02|B"""
        },
        (
            lot(65, cls=3, place="A"),
            lot(34, cls=2, name="merino rust"),
            lot(120, cls=4, place="B"),
            lot(88, cls=5, fibre={"alpaca": 0.5}),
        ),
        told=("left out: Bought",),
    ),
    "a beginner": Book(
        "csv",
        {
            "my wool": """What is it|Colour|How thick|How much
grey wool|grey|dk i think|about 60
pink stuff|pink|chunky|40-45 g
baby wool|white|double knitting|60g"""
        },
        (lot(60, SPREAD, cls=3), lot(42.5, SPREAD, cls=5), lot(60, cls=3)),
    ),
    "a spinner": Book(
        "ods",
        {
            "handspun": """Name|Fibre|Nm|WPI|Weight (g)|Colour
grey ewe|Shetland|8/2||84|silver grey
brown ewe|BFL|6/2||61|dark brown
mill end|wool|14/2||150|cream
lumpy first try|wool?||10|45|oatmeal
even two ply|merino/silk 70/30||14|52|natural"""
        },
        (lot(84, tex=250), lot(61, tex=333), lot(150, tex=143)),
        told=("left out: WPI (2)", "handspun:5", "handspun:6"),
        refused=2,
    ),
    "a sock knitter": Book(
        "xlsx",
        {
            "Socks": """Yarn|Colourway|Dye lot|Fibre content|Ball weight|Metres per ball|Weight left
everyday sock|petrol|1204|75/25 wool/nylon|100|420|34 g
everyday sock|mustard|887|75/25 wool/nylon|100|420|61 g
fancy sock|self-striping blues||merino/nylon 75/25|100|400|about 20"""
        },
        (
            lot(34, dye_lot="1204", tex=238, fibre={"nylon": 0.25}),
            lot(61, dye_lot="887", tex=238),
            lot(20, SPREAD, tex=250, fibre={"nylon": 0.25}),
        ),
    ),
    "two rows of headings, merged": Book(
        "xlsx",
        {
            "Wool": """Yarn|Colour|One ball||Left||Kept in
||g|m|balls|g|
lane wool|denim|50|120||37|loft
lane wool|plum|50|120|2||loft
cotton dk|white|100|212|0.5||tin"""
        },
        (
            lot(37, tex=417, place="loft"),
            lot(100, SPREAD, tex=417),
            lot(50, SPREAD, tex=472, place="tin"),
        ),
        merged=("C1:D1", "E1:F1"),
    ),
    "dates everywhere": Book(
        "xlsx",
        {
            "Weighed": """As of|@2025-02-01

Weighed on|Yarn|Shade|Weight class|Grams
@2025-01-30|hill wool|slate|4|112
@2025-01-30|hill wool|heather purple|4|76.5
@2024-12-24|lace|ivory|lace|22"""
        },
        (
            lot(112, cls=4, weighed_on="2025-01-30"),
            lot(76.5, cls=4),
            lot(22, cls=0, weighed_on="2024-12-24"),
        ),
    ),
    "German numbers": Book(
        "; csv",
        {
            "Wolle": """Yarn|Colour|Ball weight (g)|Metres per ball|Grams left
Schafwolle|navy|50|112,5|41,5
Schafwolle|rust|50|112,5|1.250
Sockenwolle|grey|100|420|37,25"""
        },
        (lot(41.5, tex=444), lot(1250, tex=444), lot(37.25, tex=238)),
    ),
    "French numbers": Book(
        "; csv",
        {
            "laine": """Yarn|Color|Grams per skein|Meters per skein|Weight left (g)
laine douce|ecru|50|125,0|41,5
laine douce|navy|50|125,0|1 250,5
mohair|pink|25|210|12,5"""
        },
        (lot(41.5, tex=400), lot(1250.5, tex=400), lot(12.5, tex=119)),
    ),
    "semicolons and plain numbers": Book(
        "; csv",
        {
            "export": """"Leftovers";;;;
Name;Wool;Colour;Thickness;Left (g)
a1;aran tweed;charcoal marl;Aran;1,050
a2;aran tweed;oatmeal;Aran;62.5
a3;crepe;duck egg;4-ply;28""".replace(";", "|").replace('"', "")
        },
        (
            lot(1050, cls=4, name="a1"),
            lot(62.5, cls=4, name="a2"),
            lot(28, cls=1, name="a3"),
        ),
    ),
    "question marks and dashes": Book(
        "xlsx",
        {
            "stash": """Yarn|Colour|Thickness|Grams|Ball (g)|Yards per ball|From which jumper|Where
hill wool|navy|Aran|55|-|-|-|?
hill wool|?|DK|40|50|131|?|tin
mystery|green|?|30|-|?|n/a|tin"""
        },
        (lot(55, cls=4, garment="", place=""),),
        told=("read ?: ball_metres not known", 'stash:3 colour: found "?"', "stash:4"),
        refused=2,
    ),
    "merged names down the side": Book(
        "xlsx",
        {
            "Yarn": """Yarn|Ball|Colour|Grams|Weight
jumper wool|25g/105m|navy|20|jumper weight
||moorit|35|jumper weight
||fair isle red|18|jumper weight
cotton|50g/85m|white|44|worsted
||lemon|50|worsted"""
        },
        (
            lot(20, tex=238, yarn="jumper wool"),
            lot(35, tex=238, yarn="jumper wool", name="jumper wool moorit"),
            lot(18, tex=238, yarn="jumper wool"),
            lot(44, tex=588, yarn="cotton"),
            lot(50, tex=588, yarn="cotton"),
        ),
        merged=("A2:A4", "B2:B4", "A5:A6", "B5:B6"),
    ),
    "a total with a formula": Book(
        "xlsx",
        {
            "Yarn": """Yarn|Colour|Weight|Ounces left
farm wool|gray|Worsted|3 oz
farm wool|cranberry|Worsted|1.5
cotton|white|DK|2.25

TOTAL|||=SUM(D2:D4)"""
        },
        (lot(85.05, cls=4), lot(42.5, cls=4), lot(63.8, cls=3)),
    ),
    "hidden and empty columns": Book(
        "xlsx",
        {
            "Yarn": """|Yarn||Colour|Yarn weight||Amount (grams)|old notes
||||||
|barn wool||red|Worsted||64|
|barn wool||blue|Worsted||12|
|lace||white|Lace||41|"""
        },
        (lot(64, cls=4), lot(12, cls=4), lot(41, cls=0)),
        hidden="CFH",
    ),
    "jumpers below the wool": Book(
        "xlsx",
        {
            "Wool": """WOOL
Yarn|Colour|Thickness|Grams|Jumper
hill wool|navy|DK|41|blue yoke
hill wool|cream|DK|37.5|blue yoke
boat wool|dark navy|5 ply|160|gansey

JUMPERS
Jumper|Type|Whose|Still worn?|Chest
blue yoke|yoke jumper|me|yes|38
gansey|gansey|Dad|yes|44 in"""
        },
        (
            lot(41, cls=3, garment="blue yoke"),
            lot(37.5, cls=3, garment="blue yoke"),
            lot(160, cls=2, garment="gansey"),
        ),
        {
            "blue yoke": {"status": "worn", "wearer": "me", "chest": 96.5, "kind": "yoke jumper"},
            "gansey": {"status": "worn", "wearer": "Dad", "chest": 111.8},
        },
        told=("guess 38: chest_cm",),
    ),
    "units in the headings": Book(
        "ods",
        {
            "leftover yarn": """Yarn name|Color|Remaining (oz)|Skein size (oz)|Skein length (yds)|Location
ranch wool|indigo|1.5|4|215|bin 2
ranch wool|wheat|3.25|4|215|bin 2
superwash sport|coral|0.75|1.75|164|bin 5"""
        },
        (
            lot(42.5, tex=113.4 / (215 * YD) * 1000, place="bin 2"),
            lot(92.1, tex=113.4 / (215 * YD) * 1000),
            lot(21.3, tex=49.6 / (164 * YD) * 1000),
        ),
    ),
    "sizes S, M and L": Book(
        "xlsx",
        {
            "bits": """Yarn|Colour|Thickness|Weight in g|Left over from
hill wool|grey|aran|80|Grey raglan
soft dk|lilac|dk|45|Mia cardi
soft dk|sky blue|dk|33|Tank top""",
            "made": """Garment|What|Size|For|What became of it
Grey raglan|raglan|L|Tom|worn
Mia cardi|cardigan|4 years|Mia|outgrown, charity shop
Tank top|tank top|S|me|given to my sister""",
        },
        (
            lot(80, cls=4, garment="Grey raglan"),
            lot(45, cls=3, garment="Mia cardi"),
            lot(33, cls=3, garment="Tank top"),
        ),
        {
            "Grey raglan": {"status": "worn", "wearer": "Tom", "chest": (95, 125)},
            "Mia cardi": {"status": "gone", "wearer": "Mia"},
            "Tank top": {"status": "given", "wearer": "me", "chest": (75, 105)},
        },
        told=("guess L", "guess S"),
    ),
    "what became of it": Book(
        "csv",
        {
            "yarn": """Yarn|Colour|Weight|Grams left|Sweater
wool a|navy|worsted|50|blue vest
wool b|red|worsted|40|red pullover
wool c|tan|sport|90|tan cardigan
wool d|gray|bulky|75|gray raglan""",
            "sweaters": """Sweater|Kind|Status|Chest (inches)|Gauge
blue vest|vest|yes|40|18 sts
red pullover|pullover|lost|42|18 sts
tan cardigan|cardigan|given to my sister|38|24 x 32
gray raglan|raglan|charity shop|46|14""",
        },
        (
            lot(50, cls=4, garment="blue vest"),
            lot(40, cls=4, garment="red pullover"),
            lot(90, cls=2, garment="tan cardigan"),
            lot(75, cls=5, garment="gray raglan"),
        ),
        {
            "blue vest": {"status": "worn", "chest": 101.6, "stitches": 18},
            "red pullover": {"status": "gone", "chest": 106.7},
            "tan cardigan": {"status": "given", "chest": 96.5, "stitches": 24, "rows": 32},
            "gray raglan": {"status": "gone", "stitches": 14},
        },
    ),
    "yards left, no grams": Book(
        "xlsx",
        {
            "Stash": """Yarn|Colorway|Weight|Yds left|Yardage|Skein (g)|Bin
river wool|moss|Worsted|110|220|100|1
river wool|clay|Worsted|55|220|100|1
alpaca lace|dove grey|Lace|400|875|100|2"""
        },
        (lot(50, None, m=110 * YD, cls=4), lot(25, None, m=55 * YD), lot(45.7, None, m=400 * YD, cls=0)),
    ),
    "metres left, and no ball": Book(
        "csv",
        {
            "oddments": """Yarn|Colour|Thickness|Metres left
hill wool|navy|DK|100
hill wool|cream|DK|45
crepe|pale pink|4 ply|180"""
        },
        (lot(None, m=100, cls=3), lot(None, m=45, cls=3), lot(None, m=180, cls=1)),
    ),
    "headings spelled nearly right": Book(
        "csv",
        {
            "wool": """Yarn|Coluor|Thicknes|Gramms left|Baal weight|Yards per bal|Whear
hill wool|navy|DK|41|50|131|tin
hill wool|cream|DK|22|50|131|tin"""
        },
        (lot(41, cls=3, ball_g=50, tex=50 / (131 * YD) * 1000), lot(22, cls=3, tex=50 / (131 * YD) * 1000)),
        told=("left out: Whear",),  # two letters too far
    ),
    "headings in a hurry": Book(
        "csv",
        {
            "wool": """Yarn|Colour|Frm which jumpr|Yrds per ball|Bal weight (g)|How much lft
hill wool|navy|blue jumper|137|50|approx 40g"""
        },
        (lot(40, SPREAD, garment="blue jumper", tex=50 / (137 * YD) * 1000),),
    ),
    "headings of a hasty American": Book(
        "xlsx",
        {
            "Sheet1": """ yarn  | COLOR|wieght |Skiens left | yds/skein| grams/skein
hill wool |navy|Worsted |2|200|100
hill wool| red |worsted| half|200|100"""
        },
        (lot(200, SPREAD, cls=4, tex=100 / (200 * YD) * 1000), lot(50, SPREAD, name="hill wool red")),
    ),
    "rows grouped by box": Book(
        "xlsx",
        {
            "List": """Leftovers by box
Yarn|Shade|Thickness|Amount
BOX 1
hill wool|navy|DK|41g
hill wool|gold|DK|60-70g

BOX 2
chunky twist|brown|Chunky|1/2 ball (100g balls)
chunky twist|cream|Chunky|3oz
Total|||4 yarns"""
        },
        (lot(41, cls=3), lot(65, SPREAD), lot(50, SPREAD, cls=5), lot(85.05, cls=5)),
    ),
    "mixed fibres and guesses": Book(
        "xlsx",
        {
            "fibre list": """Yarn|Colour|Weight|Grams|Fibre|Washing
cloud|pale grey|Lace|25|mohair/silk|hand wash
sheep|dark brown|Aran|90|wool?|hand
summer|sea green|DK|47|cotton/Tencel|machine 30
possum mix|black|DK|33|possum/merino 40/60|hand wash only
fluff|white|DK|20|mohair & silk|"""
        },
        (
            lot(25, cls=0, fibre={"mohair": 0.5, "silk": 0.5}),
            lot(90, cls=4),
            lot(47, cls=3, fibre={"cotton": 0.5}),
            lot(33, cls=3, fibre={"merino": 0.6}),
            lot(20, cls=3, fibre={"mohair": 0.5}),
        ),
        told=("mohair/silk", "wool?"),
    ),
    "classes as people say them": Book(
        "csv",
        {
            "stash": """Yarn|Color|Yarn weight|Approx grams
a wool|navy|DK/worsted|50
b wool|tan|worsted-ish|61
c wool|red|fingering / 4ply|28
d wool|gold|jumper weight|19
e wool|plum|super bulky|150
f wool|teal|aran or worsted|44"""
        },
        (
            lot(50, SPREAD, cls=(3, 4)),
            lot(61, SPREAD, cls=4),
            lot(28, SPREAD, cls=1),
            lot(19, SPREAD, cls=1),
            lot(150, SPREAD, cls=6),
            lot(44, SPREAD, cls=4),
        ),
    ),
    "a list with numbers and prices": Book(
        "xlsx",
        {
            "2023": """No.|Yarn|Colour|Price|Thickness|Qty (balls)|Ball size|Rating
1|hill wool|navy|£4.50|DK|2|50g|5
2|hill wool|cherry|£4.50|DK|1 1/2|50g|4
3|sock|denim||4ply|0.3|100g|"""
        },
        (lot(100, SPREAD, cls=3, ball_g=50), lot(75, SPREAD, cls=3), lot(30, SPREAD, cls=1)),
        told=("left out: Price", "left out: Rating"),
    ),
    "her people too": Book(
        "xlsx",
        {
            "yarn": """Yarn|Color|Weight|Grams|Sweater
hill wool|navy|DK|41|Ada yoke
hill wool|cream|DK|52|Ada yoke""",
            "sweaters": """Sweater|Kind|Wearer|Still worn
Ada yoke|yoke sweater|Ada|outgrown""",
            "family": """Name|Size|Head (inches)|Can't wear|Likes
Ada|5 years|20|mohair|blue
Grandpa|large|||hats""",
        },
        (lot(41, garment="Ada yoke"), lot(52, garment="Ada yoke")),
        {"Ada yoke": {"status": "gone", "wearer": "Ada"}},
    ),
    "remarks in brackets": Book(
        "ods",
        {
            "Wool": """Yarn|Colour|Weight of yarn|How much is left|Ball|Notes
hill wool|navy (faded)|DK|41g (2 pieces)|50g, 120m|washed
hill wool|red|DK|a bit less than half|50g, 120m|
hill wool|white|DK|full ball|50g, 120m|moths?
hill wool|black|DK|nearly full|50g, 120m|"""
        },
        (lot(41, cls=3, tex=417), lot((15, 25), SPREAD), lot(50, SPREAD), lot((40, 50), SPREAD)),
    ),
    "strands and cones": Book(
        "xlsx",
        {
            "cones": """Yarn|Count|Colour|Weight (g)|Used for
machine wool|2/24 Nm|grey|310|
machine wool|2/28 Nm|navy|95|
cotton|8/2 Ne|white|240|"""
        },
        (lot(310, tex=83.3), lot(95, tex=71.4), lot(240, tex=147.6)),
    ),
    "sums within and below": Book(
        "ods",
        {
            "wool": """Yarn|Colour|Thickness|Balls|Ball weight g|Total g
hill wool|navy|DK|2|50|100
hill wool|rust|DK|0.5|50|25
Subtotal|||2.5||125

rug wool|red|Chunky|1|100|100
Grand total|||3.5||225"""
        },
        (lot(100, cls=3), lot(25, cls=3), lot(100, cls=5)),
    ),
    "used up and half known": Book(
        "csv",
        {
            "stash": """Yarn|Colour|Weight|Left
hill wool|navy|DK|none
hill wool|rust|DK|0
hill wool|gold|DK|55 g
hill wool|grey|DK|some"""
        },
        (lot(55, cls=3, name="hill wool gold"), lot((1, 10), SPREAD)),
        told=("guess some", "rows 2, 3: nothing of them is left"),
    ),
    "totals of each yarn": Book(
        "xlsx",
        {
            "Stash": """Stash|Color|Yarn weight category|Amount (skeins)|Total yardage|Total weight (g)
ranch wool|navy|4 - worsted|2|400|200
alpaca lace|red|0 - lace|0.5|437|50"""
        },
        (lot(200, None, cls=4, ball_g=None), lot(50, None, cls=0)),
        told=("left out: Stash (2)",),
    ),
    "yarn and colour in one cell": Book(
        "csv",
        {
            "wool": """Yarn/colour|Thickness|Length/weight|What's left|Jumper
hill wool navy|DK|250m/100g|41g|none yet
hill wool red|DK|250m/100g|1/2 ball (100 g)|
crepe cream|4ply|200m/50g|2 balls (50g balls)|-"""
        },
        (
            lot(41, tex=400, name="DK hill wool navy", garment=""),
            lot(100, tex=400, garment=""),
            lot(100, SPREAD, tex=250, garment=""),
        ),
        told=("guess 1/2 ball (100 g): grams 100 g",),
    ),
    "a total that counts balls": Book(
        "csv",
        {
            "wool": """Yarn|Colour|Thickness|Weight per ball|Total
hill wool|navy|DK|50|2
hill wool|red|DK|50|1"""
        },
        (lot(100, SPREAD, ball_g=50), lot(50, SPREAD, ball_g=50)),
        told=("guess heading Total: grams",),
    ),
    "full balls and a part": Book(
        "xlsx",
        {
            "wool": """Yarn|Colour|Thickness|Full balls|Part ball (g)|Ball weight
hill wool|navy|DK|2|31|50
hill wool|red|DK||20|50"""
        },
        (lot(131, sd=SPREAD, ball_g=50), lot(20, ball_g=50)),
        told=('"Part ball (g)" is added to "Full balls"',),
    ),
    "weights before and after": Book(
        "csv",
        {
            "wool": """Yarn|Colour|Thickness|Start weight|Used|Weight now
hill wool|navy|DK|50|9|41
hill wool|red|DK|100|70|30"""
        },
        (lot(41, ball_g=50, garment=""), lot(30, ball_g=100, garment="")),
        told=("left out: Used (2)",),
    ),
    "all in one column": Book(
        "xlsx",
        {
            "wool": """My wool
Aran, 2 balls, navy
DK, half a ball, cream
4ply, 30 g, rust"""
        },
        (),
        told=("wool",),
        refused=1,
    ),
    "a sheet for each thickness": Book(
        "xlsx",
        {
            "DK": """Yarn|Colour|Grams
hill wool|navy|41
hill wool|cream|20""",
            "Aran": """Yarn|Colour|Grams
tweed|brown|120
tweed|green|60""",
        },
        (),
        told=("DK", "Aran"),
        refused=1,
    ),
}


def cells(text: str) -> list[list[object]]:
    return [[_cell(one) for one in line.split("|")] for line in text.splitlines()]


def _cell(text: str) -> object:
    if text.startswith("@"):
        return date.fromisoformat(text[1:])
    plain = text.replace(".", "", 1)
    if plain.isdecimal():
        return float(text) if "." in text else int(text)
    return text or None


def laid(folder: Path, book: Book) -> Path:
    kind = book.kind.removeprefix("; ")
    if kind == "csv":
        rows = {title: [line.split("|") for line in text.splitlines()] for title, text in book.sheets.items()}
        return lay(folder, "csv", rows, ";" if book.kind != kind else ",")
    path = lay(folder, kind, {title: cells(text) for title, text in book.sheets.items()})
    if book.merged or book.hidden:
        import openpyxl

        made = openpyxl.load_workbook(path)
        sheet = made.worksheets[0]
        for span in book.merged:
            sheet.merge_cells(span)
        for letter in book.hidden:
            sheet.column_dimensions[letter].hidden = True
        made.save(path)
    return path


def told(found: Reading) -> list[str]:
    """All that she is told of the reading."""
    understood = found.understood
    return [
        *map(str, found.bin.notes),
        *(f"left out: {one.heading} ({one.filled})" for one in understood.left_out),
        *(f"guess heading {one.heading}: {one.column}" for one in understood.headings if one.column and not one.sure),
        *(f"{'read' if one.sure else 'guess'} {one.found}: {one.column} {one.taken}" for one in understood.cells),
        *(f"fault: {one}" for one in found.faults),
    ]


def got(one: Lot) -> Wants:
    return {
        "name": one.name,
        "g": one.mass_g,
        "sd": one.mass_sd_g,
        "m": one.length.mean,
        "cls": one.yarn.weight_class,
        "tex": one.yarn.tex.mean,
        "fibre": {fibre.name: share for fibre, share in dict(one.yarn.blend.parts).items()},
        "yarn": one.yarn.name,
        "garment": one.garment,
        "place": one.place,
        "dye_lot": one.dye_lot,
        "ball_g": one.ball_g,
        "weighed_on": one.weighed_on,
    }


def of_garment(one: Garment) -> Wants:
    return {
        "kind": one.kind,
        "status": one.status,
        "wearer": one.wearer,
        "chest": one.chest_cm,
        "stitches": one.stitches_10cm,
        "rows": one.rows_10cm,
    }


def differences(wants: Wants, has: Wants) -> list[str]:
    return [f"{key}: {has[key]!r}, not {want!r}" for key, want in wants.items() if not _fits(key, want, has[key])]


def _fits(key: str, want: object, has: object) -> bool:
    if key == "sd":
        return bool(has) == bool(want)
    if want is None:
        return True
    if isinstance(want, tuple):
        return has is not None and want[0] <= has <= want[1]
    if isinstance(want, dict):
        return isinstance(has, dict) and all(abs(has.get(one, 0.0) - share) < 0.01 for one, share in want.items())
    if isinstance(want, int | float):
        return has is not None and has == pytest.approx(want, rel=0.004)
    return has == want


@pytest.mark.parametrize("name", BOOKS)
def test_read_in_one_go(tmp_path: Path, name: str):
    book = BOOKS[name]
    found = reading_of(laid(tmp_path, book), CATALOGUE)
    said = "\n".join(told(found))
    wrong = [] if len(found.faults) == book.refused else [f"{len(found.faults)} faults"]
    if len(found.bin.lots) != len(book.lots):
        wrong.append(f"lots: {[one.name for one in found.bin.lots]}")
    for want, has in zip(book.lots, found.bin.lots, strict=False):
        wrong += [f"{has.name}: {one}" for one in differences(want, got(has))]
    for garment, wants in book.garments.items():
        there = found.bin.garments.get(garment)
        wrong += [f"{garment}: {one}" for one in differences(wants, of_garment(there))] if there else [f"no {garment}"]
    wrong += [f"not told: {words}" for words in book.told if not any(one in said for one in words.split("|"))]
    assert not wrong, "\n".join([*wrong, "-- told --", said])


@pytest.mark.parametrize(
    "name", ["sizes S, M and L", "a spinner", "remarks in brackets", "rows grouped by box", "weights before and after"]
)
def test_a_heading_with_its_unit_or_cells_with_theirs_are_no_guess(tmp_path: Path, name: str):
    """Else every row would be refused where nobody is asked."""
    found = reading_of(laid(tmp_path, BOOKS[name]), CATALOGUE)
    assert [one for one in found.understood.headings if one.column == "grams" and not one.sure] == []


@pytest.mark.parametrize("name", [name for name, book in BOOKS.items() if book.lots])
def test_none_is_silently_less_than_it_says(tmp_path: Path, name: str):
    """Each row that is filled as a lot is became one, or is told by its number; each heading is told with what it is."""
    found = reading_of(laid(tmp_path, BOOKS[name]), CATALOGUE)
    said = "\n".join(told(found))
    sheet = found.tables["lots"]
    text = BOOKS[name].sheets[sheet.where.removesuffix(".csv")]
    rows = [[cell.strip() for cell in line.split("|")] for line in text.splitlines()]
    read = {row.number for table in found.tables.values() if table.where == sheet.where for row in table.rows}
    faulty = {fault.row for fault in found.faults}
    assert len(found.bin.lots) == len({row.number for row in sheet.rows} - faulty)
    heads = {one.heading for one in found.understood.headings}
    for number, cells in enumerate(rows, 1):
        if number <= sheet.header_row or number in read or sum(map(bool, cells)) < 3:
            continue
        is_total = cells[0].casefold().endswith("total")
        is_header = all(cell in heads for cell in cells if cell)
        assert is_total or is_header or re.search(rf"\brows? .*\b{number}\b|:{number}\b", said), (number, cells)
    width = max(map(len, rows))
    below = [at for at in range(width) if any(at < len(cells) and cells[at] for cells in rows[sheet.header_row :])]
    assert len([one for one in found.understood.headings if one.where == sheet.where]) >= len(below)
