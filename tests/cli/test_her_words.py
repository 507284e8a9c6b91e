"""Her words are shown as she wrote them: no screen, page, picture, table or JSON reads anything into a name."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from collections.abc import Callable, Sequence
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner, Result

from matcher.actions.keeping.cells import add
from matcher.actions.keeping.export import export
from matcher.actions.keeping.intake import intake
from matcher.cli.commands import app
from matcher.reasons.visible import HIDDEN
from matcher.store.database.store import open_store
from matcher.store.sheets.grid import hide_formula

CELLS = {"grams": "90", "colour": "#9c4a24", "ball_grams": "50", "ball_metres": "125", "yarn": "wool", "dye_lot": "8"}
# Longer names are cut in tables on purpose, so that these are short.
# What a screen, a page, a spreadsheet or a terminal might read something into.
PIECES = [
    *(
        "[old stash]",
        "[/2]",
        "[/]",
        "[bold]",
        "[link=https://example.org]",
        "[@click=app.bell]",
        ":warning:",
        ":x:",
        "\\[",
    ),
    *(
        "<b>",
        "</text>",
        "&amp;",
        "&lt;",
        "<!--",
        "]]>",
        "<script>x</script>",
        "{lot}",
        "{0}",
        "{{",
        "}",
        "%s",
        "%(a)s",
        "$x",
    ),
    *(
        "=1+1",
        '=HYPERLINK("https://example.org";"x")',
        "+1",
        "-1",
        "@x",
        "'=",
        "''",
        "'",
        '"',
        ",",
        ";",
        "|",
        "#REF!",
        "# x",
    ),
    *(
        "אב",
        "ابج",
        "毛糸",
        "Žluť",
        "ß",
        "½",
        "🧶",
        "👩\u200d🌾",
        "e\u0301",
        "~",
        "*",
        "_x0041_",
        "`x`",
        "--json",
        "&#27;",
        "\\x1b",
    ),
]
HARD = [
    *(
        "navy [old stash]",
        "fog [/2]",
        "[link=x.org]y[/link]",
        ":warning:",
        '=HYPERLINK("x")',
    ),
    *("<script>x</script>", "{lot}", "שלום wool", "🧶 best", '"quoted"', "'=1+1", "_x0041_", "a & b", "#REF!", "\\[x]"),
]
names = st.lists(st.sampled_from([*PIECES, " ", "a", "wool"]), min_size=1, max_size=5).map("".join).map(
    lambda name: " ".join(name.split())
).filter(lambda name: 0 < len(name) <= 20 and not HIDDEN.search(name) and name.casefold() not in ("navy", "vest"))  # fmt: skip


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("begun") / "bin.sqlite"
    for name, colour in (("navy", "#1f2a4a"), ("cream", "#efe6d0")):
        add(name, {**CELLS, "colour": colour}, bin=place)
    return place


def run(place: Path, *arguments: str) -> Result:
    shown = CliRunner().invoke(app, list(arguments), env={"MATCHER_BIN": str(place), "COLUMNS": "80"})
    assert shown.exit_code in (0, 1, 2), shown.output
    return shown


def flat(text: str) -> str:
    """The text as it reads, wherever a line was broken: a table may break a word too."""
    return re.sub(r"\s", "", text)


# Of lots beside each other, far enough apart that none is taken for another.
COLOURS = ("#9c4a24", "#2f6b3a", "#c9b23c", "#6a3f7d", "#35708c")
# Few things to knit: what is looked for has nothing to do with names.
HATS = ("--single", "--kind", "hat", "--size", "adult medium")
# What names a lot, a garment or a piece on the screen. NAME stands for it; what is expected is shown on stdout.
SCREENS = [
    ("suggest", "--full", *HATS, "--lot", "NAME"),
    ("suggest", "--explain", "1", *HATS, "--lot", "NAME"),
    ("contrast", "NAME", "navy", "cream", "--bin", "BIN"),
    ("motif", "crosses", "--lots", "main=NAME", "--lots", "cream"),
    ("weigh", "NAME", "60g"),
    ("move", "navy", "NAME"),
    ("change", "NAME", "--note", "NAME"),
    ("split", "NAME", "5g"),
    ("garment", "NAME", "worn"),
    ("begin", "egg-cosy", "--lots", "main=NAME"),
    ("begin", "egg-cosy", "--lots", "cream", "--as", "NAME"),
    ("undo", "--list"),
    ("triage", "--lot", "NAME"),
    ("palette", "BIN"),
    ("lookalikes",),
    ("reserve",),
    ("list",),
    ("list", "works"),
    ("show", "NAME", "--what", "lot"),
    (),
]
ON_STDOUT = {
    "show",
    "weigh",
    "move",
    "change",
    "split",
    "garment",
    "begin",
    "undo",
    "triage",
    "contrast",
    "suggest",
    "palette",
    "motif",
}


def same_everywhere(begun: Path, folder: Path, *names: str) -> None:
    """The same names on every screen, page, picture, in JSON and tables, and after they went out and came back."""
    place = folder / "bin.sqlite"
    place.unlink(missing_ok=True)
    shutil.copy(begun, place)
    for name, colour in zip(names, COLOURS, strict=False):
        if name[0] == "-":  # an option to any command line; its other names follow below
            add(name, {**CELLS, "colour": colour}, bin=place)
        else:
            added = run(place, "add", name, "--colour", colour, "--grams", "90", "--tex", "400")
            assert added.exit_code == 0, added.output
            assert flat(name) in flat(added.stdout)
        with open_store(place) as store:
            assert store.row("lots", name) is not None
    named = [name for name in names if name[0] != "-"]
    if not named:
        return
    for arguments in SCREENS:
        for name in named if "NAME" in " ".join(arguments) else named[:1]:
            asked = [{"BIN": str(place)}.get(one, one.replace("NAME", name)) for one in arguments]
            shown = run(place, *asked)
            if (
                arguments[:1]
                and arguments[0] in ON_STDOUT
                and shown.exit_code in (0, 1)
                and "NAME" in " ".join(arguments)
            ):
                assert flat(name) in flat(shown.stdout), (arguments, shown.stdout)
            assert "\x1b" not in shown.output
    parsed = json.dumps(json.loads(run(place, "triage", "--json").stdout), ensure_ascii=False)
    plain = parsed.replace('\\"', '"').replace("\\\\", "\\")
    assert all(name in plain for name in named)
    for table in (("triage", "--csv"), ("palette", "--csv"), ("suggest", "--csv", *HATS)):
        rows = list(csv.reader(io.StringIO(run(place, *table).stdout)))
        cells = {cell for row in rows for cell in row}
        assert all(cell == hide_formula(cell.removeprefix("'")) or not cell.startswith(("=", "@")) for cell in cells)
        if table[0] == "triage":
            assert {hide_formula(name) for name in named} <= cells
    _pages(place, folder, named)
    back = folder / "back.sqlite"
    back.unlink(missing_ok=True)
    for kind in ("sheets", "sheets.xlsx", "sheets.ods"):
        export(folder / kind, place, replace=True)
        intake(folder / kind, bin=back, take="file")
        with open_store(place) as before, open_store(back) as after:
            assert before.select("SELECT lot FROM lots ORDER BY lot") == after.select(
                "SELECT lot FROM lots ORDER BY lot"
            )


PICTURE = {"svg", "title", "desc", "rect", "path", "use", "text", "defs", "g"}
PAGE = PICTURE | {"html", "head", "meta", "style", "body", "section", "main", "div", "h1"}


class Words(HTMLParser):
    """What a page says, and the elements that it is made of."""

    def __init__(self) -> None:
        super().__init__()
        self.said, self.elements = "", set[str]()

    def handle_data(self, data: str) -> None:
        self.said += data

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.elements.add(tag)


def _pages(place: Path, folder: Path, names: Sequence[str]) -> None:
    page, picture = folder / "tags.html", folder / "palette.svg"
    for file in (page, picture):
        file.unlink(missing_ok=True)
    assert run(place, "tags", "--out", str(page)).exit_code == 0
    read = Words()
    read.feed(page.read_text("utf-8"))
    assert read.elements <= PAGE
    assert run(place, "palette", "--svg", str(picture)).exit_code == 0
    drawn = ElementTree.fromstring(picture.read_text("utf-8"))
    said = flat("".join(drawn.itertext()))
    assert {one.tag.rsplit("}")[-1] for one in drawn.iter()} <= PICTURE
    assert all(flat(name)[:12] in said for name in names)


@pytest.mark.parametrize("names", [HARD[first::3] for first in range(3)], ids=["first", "second", "third"])
def test_hard_names(names: list[str], begun: Path, tmp_path: Path):
    same_everywhere(begun, tmp_path, *names)


@settings(max_examples=3, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=names)
def test_any_name(begun: Path, tmp_path_factory: pytest.TempPathFactory, name: str):
    same_everywhere(begun, tmp_path_factory.mktemp("any"), name)


def test_a_name_that_is_there_already_is_written_out(begun: Path, tmp_path: Path, run_plain: Callable[..., Result]):
    """A store from before names were looked at, or from elsewhere."""
    place = tmp_path / "bin.sqlite"
    shutil.copy(begun, place)
    with open_store(place) as store, store.action("from elsewhere") as act:
        act.update("lots", "navy", {"lot": "na\x1b[31mvy\u202e", "place": "b\x9b31mox", "note": "n\x07"})
    for arguments in (
        ["suggest", "--full", *HATS],
        ["triage"],
        ["triage", "--json"],
        ["triage", "--csv"],
        ["undo", "--list"],
        ["palette"],
        ["list"],
        ["list", "--json"],
        ["list", "--csv"],
        ["show", "cream"],
        [],
    ):
        shown = run_plain(place, *arguments)
        assert shown.exit_code == 0
        assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e]", shown.output), arguments
    assert "na\x1b[31mvy\u202e" in {
        one["lot"] for one in json.loads(run_plain(place, "export", "--json").stdout)["lots"]
    }
    refused = run_plain(place, "export", str(tmp_path / "out"))
    assert refused.exit_code == 2
    assert "holds a sign that can't be seen" in " ".join(refused.output.split())


@pytest.fixture
def run_plain() -> Callable[..., Result]:
    return run


def test_only_one_place_writes_to_the_terminal():
    folder = Path(__file__).resolve().parents[2] / "matcher" / "cli"
    for path in folder.rglob("*.py"):
        if path.name != "terminal.py":
            text = path.read_text("utf-8")
            assert not re.search(r"(?<!def )(?<![.\w])print\(|stdout\.write|stderr\.write|typer\.echo", text), path
            assert path.name == "screen.py" or not re.search(r"(?<!LateProgress\()\bConsole\(", text), path
