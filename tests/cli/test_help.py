"""The help: an example first, every command there, 80 columns, and a usage fault answered with 2."""

from __future__ import annotations

import re
import shlex

import pytest

COMMANDS = [
    *("suggest", "contrast", "reserve", "needs", "piece", "partner", "motif", "check"),
    *("intake", "export", "add", "weigh", "change", "split", "join", "move", "garment", "mended"),
    *("begin", "finish", "abandon", "undo", "verify", "triage", "tags", "swatch", "calibration"),
    *("photo", "lookalikes", "whose", "palette"),
]
BEGIN = (
    "begin",
    "striped hat",
    "--size",
    "adult small",
    "--lots",
    "main=cream, thick",
    "--lots",
    "contrast 1=dark brown",
)
# What must have been done before a command's example can be; each starts from a store that holds the demo.
BEFORE: dict[str, list[tuple[str, ...]]] = {
    "change": [
        ("add", "sea green", "--grams", "41", "--colour", "#2f6f66", "--ball-grams", "50", "--ball-metres", "125")
    ],
    "join": [("split", "navy", "20g", "--as", "navy 2")],
    "finish": [BEGIN],
    "abandon": [BEGIN],
    "undo": [("weigh", "navy", "60g"), ("weigh", "navy", "50g")],
}


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("asked", ["--help", "-h"])
def test_help_of_a_command_starts_with_an_example(command: str, asked: str, run, fits_80):
    shown = run(command, asked)
    assert shown.exit_code == 0
    lines = [line.strip() for line in shown.stdout.splitlines() if line.strip()]
    assert lines[0].startswith("Usage:")
    assert f"{lines[1]} ".startswith(f"Example: matcher {command} ")
    fits_80(shown.stdout)


def test_help_of_the_whole_names_every_command(run, fits_80):
    shown = run("--help")
    assert shown.exit_code == 0
    assert shown.stdout.split("Usage:")[1].splitlines()[2].strip().startswith("Example: matcher ")
    listed = re.findall(r"^│ (\w+) ", shown.stdout.split("Commands")[1], re.MULTILINE)
    assert sorted(listed) == sorted(COMMANDS)
    fits_80(shown.stdout)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_offers_json(command: str, run):
    assert "--json" in run(command, "--help").stdout


@pytest.mark.parametrize("command", ["suggest", "reserve", "needs", "piece"])
def test_commands_that_show_lengths_offer_units(command: str, run):
    assert re.search(r"--units\s+<metric\|imperial>", run(command, "--help").stdout)


@pytest.mark.parametrize("command", COMMANDS)
def test_the_example_of_a_command_is_one_that_works(command: str, run, small, demo, tmp_path, monkeypatch):
    """Word for word, but for the names of the bin and of the photograph."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MATCHER_BIN", str(tmp_path / "bin.sqlite"))
    assert run("intake", demo).exit_code == 0
    for before in BEFORE.get(command, []):
        assert run(*before).exit_code == 0
    lines = [line.strip() for line in run(command, "--help").stdout.splitlines()]
    first = next(place for place, line in enumerate(lines) if line.startswith("Example: matcher "))
    example = " ".join(lines[first : lines.index("", first)]).removeprefix("Example: matcher ")
    ours = {"my-bin": str(small), "demo": str(demo), "yarn.jpg": str(demo / "scraps.jpg")}
    shown = run(*[ours.get(word, word) for word in shlex.split(example)])
    assert shown.exit_code == 0, shown.output
    assert shown.stdout.strip()


@pytest.mark.parametrize(
    "arguments",
    [[], ["sugest"], ["contrast"], ["partner"], ["check"], ["piece"], ["suggest", "--colour", "red"]],
    ids=lambda one: " ".join(one) or "nothing",
)
def test_a_usage_fault_ends_with_2_and_no_traceback(arguments: list[str], run):
    shown = run(*arguments)
    assert shown.exit_code == 2
    assert "Usage:" in shown.output
    assert "Traceback" not in shown.output


def test_the_version(run):
    shown = run("--version")
    assert shown.exit_code == 0
    assert re.fullmatch(r"matcher \d+\.\d+\.\d+\n", shown.stdout)


def test_help_in_a_process_of_its_own_fits_80_columns(by_itself, fits_80):
    shown = by_itself("suggest", "--help")
    assert shown.returncode == 0
    assert shown.stderr == ""
    fits_80(shown.stdout)
