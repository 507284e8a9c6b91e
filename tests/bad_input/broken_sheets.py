"""Broken bins as data: the files as text, and every fault that must be told, with its exact place.

A case holds files of a folder (text is written as UTF-8, bytes as they are, None makes a folder), or sheets
of a workbook as rows of cells, or the bytes of a file that claims to be a workbook. `faults` lists all faults
in order: (sheet, row, column, words that the line must hold). Nothing else may be told.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field

Place = tuple[str, int | None, str | None, tuple[str, ...]]
HEAD = "lot,grams,colour,class\n"
HERE = "the folder itself"
GARMENTS = "garment,status\nblue pullover,worn\n"


@dataclass(frozen=True)
class Broken:
    name: str
    faults: tuple[Place, ...]
    files: dict[str, str | bytes | None] = field(default_factory=dict)
    book: dict[str, list[list[object]]] | None = None
    book_bytes: bytes | None = None


def lots(name: str, text: str | bytes, *faults: Place) -> Broken:
    return Broken(name, faults, {"lots.csv": text})


def cell(name: str, column: str, text: str, *words: str) -> Broken:
    """One good lot with one cell replaced or added."""
    cells = {"lot": "a", "grams": "41", "colour": "navy", "class": "3"} | {column: text}
    quoted = ['"' + value.replace('"', '""') + '"' for value in cells.values()]
    sheet = ",".join(cells) + "\n" + ",".join(quoted) + "\n"
    return Broken(name, (("lots.csv", 2, column, words),), {"lots.csv": sheet})


def garment(name: str, column: str, text: str, *words: str) -> Broken:
    cells = {"garment": "blue pullover", "status": "worn"} | {column: text}
    quoted = ['"' + value.replace('"', '""') + '"' for value in cells.values()]
    sheet = ",".join(cells) + "\n" + ",".join(quoted) + "\n"
    files: dict[str, str | bytes | None] = {"lots.csv": HEAD + "a,41,navy,3\n", "garments.csv": sheet}
    return Broken(name, (("garments.csv", 2, column, words),), files)


def book(name: str, sheets: dict[str, list[list[object]]], *faults: Place) -> Broken:
    return Broken(name, faults, book=sheets)


CELLS = (
    cell("negative grams", "grams", "-41", 'found "-41"', "negative"),
    cell("negative grams, typographic minus", "grams", "−41", "negative"),
    cell("no grams at all", "grams", "0", 'found "0"', "above 0", "leave the row out"),
    cell("huge grams", "grams", "21 kg", "at most 20 kg"),
    cell("letter for a digit", "grams", "4O", 'found "4O"', "did you mean 40?"),
    cell("not a number", "grams", "nan", 'found "nan"', "a weight such as 41 or 1.5 oz"),
    cell("infinite", "grams", "inf", 'found "inf"'),
    cell("a unit of no weight", "grams", "41 ml", '"ml" isn\'t a unit known here'),
    cell("about nothing", "grams", "about that much", "a weight such as"),
    cell("thousands or decimals", "grams", "1,234", "1234 or 1.234"),
    cell("division by zero", "grams", "1/0 oz", "divides by zero"),
    cell("tex too fine", "tex", "0.4", 'found "0.4"', "5 to 10000 tex"),
    cell("tex too heavy", "tex", "20000", "5 to 10000 tex"),
    cell("count of zero", "tex", "Nm 0", "above zero"),
    cell("strange count", "tex", "Xm 4", "Nm 4"),
    cell("unknown class number", "class", "9", "a yarn weight class from 0 to 7"),
    cell("misspelt class", "class", "wrostid", "did you mean worsted?"),
    cell("unknown colour word", "colour", "navvy", 'found "navvy"', "did you mean navy?"),
    cell("colour code too short", "colour", "#12345", 'found "#12345"', "#6b7f4a"),
    cell("colour shares over 100", "colour", "#6b7f4a 70%, #d9d2b8 60%", "130%"),
    cell("blend over 100", "fibre", "80% wool 30% nylon", "110%", "over 100%"),
    cell("blend under 100", "fibre", "80% wool", "20% is missing"),
    cell("unknown fibre", "fibre", "80% wol 20% nylon", '"wol"', "did you mean wool?"),
    cell("fibre twice", "fibre", "50% wool 50% wool", "stands twice"),
    cell("fibres with one share", "fibre", "wool nylon 80", "wool nylon"),
    cell("negative share", "fibre", "-80% wool 20% nylon", "negative"),
    cell("wash word", "wash", "dry clean", "hand, machine or unknown", "in note"),
    cell("label word", "label", "perhaps", "yes, partly or no"),
    cell("half a piece", "pieces", "2.5", "whole number"),
    cell("no pieces", "pieces", "0", "from 1 to 1000"),
    cell("negative reserve", "reserve", "-5", "negative"),
    cell("reserve in litres", "reserve", "5 l", "isn't a unit known here"),
    cell("error cell", "grams", "#REF!", 'found "#REF!"', "mend the formula"),
    cell("formula as text", "grams", "=B2*2", "not a formula"),
    cell("control character", "lot", "a\x1b[31m", "can't be seen", "\\x1b"),
    cell("endless name", "lot", "a" * 201, "at most 200 characters"),
    garment("unknown status", "status", "wron", "worn, given or gone", "did you mean worn?"),
    garment("chest too small", "chest_cm", "3", "20 cm to 250 cm"),
    garment("impossible gauge", "stitches_10cm", "220", "3 to 80"),
    garment("negative rows", "rows_10cm", "-30", "negative"),
    garment("a plan that is none", "plans", "make it nicer", "lengthen body 5 cm"),
    garment("plan of an unknown part", "plans", "lengthen elbow 5 cm", "one of body, sleeves"),
    garment("plan too long", "plans", "lengthen body 5 m", "at most 100 cm"),
)

SHEETS = (
    lots("empty file", "", ("lots.csv", None, None, ("an empty file",))),
    lots("only blank lines", "\n\n  \n", ("lots.csv", None, None, ("an empty file",))),
    lots("separators only", ",,,\n,,,\n", ("lots.csv", None, None, ("a header row with lot, colour, grams",))),
    lots("header only", HEAD, ("lots.csv", None, None, ("at least one lot",))),
    lots("no header", "a,41,navy,3\nb,41,navy,3\n", ("lots.csv", 1, None, ("a header row", "first row"))),
    lots(
        "missing columns",
        "lot,yarn\na,sock\n",
        ("lots.csv", 1, "colour", ('a column "colour"',)),
        ("lots.csv", 1, "grams", ('a column "grams"',)),
        ("lots.csv", 1, "ball_grams", ("or tex, or class",)),
    ),
    lots(
        "column twice",
        "lot,grams,Grams,colour,class\na,41,41,navy,3\n",
        ("lots.csv", 1, "grams", ("twice", "once")),
    ),
    lots(
        "empty needed cells",
        HEAD + "a,,,3\n",
        ("lots.csv", 2, "colour", ("nothing",)),
        ("lots.csv", 2, "grams", ("nothing",)),
    ),
    lots("nameless lot", HEAD + ",41,navy,3\n", ("lots.csv", 2, "lot", ("found nothing", "a name"))),
    lots(
        "nothing on how heavy",
        HEAD + "a,41,navy,\n",
        ("lots.csv", 2, "ball_grams", ("or tex, or class", "DK")),
    ),
    lots(
        "ball grams without metres",
        "lot,grams,colour,ball_grams,ball_metres\na,41,navy,50,\n",
        ("lots.csv", 2, "ball_metres", ("both ball_grams and ball_metres",)),
    ),
    lots(
        "ball metres without grams",
        "lot,grams,colour,ball_grams,ball_metres\na,41,navy,,125\n",
        ("lots.csv", 2, "ball_grams", ("both ball_grams and ball_metres",)),
    ),
    lots(
        "a length in the ball's cell",
        "lot,grams,colour,ball\na,41,navy,110 yd skein\n",
        ("lots.csv", 2, "ball_grams", ('found "110 yd skein"', "its length alone: add what it weighs")),
    ),
    lots(
        "a ball band that cannot be",
        "lot,grams,colour,ball_grams,ball_metres\na,41,navy,50,2\n",
        ("lots.csv", 2, "ball_metres", ("2 / 50", "not 25000", "right columns")),
    ),
    lots(
        "same name twice, other case and spaces",
        HEAD + "Moss  green,41,navy,3\nb,41,navy,3\nmoss Green ,41,navy,3\n",
        ("lots.csv", 4, "lot", ('found "moss Green"', "row 2 has it already")),
    ),
    lots(
        "too many cells",
        HEAD + "a,41,5,navy,3\n",
        ("lots.csv", 2, None, ("5 cells", "4 cells", "quotation marks")),
    ),
    lots(
        "quotation mark never closed",
        HEAD + 'a,41,navy,3\nb,"41,navy,3\n',
        ("lots.csv", 3, None, ("quotation mark",)),
    ),
    lots(
        "row number after a line break in a cell",
        'lot,grams,colour,class,note\na,41,navy,3,"two\nlines"\n\nb,x,navy,3,\n',
        ("lots.csv", 4, "grams", ('found "x"',)),
    ),
    lots(
        "semicolons and decimal commas, with a fault",
        "lot;grams;colour;class\na;41,5;navy;3\nb;41,5,0;navy;3\n",
        ("lots.csv", 3, "grams", ('found "41,5,0"',)),
    ),
    lots(
        "tabs, with a fault",
        "lot\tgrams\tcolour\tclass\na\tx\tnavy\t3\n",
        ("lots.csv", 2, "grams", ('found "x"',)),
    ),
    lots(
        "UTF-8 with a mark, with a fault",
        "\ufeff" + HEAD + "a,x,navy,3\n",
        ("lots.csv", 2, "grams", ('found "x"',)),
    ),
    lots(
        "UTF-16, with a fault",
        (HEAD + "a,x,navy,3\n").encode("utf-16"),
        ("lots.csv", 2, "grams", ('found "x"',)),
    ),
    lots("cut UTF-16", (HEAD + "a,x,navy,3\n").encode("utf-16")[:-1], ("lots.csv", 2, None, ("isn't UTF-16",))),
    lots(
        "letters of no encoding",
        (HEAD + "a,41,navy,3\n").encode() + b"caf\xe9\x81,41,navy,3\n",
        ("lots.csv", 3, None, ("byte 0xE9 on line 3", "UTF-8", "when you save")),
    ),
    lots(
        "UTF-16 without its mark",
        (HEAD + "a,41,navy,3\n").encode("utf-16-le"),
        ("lots.csv", 1, None, ("byte of value 0",)),
    ),
    lots("binary", b"\x7fELF\x02\x01\x01\x00\x00\x00", ("lots.csv", 1, None, ("not text",))),
    lots("a picture", b"\x89PNG\r\n\x1a\n\xff\xff", ("lots.csv", 1, None, ("byte 0x89",))),
    lots("a workbook called csv", b"PK\x03\x04....", ("lots.csv", None, None, ("packed file", ".xlsx"))),
    Broken("lots.csv is a folder", (("lots.csv", None, None, ("a folder",)),), {"lots.csv": None}),
    Broken(
        "garments.csv is a folder",
        (("garments.csv", None, None, ("a folder",)),),
        {"lots.csv": HEAD + "a,41,navy,3\n", "garments.csv": None},
    ),
    Broken("no csv file", (("lots.csv", None, None, ("a csv file", "rename lots.doc")),), {"lots.doc": HEAD}),
    Broken(
        "no yarn in the folder",
        ((HERE, None, None, ("no list of yarn in garments.csv", "its colour and the grams left", "the right file?")),),
        {"garments.csv": GARMENTS},
    ),
    Broken("lots.csv under another name", (("lot.csv", None, None, ("at least one lot",)),), {"lot.csv": HEAD}),
    Broken(
        "two that could be the yarn",
        ((HERE, None, None, ("spring.csv and winter.csv", "each could be the list of yarn", 'the right one "lots"')),),
        {"spring.csv": HEAD + "a,41,navy,3\n", "winter.csv": HEAD + "b,41,navy,3\n"},
    ),
    Broken(
        "garment twice",
        (("garments.csv", 3, "garment", ("row 2 has it already",)),),
        {"lots.csv": HEAD + "a,41,navy,3\n", "garments.csv": GARMENTS + "Blue Pullover,gone\n"},
    ),
    Broken(
        "a bare semicolon inside semicolons",
        (("garments.csv", 2, None, ("too many", "quotation marks")),),
        {
            "lots.csv": HEAD + "a,41,navy,3\n",
            "garments.csv": "garment;status;plans\nb;worn;lengthen body 5 cm; lengthen sleeves 2 in\n",
        },
    ),
    Broken(
        "faults in both sheets at once",
        (
            ("lots.csv", 2, "grams", ('found "x"',)),
            ("lots.csv", 2, "class", ('found "12"',)),
            ("lots.csv", 3, "colour", ('found "navvy"',)),
            ("garments.csv", 2, "status", ('found "lsot"',)),
            ("garments.csv", 2, "chest_cm", ('found "900"',)),
        ),
        {
            "lots.csv": HEAD + "a,x,navy,12\nb,41,navvy,3\n",
            "garments.csv": "garment,status,chest_cm\nblue pullover,lsot,900\n",
        },
    ),
)

HEAD_CELLS: list[object] = ["lot", "grams", "colour", "class"]
GOOD_CELLS: list[object] = ["a", 41, "navy", 3]
BOOKS = (
    book(
        "two sheets that could be the yarn",
        {"Sheet1": [HEAD_CELLS, GOOD_CELLS], "Sheet2": [HEAD_CELLS, GOOD_CELLS]},
        ("bin.xlsx", None, None, ("Sheet1 and Sheet2", "each could be the list of yarn")),
    ),
    book(
        "no yarn in the workbook",
        {"Patterns": [["Name", "Needles"], ["cowl", 4]], "Sheet2": [["Town", "Miles"], ["Bath", 12]]},
        ("bin.xlsx", None, None, ("no list of yarn in Patterns or Sheet2", "the right file?")),
    ),
    book("a workbook with nothing in it", {"Sheet1": []}, ("bin.xlsx", None, None, ('found "nothing"',))),
    book(
        "16,384 columns",
        {"Sheet1": [[f"gram{number}" for number in range(16_384)]]},
        ("Sheet1", 1, None, ("16384 columns", "500 columns")),
    ),
    book("empty sheet", {"lots": []}, ("lots", None, None, ("a header row",))),
    book(
        "error cell in a workbook",
        {"lots": [HEAD_CELLS, ["a", "#REF!", "navy", 3]]},
        ("lots", 2, "grams", ("#REF!", "mend the formula")),
    ),
    book(
        "a date in a workbook",
        {"lots": [HEAD_CELLS, [datetime.datetime(2024, 4, 3), 41, "navy", 3]]},
        ("lots", 2, "lot", ("2024-04-03", "took it for a date")),
    ),
    book(
        "formula never computed",
        {"lots": [HEAD_CELLS, ["a", "=20+21", "navy", 3]]},
        ("lots", 2, "grams", ("a formula", "save it")),
    ),
    book(
        "negative number in a workbook",
        {"lots": [HEAD_CELLS, ["a", -41, "navy", 3]]},
        ("lots", 2, "grams", ('found "-41"',)),
    ),
    book(
        "letter in a workbook, after a blank row",
        {"lots": [HEAD_CELLS, [], ["a", "4l", "navy", 3]]},
        ("lots", 3, "grams", ("did you mean 41?",)),
    ),
    book(
        "an error in a cell that is needed, below a title",
        {"Stash": [["My stash"], ["Yarn", "Colour", "Thickness", "Left (g)"], ["soft", "navy", "DK", "#REF!"]]},
        ("Stash", 3, "grams", ("#REF!", "mend the formula")),
    ),
    Broken(
        "a picture called .xlsx",
        (("bin.xlsx", None, None, ("changed name",)),),
        book_bytes=b"\x89PNG\r\n\x1a\n\xff\xff",
    ),
    Broken("empty workbook file", (("bin.xlsx", None, None, ("an empty file",)),), book_bytes=b""),
    Broken("workbook that is text", (("bin.xlsx", None, None, ("changed name",)),), book_bytes=b"lot,grams\n"),
    Broken(
        "packed file that is none",
        (("bin.xlsx", None, None, ("damaged workbook",)),),
        book_bytes=b"PK\x03\x04" + b"x" * 99,
    ),
    Broken(
        "workbook with a password",
        (("bin.xlsx", None, None, ("password", ".xlsx")),),
        book_bytes=b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 64,
    ),
)

BROKEN: tuple[Broken, ...] = (*CELLS, *SHEETS, *BOOKS)
