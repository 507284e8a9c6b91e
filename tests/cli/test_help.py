"""The help: an example first, every command there, 80 columns, and a usage fault answered with 2."""

from __future__ import annotations

import re
import shlex

import pytest

COMMANDS = ["suggest", "contrast", "reserve", "needs", "piece", "check"]


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("asked", ["--help", "-h"])
def test_help_of_a_command_starts_with_an_example(command: str, asked: str, run, fits_80):
    shown = run(command, asked)
    assert shown.exit_code == 0
    lines = [line.strip() for line in shown.stdout.splitlines() if line.strip()]
    assert lines[0].startswith("Usage:")
    assert lines[1].startswith(f"Example: matcher {command} ")
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
def test_the_example_of_a_command_is_one_that_works(command: str, run, small):
    """Word for word, but for the name of the bin."""
    lines = [line.strip() for line in run(command, "--help").stdout.splitlines()]
    first = next(place for place, line in enumerate(lines) if line.startswith("Example: matcher "))
    example = " ".join(lines[first : lines.index("", first)]).removeprefix("Example: matcher ")
    words = shlex.split(example)
    shown = run(*[str(small) if word == "my-bin" else word for word in words])
    assert shown.exit_code == 0, shown.output
    assert shown.stdout.strip()


@pytest.mark.parametrize(
    "arguments",
    [[], ["sugest"], ["contrast"], ["needs"], ["check"], ["piece"], ["suggest", "--colour", "red"]],
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
