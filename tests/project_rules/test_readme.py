"""What README.md says is what the program does: its commands are run, its output, keys and options compared."""

from __future__ import annotations

import json
import re
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
import readme_blocks as readme
from typer.testing import CliRunner

from matcher.cli.main import app
from matcher.store.sheets.columns import GARMENTS, LOTS

TEXT = readme.README.read_text(encoding="utf-8")
BLOCKS = readme.blocks(TEXT)
CONSOLE = [block for block in BLOCKS if block.language == "console"]
TO_MATCH = ("demo", "--garment", "grey yoke pullover")
BEGIN = [
    "begin",
    "striped hat",
    "--size",
    "adult small",
    "--lots",
    "main=cream, thick",
    "--lots",
    "contrast 1=dark brown",
]
ANOTHER = ["begin", "hat-plain", "--size", "adult small", "--lots", "main=denim, thick"]
FINISH = ["finish", "striped hat", "--weigh", "cream, thick=26 g", "--weigh", "dark brown=25 g"]
SWATCH = ["swatch", "cream, thick", "--stitches", "20", "--rows", "26", "--grams", "14.1", "--size", "14 x 14 cm"]
# Runs that together print every key a command can print; my-bin has a lot too short for anything. Those before a
# command's own are what must have been done first, in a store of its own.
PRINTS = {
    "suggest": [["demo"], ["my-bin"]],
    "contrast": [["navy", "cream"]],
    "reserve": [["demo"]],
    "needs": [[], ["hat-stranded-band", "--size", "baby", "--class", "3"]],
    "piece": [["--structure", "stranded", "--stitches", "110", "--height", "20", "--class", "3"]],
    "partner": [
        [*TO_MATCH, "--accessory", "hat-stranded-band", "--recolour"],
        [*TO_MATCH, "--accessory", "hat-stranded-band", "--motif", "yoke-four"],
        [*TO_MATCH, "--accessory", "mitts-fingerless-stranded"],
        [*TO_MATCH, "--accessory", "egg-cosy"],
    ],
    "motif": [[], ["crosses", "--lots", "navy", "--lots", "cream"]],
    "intake": [
        ["demo"],
        ["weigh", "navy", "61g"],
        ["demo", "--take", "theirs", "--dry-run"],
        ["bad-bin", "--dry-run"],
    ],
    "export": [BEGIN, FINISH, ANOTHER, SWATCH, ["triage", "--lot", "fog", "--decide", "keep"], []],
    "add": [["teal scrap", "--grams", "12", "--colour", "teal", "--class", "3"]],
    "weigh": [["navy", "61g"]],
    "change": [["navy", "--place", "tin"]],
    "split": [["navy", "20 g"]],
    "join": [["split", "navy", "20 g", "--as", "navy 2"], ["navy", "navy 2"]],
    "move": [["navy", "tin"]],
    "garment": [["denim jacket", "worn"]],
    "mended": [["grey yoke pullover", "mid grey", "12 m"]],
    "begin": [BEGIN[1:]],
    "finish": [BEGIN, FINISH[1:]],
    "abandon": [BEGIN, ["striped hat"]],
    "undo": [["weigh", "navy", "61g"], ["--list"], []],
    "verify": [[]],
    "triage": [[]],
    "tags": [["--lot", "navy", "--out", "tags.html"]],
    "swatch": [SWATCH[1:]],
    "calibration": [BEGIN, FINISH, SWATCH, []],
    "photo": [["demo/scraps.jpg", "--bin", "demo"]],
    "lookalikes": [["demo"]],
    "whose": [["demo", "--colour", "#22304f", "--weighed", "12 m = 4.9 g"]],
    "palette": [["demo"]],
    "check": [["demo"], ["bad-bin"]],
}
COMMANDS = tuple(PRINTS)
IN_A_STORE = COMMANDS[COMMANDS.index("intake") : COMMANDS.index("photo")]
# Lines before the part for programs.
LONGEST = 740


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("readme")
    readme.prepare(place, BLOCKS)
    return place


def test_the_two_commands_to_paste_are_those_that_are_meant():
    lines = TEXT.splitlines()
    for mark, command in readme.COMMANDS.items():
        at = lines.index(mark)
        assert lines[at + 1 : at + 4] == ["```sh", command, "```"]
    assert sum(block.language == "sh" for block in BLOCKS) == len(readme.COMMANDS)


def test_ci_takes_the_test_command_from_here_and_has_none_of_its_own():
    script = (readme.ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "<!-- command: tests -->" in script
    for part in ("pip install", "-m venv", "-m pytest"):
        assert part not in script


def test_every_console_block_begins_with_a_command():
    assert len(CONSOLE) >= 6
    for block in CONSOLE:
        assert block.lines[0].startswith("$ matcher "), f"line {block.line}"


@pytest.mark.parametrize("block", CONSOLE, ids=[f"line {block.line}: {block.command}" for block in CONSOLE])
def test_a_command_prints_what_is_shown(block: Any, folder: Path):
    code, printed = readme.run(block.command, folder)
    assert code == block.exit_code
    if not readme.agrees(list(block.lines[1:]), printed):
        # Shown as a difference of lists, which is easier to read than "not True".
        assert list(block.lines[1:]) == printed, "refresh with: python tests/project_rules/readme_blocks.py --write"


def test_the_picture_is_the_one_that_a_command_draws(folder: Path):
    drawn = folder / readme.DRAWN
    if not drawn.exists():
        command = next(block.command for block in CONSOLE if "--out pictures" in block.command)
        assert readme.run(command, folder)[0] == 0
    assert (readme.ROOT / readme.PICTURE).read_bytes() == drawn.read_bytes()
    assert f"]({readme.PICTURE})" in TEXT


def test_every_command_and_every_option_stands_here():
    from typer.main import get_command

    command = get_command(app)
    assert set(command.commands) == set(COMMANDS)  # type: ignore[attr-defined]
    for name, one in command.commands.items():  # type: ignore[attr-defined]
        assert f"matcher {name}" in TEXT
        for option in one.params:
            for spelling in (*option.opts, *option.secondary_opts):
                if spelling.startswith("--"):
                    assert re.search(rf"{spelling}\b", TEXT), f"{name} {spelling}"


# Objects whose keys are names of roles, where they are objects.
BY_ROLE = ("roles", "longest_floats")


def keys(value: Any) -> Iterator[str]:
    """Every key of an object and of all that is in it, but for names of roles and of columns."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            if key == "changed" and isinstance(inner, dict):
                yield from keys(list(inner.values()))
            elif not (key in BY_ROLE and isinstance(inner, dict)):
                yield from keys(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from keys(inner)


@pytest.mark.parametrize("command", COMMANDS)
def test_the_json_keys_that_stand_here_are_those_that_are_printed(
    command: str, folder: Path, monkeypatch: pytest.MonkeyPatch
):
    (block,) = [one for one in BLOCKS if one.option("keys") == command]
    monkeypatch.chdir(folder)
    printed: set[str] = set()
    if command in IN_A_STORE:
        monkeypatch.setenv("MATCHER_BIN", str(folder / f"{command}.sqlite"))
        if command != "intake":
            assert CliRunner().invoke(app, ["intake", "demo"]).exit_code == 0
        if command == "verify":  # what the columns beside the cells say is made wrong, behind the program's back
            with closing(sqlite3.connect(folder / "verify.sqlite")) as db:
                db.execute("UPDATE lots SET mass_g = 1 WHERE lot = 'navy'")
                db.commit()
    for arguments in PRINTS[command]:
        first = arguments[:1]
        if first and first[0] in COMMANDS:
            done = CliRunner().invoke(app, arguments)
            assert done.exit_code == 0, done.output
            continue
        shown = CliRunner().invoke(app, [command, *arguments, "--json"])
        printed |= set(keys(json.loads(shown.stdout)))
    written = set(re.findall(r"[a-z][a-z_0-9]*", block.text))
    if command == "export":  # COLUMN stands for these
        printed -= {column for sheet in (LOTS, GARMENTS) for column in sheet.known} - written
    assert written == printed


def test_the_python_block_runs(folder: Path):
    (block,) = [one for one in BLOCKS if one.language == "python"]
    for name in ("read_bin", "suggest", "contrast", "reserve", "needs", "piece", "partner", "motif", "photo"):
        assert f"{name}(" in block.text
    done = subprocess.run(
        [sys.executable, "-c", block.text],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=folder,
        env=readme.clean_environment(),
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout


def test_every_column_of_the_sheets_stands_here():
    for sheet in (LOTS, GARMENTS):
        for column in sheet.known:
            assert f"| `{column}` |" in TEXT, column


def test_every_caution_stands_here():
    """The cautions that the tool shows, word for word."""
    from matcher.store.catalogue.catalogue import load_catalogue

    for words in load_catalogue().cautions.values():
        assert words in TEXT


def test_the_figures_of_the_catalogue_that_stand_here_are_its_own():
    from matcher.store.catalogue.catalogue import load_catalogue

    held = load_catalogue()
    fabric, contrast, together, ranking = held.fabric, held.contrast, held.together, held.ranking
    weights = ", ".join(
        f"{name} {getattr(ranking, f'weight_{name}'):.2f}"
        for name in ("sure", "contrast", "together", "use", "leftover")
    )
    words = " ".join(TEXT.split())

    def percent(part: float) -> str:
        return f"{100 * part:.0f} %"

    for said in (
        f"`stitches per cm = {fabric.Kw:g} / l`, `rows per cm = {fabric.Kc:g} / l`",
        f"`stitches per cm2 = {fabric.Ks:g} / l2`",
        f"`l = sqrt(tex) / {fabric.tightness:g}`",
        f"from {fabric.tightness_min:.1f} to {fabric.tightness_max:.1f}",
        f"Spread: {percent(fabric.gauge_sd_no_swatch)} without a swatch, {percent(fabric.gauge_sd_swatch)} with one",
        f"{percent(fabric.share_sd)} more for each role alone",
        f"the label ({percent(held.measuring.label_sd_fraction)}, a choice",
        f"{percent(held.measuring.measured_sd_fraction)} for a count or a weighed length",
        f"({held.measuring.moisture_sd_of_regain:g} of the fibre's agreed regain",
        f"Each join costs 2 x {held.measuring.tail_m:g} m",
        f"never less than {held.repairs.floor_m:g} m a colour",
        f"Thickness up to {together.tex_ratio_fits:g} to 1 fits, above {together.tex_ratio_blocks:g} to 1 is refused",
        f"*clear*: lightness {contrast.clear_delta_l:g} apart",
        f"*readable*: {contrast.readable_delta_l:g}, or CIEDE2000 {contrast.readable_delta_e:g} "
        f"with lightness {contrast.readable_delta_e_min_delta_l:g}",
        f"*quiet*: CIEDE2000 {contrast.quiet_delta_e:g}",
        f"all but {percent(contrast.vanish_share)} of neighbouring stitches",
        f"{weights}. *Contrast*",
        f"an accessory of one colour gets {ranking.one_colour_contrast:g}",
    ):
        assert said in words, said
    assert together.warn_factor == pytest.approx(0.8)  # "a fifth off"
    assert held.repairs.margin_sd == 1  # "one standard deviation"


def test_the_figures_against_printed_patterns_are_those_measured():
    import test_printed_patterns as patterns

    from matcher.store.catalogue.catalogue import load_catalogue

    fabric = load_catalogue().fabric
    found = patterns.outcomes(fabric)
    words = " ".join(TEXT.split())
    for one in found:
        assert f"({one.id}) {one.predicted_g:.0f}/{one.printed_g:.0f} = {one.ratio:.2f}" in words
    every = patterns.summary(found)
    others = patterns.summary([one for one in found if one.id != "H09"])
    alone = patterns.summary(patterns.outcomes(fabric, pooled=False))
    for said in (
        f"Median error {every['median error %']:.1f} %, mean ratio {every['mean ratio']:.2f}, "
        f"spread {every['spread %']:.1f} %",
        f"explains about {every['buying unit explains %']:.1f} %",
        f"the spread is {others['spread %']:.1f} %",
        f"alone it is {alone['spread %']:.1f} %",
    ):
        assert said in words, said


def test_what_a_knitter_reads_can_be_read_in_one_sitting():
    assert TEXT.splitlines().index("## From Python") <= LONGEST


# The tools above, tried on small texts ------------------------------------------------------------------------


def block_of(info: str, *lines: str) -> Any:
    (found,) = readme.blocks("\n".join([f"```{info}", *lines, "```", ""]))
    return found


@pytest.mark.parametrize(
    ("shown", "printed", "same"),
    [
        ("a b c", "a b c", True),
        ("a b c", "a b", False),
        ("a b", "a b c", False),
        ("a x c", "a b c", False),
        ("a ... c", "a b b c", True),
        ("a ... c", "a c", True),
        ("a ...", "a b c", True),
        ("... c", "a b c", True),
        ("... b ... d", "a b c d", True),
        ("... b ... d", "a c d", False),
        ("a ... c", "a b", False),
        ("", "", True),
        ("", "a", False),
    ],
)
def test_left_out_lines_match_any_number_of_lines(shown: str, printed: str, same: bool):
    assert readme.agrees(shown.split(), printed.split()) is same


def test_a_cut_keeps_what_its_options_name():
    printed = ["one", "two", "three", "The score", "  0.9", "end"]
    assert readme.cut(printed, block_of("console", "$ matcher x")) == printed
    assert readme.cut(printed, block_of("console head=2", "$ matcher x")) == ["one", "two", "..."]
    both = block_of('console head=1 also="The score:2"', "$ matcher x")
    assert readme.cut(printed, both) == ["one", "...", "The score", "  0.9", "..."]
    assert readme.agrees(readme.cut(printed, both), printed)
    with pytest.raises(ValueError, match="begins with 'nowhere'"):
        readme.cut(printed, block_of("console also=nowhere:2", "$ matcher x"))


def test_an_open_block_is_refused():
    with pytest.raises(ValueError, match="line 2"):
        readme.blocks("words\n```console\n$ matcher suggest\n")
