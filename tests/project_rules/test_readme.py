"""What README.md and the other pages say is what the program does: commands are run, output, shapes and options compared."""

from __future__ import annotations

import contextlib
import io
import re
from pathlib import Path
from typing import Any

import pytest
import readme_blocks as readme
from command_tables import reference
from json_shapes import COMMANDS, NO_JSON, shape_of, written

from matcher.cli.commands import app
from matcher.store.sheets.columns import GARMENTS, LOTS

TEXTS = {name: readme.page(name) for name in readme.PAGES}
TEXT, REFERENCE = TEXTS["README.md"], TEXTS["matcher/cli/README.md"]
BLOCKS = [(name, block) for name, text in TEXTS.items() for block in readme.blocks(text)]
CONSOLE = [(name, block) for name, block in BLOCKS if block.language == "console"]
REFRESH = "refresh with: python tests/project_rules/readme_blocks.py --write"
# Lines of README.md, which a knitter reads in one sitting.
LONGEST = 360


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """For each page a folder in which its commands run, in their order."""
    places = {name: tmp_path_factory.mktemp("page") for name in TEXTS}
    for place in places.values():
        readme.prepare(place)
    return places


def test_the_two_commands_to_paste_are_those_that_are_meant():
    lines = TEXT.splitlines()
    for mark, command in readme.TO_PASTE.items():
        at = lines.index(mark)
        assert lines[at + 1 : at + 4] == ["```sh", command, "```"]
    assert sum(block.language == "sh" for _, block in BLOCKS) == len(readme.TO_PASTE)


def test_ci_takes_the_test_command_from_here_and_has_none_of_its_own():
    script = (readme.ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "<!-- command: tests -->" in script
    for part in ("pip install", "-m venv", "-m pytest"):
        assert part not in script
    # Beside it stands that nothing is left out: not even what nobody waits for every day.
    assert re.findall(r"PYTEST_ADDOPTS=.*", script) == ["PYTEST_ADDOPTS=\"-m ''\""]
    assert script.index("export PYTEST_ADDOPTS=") < script.index('-c "$command"') < script.index("unset PYTEST_ADDOPTS")


def test_every_console_block_begins_with_a_command():
    assert len(CONSOLE) >= 20
    for name, block in CONSOLE:
        assert block.lines[0].startswith("$ matcher "), f"{name}, line {block.line}"


@pytest.mark.parametrize(
    ("name", "block"), CONSOLE, ids=[f"{name} {block.line}: {block.command}" for name, block in CONSOLE]
)
def test_a_command_prints_what_is_shown(name: str, block: Any, folders: dict[str, Path]):
    code, printed = readme.run(block.command, folders[name])
    assert code == block.exit_code
    if not readme.agrees(list(block.lines[1:]), printed):
        # Shown as a difference of lists, which is easier to read than "not True".
        assert list(block.lines[1:]) == printed, REFRESH


def test_the_picture_is_the_one_that_a_command_draws(folders: dict[str, Path]):
    folder = folders["demo/README.md"]
    drawn = folder / readme.DRAWN
    if not drawn.exists():
        command = next(block.command for _, block in CONSOLE if "--out pictures" in block.command)
        assert readme.run(command, folder)[0] == 0
    assert (readme.ROOT / readme.PICTURE).read_bytes() == drawn.read_bytes()
    for name in ("README.md", "demo/README.md"):
        shown = Path(readme.PICTURE) if name == "README.md" else Path(readme.PICTURE).relative_to("demo")
        assert f"]({shown.as_posix()})" in TEXTS[name]


@pytest.mark.parametrize("name", TEXTS)
def test_what_a_page_points_to_is_there(name: str):
    for place in re.findall(r"\]\(([^)#]+)\)", TEXTS[name]):
        assert (readme.ROOT / name).parent.joinpath(place).exists(), place


def test_every_command_stands_here():
    from typer.main import get_command

    command = get_command(app)
    assert set(command.commands) == {*COMMANDS, *NO_JSON}
    for name in command.commands:
        assert f"`matcher {name}`" in TEXT


def test_the_commands_and_options_are_those_of_the_help():
    begin, end = readme.MADE_FROM_HELP
    shown = REFERENCE.partition(begin)[2].partition(end)[0]
    assert shown.strip().splitlines() == reference().splitlines(), REFRESH


@pytest.mark.parametrize("command", COMMANDS)
def test_the_json_that_a_command_prints_has_the_shape_shown(command: str, folders: dict[str, Path]):
    (block,) = [one for _, one in BLOCKS if one.option("keys") == command]
    assert list(block.lines) == readme.shape_lines(command, folders["matcher/cli/README.md"]), REFRESH


def test_the_python_block_runs(folders: dict[str, Path]):
    ((name, block),) = [(name, one) for name, one in BLOCKS if one.language == "python"]
    for function in ("read_bin", "suggest", "contrast", "reserve", "needs", "piece", "partner", "motif", "photo"):
        assert f"{function}(" in block.text
    said = io.StringIO()
    with contextlib.chdir(folders[name]), contextlib.redirect_stdout(said):
        exec(compile(block.text, name, "exec"), {})
    assert said.getvalue()


def test_every_column_of_the_sheets_stands_here():
    for sheet in (LOTS, GARMENTS):
        for column in sheet.typed:
            assert f"| `{column}` |" in TEXT, column


def test_every_table_of_the_catalogue_stands_on_its_page():
    tables = (readme.ROOT / "catalog").glob("*/*.csv")
    assert [one.name for one in tables if one.name not in TEXTS["catalog/README.md"]] == []


def test_every_caution_stands_here():
    """The cautions that the tool shows, word for word."""
    from matcher.store.catalogue.catalogue import load_catalogue

    for words in load_catalogue().cautions.values():
        assert str(words) in TEXT


def test_the_figures_of_the_catalogue_that_stand_here_are_its_own():
    from matcher.store.catalogue.catalogue import load_catalogue

    held = load_catalogue()
    fabric, contrast, together, ranking = held.fabric, held.contrast, held.together, held.ranking
    weights = ", ".join(
        f"{name} {getattr(ranking, f'weight_{name}'):.2f}"
        for name in ("sure", "contrast", "together", "use", "leftover", "kindred")
    )
    words = " ".join(TEXTS["catalog/README.md"].split())

    def percent(part: float) -> str:
        return f"{100 * part:.0f}%"

    for said in (
        f"`stitches per cm = {fabric.Kw:g} / l`, `rows per cm = {fabric.Kc:g} / l`",
        f"`stitches per cm2 = {fabric.Ks:g} / l2`",
        f"`l = sqrt(tex) / {fabric.tightness:g}`",
        *(f"{one.loosest:.1f} to {one.tightest:.1f} for" for one in fabric.windows),
        f"socks {held.accessories['socks-ankle'].firmness:.2f}",
        f"mittens {held.accessories['mittens'].firmness:.2f}, a choice",
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
        f"with lightness {contrast.readable_delta_e_min_delta_l:g}, or {contrast.readable_hue_delta_e:g} by hue alone",
        f"*quiet*: CIEDE2000 {contrast.quiet_delta_e:g}",
        f"all but {percent(contrast.vanish_share)} of neighbouring stitches",
        f"{weights}. *Contrast*",
        f"an accessory of one colour gets {ranking.one_colour_contrast:g}",
        f"{together.one_yarn_kindred:g} for colours of one yarn",
        f"a thing of one lot gets {ranking.one_lot_kindred:g}",
    ):
        assert said in words, said
    assert ranking.doubled_use == pytest.approx(0.5)  # "half of that"
    assert (ranking.of_a_kind, ranking.small_things) == (3, 3)  # "three of a kind", "the best three"
    assert ranking.strange_pairs == pytest.approx(0.25)  # "a quarter of a pair"
    assert together.warn_factor == pytest.approx(0.8)  # "a fifth off"
    assert held.repairs.margin_sd == 1  # "one standard deviation"


def test_the_figures_against_printed_patterns_are_those_measured():
    import test_printed_patterns as patterns

    from matcher.store.catalogue.catalogue import load_catalogue

    fabric = load_catalogue().fabric
    found = patterns.outcomes(fabric)
    words = " ".join(TEXTS["catalog/README.md"].split())
    for one in found:
        assert f"({one.id}) {one.predicted_g:.0f}/{one.printed_g:.0f} = {one.ratio:.2f}" in words
    every = patterns.summary(found)
    others = patterns.summary([one for one in found if one.id != "H09"])
    alone = patterns.summary(patterns.outcomes(fabric, pooled=False))
    for said in (
        f"Median error {every['median error %']:.1f}%, mean ratio {every['mean ratio']:.2f}, "
        f"spread {every['spread %']:.1f}%",
        f"explains about {every['buying unit explains %']:.1f}%",
        f"the spread is {others['spread %']:.1f}%",
        f"alone it is {alone['spread %']:.1f}%",
    ):
        assert said in words, said


def test_what_a_knitter_reads_can_be_read_in_one_sitting():
    assert len(TEXT.splitlines()) <= LONGEST


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


@pytest.mark.parametrize(
    ("values", "lines"),
    [
        ([{"a": 1, "b": "x"}], ["a: number, b: text"]),
        ([{"a": 1}, {"b": True}], ["a?: number, b?: true or false"]),
        ([{"a": None}, {"a": {"b": 1.5}}], ["a { b: number } or null"]),
        ([{"a": [{"b": 1}, {"b": 2, "c": ["x"]}]}], ["a [ b: number, c?: [ text ] ]"]),
        ([{"a": [[1, 2], [3]]}], ["a: [ [ number ] ]"]),
        ([{"notes": [], "other": []}], ["notes: [ text ], other: [ ]"]),
        ([{"longest_floats": {"main": 3}}], ["longest_floats { ROLE: number }"]),
        ([{"roles": [{"main": 3}]}], ["roles [ main: number ]"]),
        ([{"lots": [{"lot": "navy", "ball_grams": "50", "code": "AB"}]}], ["lots [ COLUMN: text, code: text ]"]),
        ([{"a" * 60: 1, "b": {"c" * 60: 1}}], ["a" * 60 + ": number,", "b { " + "c" * 60 + ": number }"]),
        (
            [{"b": {"c" * 70: 1, "d" * 70: 1}}],
            ["b {", "    " + "c" * 70 + ": number,", "    " + "d" * 70 + ": number", "}"],
        ),
    ],
)
def test_shapes_of_small_objects(values: list[dict[str, Any]], lines: list[str]):
    assert written(shape_of(values)) == lines
