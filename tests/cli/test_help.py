"""The help: what each command is for, in groups; no word of the machinery, 80 columns, and examples that run as typed."""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from json_shapes import NO_JSON
from typer.main import get_command

from matcher.cli.commands import app
from matcher.cli.help import GROUPS, examples, purpose
from matcher.matching.gap.bench import Ground
from matcher.matching.gap.find import Purchases

KNOWN = get_command(app).commands
COMMANDS = sorted(KNOWN)
# What stands before a purpose in the list of all commands.
INDENT = 2 + max(map(len, COMMANDS)) + 2


def test_every_command_stands_in_one_group():
    named = [name for _, names in GROUPS for name in names]
    assert sorted(named) == COMMANDS


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("asked", ["--help", "-h"])
def test_help_of_a_command_says_its_purpose_then_options_then_examples(command: str, asked: str, run, fits_80):
    shown = run(command, asked)
    assert shown.exit_code == 0
    words = KNOWN[command].help
    shown_json = [] if command in NO_JSON else ["--json"]
    wanted = [purpose(words), *shown_json, "-h, --help", "Example", *(f"  {one}\n" for one in examples(words))]
    places = [shown.stdout.find(one) for one in wanted]
    assert -1 not in places, wanted[places.index(-1)]
    assert places == sorted(places)
    assert shown.stdout.startswith(f"Usage: matcher {command} ")
    fits_80(shown.stdout)


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_help_has_no_word_of_the_machinery(command: str, run):
    shown = run(*command.split(), "--help").stdout
    assert re.findall(r"<\w+>|\[\[|\]\]|\[OPTIONS\]|\[ARGS\]|list\[|default:", shown) == []


@pytest.mark.parametrize("command", COMMANDS)
def test_a_purpose_is_one_sentence_on_one_line(command: str):
    said = purpose(KNOWN[command].help)
    assert said.endswith((".", "?"))
    assert INDENT + len(said) <= 80
    assert said[0].isupper()
    assert not said.startswith("Example")


def test_help_of_the_whole_names_every_command_in_its_group(run, fits_80):
    shown = run("--help")
    assert shown.exit_code == 0
    lines = shown.stdout.splitlines()
    for title, names in GROUPS:
        at = lines.index(f"{title}:")
        assert lines[at + 1 : at + 1 + len(names)] == [
            f"  {name:<{INDENT - 2}}{purpose(KNOWN[name].help)}" for name in names
        ]
    assert "More:" not in shown.stdout
    fits_80(shown.stdout)


@pytest.mark.parametrize("command", ["suggest", "reserve", "needs", "piece"])
def test_commands_that_show_lengths_offer_units(command: str, run):
    assert "--units metric|imperial|mixed" in run(command, "--help").stdout


@pytest.mark.parametrize("command", sorted({*COMMANDS}.difference(NO_JSON)))
def test_the_examples_of_a_command_run_as_typed_in_an_empty_folder(command: str, run, tmp_path: Path, monkeypatch):
    from matcher.actions.ranking import gap
    from matcher.actions.sets import gap as set_gap
    from matcher.actions.sets import plan

    monkeypatch.chdir(tmp_path)
    # That an example runs doesn't hang on a set's being the best there is, nor on every purchase that could be found.
    found = plan.plan_set
    for room in (plan, set_gap):
        monkeypatch.setattr(room, "plan_set", lambda *given, **asked: found(*given, **{**asked, "time_limit": 0.5}))
    for room in (gap, set_gap):
        monkeypatch.setattr(room, "purchases", the_first_of_wool(room.purchases))
    typed = [line.strip() for line in run(command, "--help").stdout.splitlines() if line.startswith("  matcher ")]
    assert typed == examples(KNOWN[command].help)
    assert any(f"{line} ".startswith(f"matcher {command} ") for line in typed)
    for line in typed:
        shown = run(*shlex.split(line)[1:])
        assert shown.exit_code == 0, f"{line}\n{shown.output}"
        assert shown.stdout.strip()


def the_first_of_wool(bought: Callable[..., Purchases]) -> Callable[..., Purchases]:
    """Where several things are wanted, purchases of one kind of fibre alone are tried, and the first is told; all that
    would make one thing possible is asked for by other tests too."""

    def buy(ground: Ground, *more: object) -> Purchases:
        rules = ground.rules
        if len(ground.wanted) > 1:
            fewer = replace(rules.purchase, shown=1.0)
            ground = replace(ground, rules=replace(rules, purchase=fewer, fibres_to_buy=rules.fibres_to_buy[:1]))
        every = bought(ground, *more)
        return replace(every, found=every.found[:1])

    return buy


def test_the_examples_of_the_whole_run_as_typed(run, tmp_path: Path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    typed = [line.strip() for line in run("--help").stdout.splitlines() if line.startswith("  matcher ")]
    assert len(typed) >= 3
    for line in typed:
        shown = run(*shlex.split(line)[1:])
        assert shown.exit_code == 0, f"{line}\n{shown.output}"


@pytest.mark.parametrize(
    "arguments",
    [["sugest"], ["contrast"], ["partner"], ["check"], ["piece"], ["suggest", "--colour", "red"]],
    ids=lambda one: " ".join(one) or "nothing",
)
def test_a_usage_fault_ends_with_2_and_no_traceback(arguments: list[str], run, fits_80):
    shown = run(*arguments)
    assert shown.exit_code == 2
    assert "Usage: matcher " in shown.output
    assert "Traceback" not in shown.output
    fits_80(shown.output)


def test_the_version(run):
    shown = run("--version")
    assert shown.exit_code == 0
    assert re.fullmatch(r"matcher \d+\.\d+\.\d+\n", shown.stdout)


def test_help_in_a_process_of_its_own_fits_80_columns(by_itself, fits_80):
    shown = by_itself("suggest", "--help")
    assert shown.returncode == 0
    assert shown.stderr == ""
    fits_80(shown.stdout)


def test_a_bin_is_taken_bare_or_after_bin_whichever_a_command_shows(run, tmp_path: Path):
    """Commands that are about nothing but a bin take it bare, others as --bin: neither habit is refused."""
    for typed, meant in (
        (("lookalikes", "--bin", "demo", "--json"), ("lookalikes", "demo", "--json")),
        (("list", "garments", "--bin=demo"), ("list", "garments", "demo")),
        (("list", "--bin", "demo", "--class", "DK"), ("list", "demo", "--class", "DK")),
        (("calibration", "demo"), ("calibration", "--bin", "demo")),
        (("verify", "demo"), ("verify", "--bin", "demo")),
    ):
        shown, wanted = run(*typed), run(*meant)
        assert (shown.exit_code, shown.output) == (wanted.exit_code, wanted.output), typed
    tags = ("--out", tmp_path / "tags.html")
    assert run("tags", "--bin", "demo", *tags).exit_code == 0
    assert "No such option: --bin" in run("tags", "--bin").stderr
    assert "No such option: --bin" in run("pool", "--bin", "demo").stderr
