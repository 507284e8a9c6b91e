"""Every screen of every command, in metric, imperial and mixed units: it fits, cuts no name, and is in plain words."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterable, Iterator
from itertools import chain
from pathlib import Path

import pytest
from json_shapes import COMMANDS, runs_of
from readme_blocks import ENVIRONMENT, prepare
from rich.cells import cell_len
from typer.testing import CliRunner, Result

from matcher.cli.commands import app
from matcher.store.sheets.columns import GARMENTS, LOTS, PEOPLE

# Names of columns are hers where her sheets are looked over.
COLUMNS = {*LOTS, *GARMENTS, *PEOPLE}
SHEETS = ("check", "intake")

# Screens beside those of the JSON.
MORE = {
    "suggest": [
        *(["demo", "--full"], ["demo", "--explain", "1"], ["demo", "--kind", "mitts", "--size", "adult small"]),
        ["my-bin", "--full"],
    ],
    "contrast": [["navy", "cream", "#7f8285 50%, #d9d2b8 50%", "--eyes", "any"]],
    "palette": [["demo", "--by", "map"]],
    "reserve": [["demo", "--mending", "all"]],
    "instead": [["raspberry", "--bin", "demo", "--metres", "180"], ["navy", "--bin", "demo", "--explain", "1"]],
}
# What goes wrong, on stderr.
WRONG = [
    ["suggest", "no-such-bin"],
    ["suggest", "demo", "--kind", "sail"],
    ["suggest", "demo", "--sure", "2"],
    ["suggest", "demo", "--size", "giant"],
    ["set", "my-bin", "--want", "9 sails"],
    ["set", "my-bin", "--few", "--most"],
    ["set", "my-bin", "--keep", "pine", "--must", "pine"],
    ["partner", "demo", "--garment", "gray yoke", "--accessory", "hat-stranded-band"],
    ["partner", "demo", "--garment", "grey yoke pullover", "--accessory", "scarf"],
    ["needs", "umbrella"],
    ["needs", "hat-ribbed", "--class", "0"],
    ["contrast", "navi", "cream"],
    ["motif", "crosses", "--lots", "navi"],
    ["weigh", "nvy", "41g"],
    ["weigh", "navy", "heavy"],
    ["add", "new", "--grams", "4O", "--colour", "blurple"],
    ["begin", "egg-cosy", "--lots", "main=nothing"],
    ["finish", "hat"],
    ["undo", "99"],
    ["whose", "demo"],
    ["whose", "demo", "--weighed", "12 m"],
    ["photo", "demo/lots.csv"],
    ["instead"],
    ["instead", "navi", "--bin", "demo"],
    ["instead", "--class", "3", "--bin", "demo"],
    ["instead", "--class", "thin", "--metres", "9", "--bin", "demo"],
    ["export"],
    ["triage", "--lot", "navy", "--decide", "eat"],
    ["swatch", "navy", "--stitches", "20", "--rows", "26", "--grams", "2000"],
    ["piece", "--structure", "lace", "--stitches", "110", "--height", "20", "--class", "3"],
    ["show", "nothing like it"],
    ["verify", "--bin", "demo"],
]
UNITS = ("metric", "imperial", "mixed")
# A figure that lost its unit to the next line, whatever is written there.
PARTED = re.compile(r"\d *\n *(?:m|cm|mm|g|kg|yd|in|oz|lb|tex|in 100|stitch(?:es)?|rows?|rounds?|balls?)\b")
METRES, GRAMS = re.compile(r"\b[\d.]+ (?:m|cm|mm|metres|centimetres)\b"), re.compile(r"\b[\d.]+ (?:g|kg|grams)\b")
YARDS, OUNCES = re.compile(r"\b[\d.]+ (?:yd|yards|inch)\b"), re.compile(r"\b[\d.]+ oz\b")
# The thickness of a needle, which is told in millimetres everywhere.
NEEDLES = re.compile(r"[\d.]+ mm(?=,? *(?:needles|circular|double|straight|for the rib))")
# A word of the code: a name with a stroke in it, a class, a value of Python, a template's brace.
OF_THE_CODE = re.compile(
    r"\b[a-z]+(?:_[a-z0-9]+)+\b|\b(?:[A-Z][a-z]+){2,}\b|\b(?:None|True|False|nan|inf|dict|tuple)\b|[{}]|0x[0-9a-f]{6}"
    r"|\b(?:protan|deutan|tritan)\b"
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a short name, in which the commands run."""
    place = tmp_path_factory.mktemp("d")
    prepare(place)
    return place


@pytest.fixture
def run(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Result]:
    monkeypatch.chdir(folder)
    for name, value in ENVIRONMENT.items():
        monkeypatch.delenv(name, raising=False) if value is None else monkeypatch.setenv(name, value)
    monkeypatch.setenv("XDG_DATA_HOME", str(folder))
    return lambda *arguments: CliRunner().invoke(app, [str(one) for one in arguments])


def shown(result: Result) -> Iterator[str]:
    """What is on stdout and what is on stderr."""
    yield from filter(None, (result.stdout, result.stderr))


def faults(text: str, units: str, hers: str) -> list[str]:
    """What is wrong with a screen. hers: what she typed, places included."""
    found = [f"{cell_len(line)} columns: {line}" for line in text.splitlines() if cell_len(line) > 80]
    found += [f"cut: {one}" for one in re.findall(r"\S*(?:…|\w\.\.\.)", text)]
    found += [f"parted: {one!r}" for one in PARTED.findall(text)]
    ours = re.sub(r"\S*/\S*", "", text)  # less the places of files
    found += [f"of the code: {one}" for one in OF_THE_CODE.findall(ours) if one not in hers]
    if "tex of" not in hers:
        bare = GRAMS.sub("", text) if units == "mixed" else re.sub(r"[\d.]+ g\s+(?=\([\d.]+ oz\))", "", text)
        others = {"metric": (YARDS, OUNCES), "imperial": (METRES, GRAMS), "mixed": (METRES, OUNCES)}[units]
        bare = NEEDLES.sub("", " ".join(bare.split()))
        found += [f"not {units}: {one}" for other in others for one in other.findall(bare) if one not in hers]
    return found


def takes_units(command: str) -> bool:
    named = next(one for one in app.registered_commands if _name(one) == command)
    assert named.callback is not None
    return "units" in named.callback.__annotations__


def _name(command: object) -> str:
    return command.name or command.callback.__name__.replace("_", "-")


def _typed(folder: Path) -> str:
    """All that she wrote in her sheets."""
    return "".join(one.read_text("utf-8") for one in sorted(folder.rglob("*.csv")))


def in_units(commands: Iterable[str]) -> list[tuple[str, str]]:
    """Each command with the units that it can be asked for; metric alone where it shows no lengths or weights."""
    return [(one, units) for one in commands for units in (UNITS if takes_units(one) else UNITS[:1])]


@pytest.mark.parametrize(("command", "units"), in_units(COMMANDS))
def test_every_screen_of_a_command(command: str, units: str, run, folder: Path, monkeypatch: pytest.MonkeyPatch):
    asked = ["--units", units] if takes_units(command) else []
    hers = _typed(folder)

    def first(*arguments: str) -> tuple[int, str]:
        done = run(*arguments)
        return done.exit_code, done.output

    for written in ("drawn", "crosses.svg", "palette.svg", "tags.html"):
        shutil.rmtree(written, ignore_errors=True)
        Path(written).unlink(missing_ok=True)
    every = list[str]()
    more = ([command, *one] for one in MORE.get(command, ()))
    for arguments in chain(runs_of(command, first, folder, monkeypatch), more):
        done = run(*arguments, *asked)
        assert done.exit_code in (0, 1, 2), done.output
        for text in shown(done):
            named = " ".join([*arguments, *(COLUMNS if command in SHEETS else ())])
            every += [f"{' '.join(arguments)}: {one}" for one in faults(text, units, hers + named)]
    assert every == []


@pytest.mark.parametrize("arguments", WRONG, ids=" ".join)
def test_what_goes_wrong_is_said_in_plain_words(arguments: list[str], run, folder: Path, monkeypatch):
    monkeypatch.setenv("MATCHER_BIN", str(folder / "wrong.sqlite"))
    if not (folder / "wrong.sqlite").exists():
        assert run("intake", "demo").exit_code == 0
    done = run(*arguments)
    assert done.exit_code == 2, done.output
    assert done.stderr
    every = [one for text in shown(done) for one in faults(text, "metric", _typed(folder) + " ".join(arguments))]
    assert every == []


@pytest.mark.parametrize("arguments", [[], ["--help"], *([one, "--help"] for one in COMMANDS)], ids=" ".join)
def test_the_first_page_and_the_help(arguments: list[str], run, folder: Path):
    done = run(*arguments)
    assert done.exit_code == 0
    assert [line for line in done.output.splitlines() if cell_len(line) > 80] == []


# Names as long as people give them; one has no space in it. NAME and GARMENT stand for them.
LONG = (
    "what was left of the grey wool that came with the house, second bag of three",
    "grey-wool-that-came-with-the-house-and-was-never-washed-or-weighed-or-wound-until-now",
)
PLACE = "the large blue box behind the sewing machine on the landing, under the winter coats"
GARMENT = "the pullover that grandmother began in the spring and that was finished in the autumn"
WITH_NAMES = [
    ["suggest", "--full", "--size", "adult small", "--lot", "NAME"],
    ["suggest", "--explain", "1", "--size", "adult small", "--lot", "NAME"],
    ["set", "--want", "egg cosy", "--must", "NAME", "--alternatives", "1"],
    ["reserve"],
    ["triage"],
    ["list"],
    ["list", "garments"],
    ["show", "NAME"],
    ["show", "GARMENT"],
    ["palette"],
    ["palette", "--by", "map"],
    ["lookalikes"],
    ["whose", "--colour", "#1f2a4a"],
    ["contrast", "NAME", "cream", "NAME 2", "--bin", "BIN"],
    ["motif", "crosses", "--lots", "NAME", "--lots", "cream"],
    ["partner", "--garment", "GARMENT", "--accessory", "hat-stranded-band", "--motif", "crosses"],
    ["weigh", "NAME", "61g"],
    ["begin", "egg-cosy", "--lots", "NAME"],
    ["finish", "egg-cosy", "--weigh", "NAME=55 g"],
    ["calibration"],
    ["undo", "--list"],
]


@pytest.mark.parametrize("name", LONG, ids=["words", "one word"])
def test_long_names_are_never_cut(name: str, run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    lots = f'lot,garment,yarn,colour,grams,ball_grams,ball_metres,wash,role,place\n"{name}","{GARMENT}",{name},#1f2a4a,'
    lots += f'90,50,125,hand,main,"{PLACE}"\ncream,"{GARMENT}",plain wool,#efe6d0,90,50,125,hand,contrast 1,"{PLACE}"\n'
    (tmp_path / "lots.csv").write_text(
        lots.replace(f",{name},#", f',"{name}",#') + f'"{name} 2",,,#20294a,50,50,125,,,\n'
    )
    (tmp_path / "garments.csv").write_text(f'garment,kind,status,chest_cm\n"{GARMENT}",pullover,worn,98\n')
    monkeypatch.setenv("MATCHER_BIN", str(tmp_path / "bin.sqlite"))
    assert run("intake", tmp_path).exit_code == 0
    words = {"NAME": name, "GARMENT": GARMENT, "BIN": str(tmp_path)}
    every = list[str]()
    for asked in WITH_NAMES:
        arguments = [re.sub("NAME|GARMENT|BIN", lambda one: words[one[0]], part) for part in asked]
        done = run(*arguments)
        assert done.exit_code in (0, 1), done.output
        named = GARMENT if "garments" in asked or "GARMENT" in asked else name
        whole = re.search(".*".join(re.split("[ -]", named)), done.stdout, re.DOTALL)  # cells stand side by side
        if not whole and asked != ["calibration"]:
            every.append(f"{asked} cuts {named!r}:\n{done.stdout}")
        hers = " ".join([*arguments, str(tmp_path)])
        every += [f"{asked}: {one}" for text in shown(done) for one in faults(text, "metric", hers)]
    assert every == []
