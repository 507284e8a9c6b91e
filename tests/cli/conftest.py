"""How the command line is run here: in this process, and as a person does, in one of its own."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import forked
import pytest
from read_once import read_once
from searched_once import searched_once
from typer.testing import CliRunner, Result

ROOT = Path(__file__).resolve().parents[2]
RUN = [sys.executable, "-c", "from matcher.cli.main import main; main()"]
READ_AT_FIRST = {"FORCE_COLOR", "NO_COLOR", "COLORTERM", "TERM", "PYTHONHASHSEED"}
ESCAPE = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")


@pytest.fixture(autouse=True, scope="module")  # so that it ends where tests of the search itself begin
def nothing_is_searched_or_read_twice(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with searched_once(tmp_path_factory), read_once():
        yield


@pytest.fixture(autouse=True)
def plain_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """80 columns and no wishes about colour, whatever the machine that runs the tests says."""
    for name in ("NO_COLOR", "FORCE_COLOR", "COLORTERM", "TTY_COMPATIBLE", "TERM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("COLUMNS", "80")


@pytest.fixture
def run() -> Callable[..., Result]:
    """Run a command in this process."""
    from matcher.cli.commands import app

    return lambda *arguments: CliRunner().invoke(app, [str(one) for one in arguments])


@pytest.fixture
def run_json(run: Callable[..., Result]) -> Callable[..., dict[str, Any]]:
    """The one JSON object that a command prints with --json; nothing that only Python would read."""

    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is not JSON")

    def parsed(*arguments: object, exit_code: int = 0) -> dict[str, Any]:
        shown = run(*arguments, "--json")
        assert shown.exit_code == exit_code, shown.output
        value = json.loads(shown.stdout, parse_constant=refuse)
        assert isinstance(value, dict)
        return value

    return parsed


@pytest.fixture
def by_itself(tmp_path: Path) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run a command in a process of its own, away from the repository, with the environment given: in a fork of this
    one, but where something is given that is read as Python or a library begins."""

    def start(*arguments: object, **environment: str) -> subprocess.CompletedProcess[str]:
        typed = [str(one) for one in arguments]
        if not environment.keys() & READ_AT_FIRST:
            done = forked.run(*typed, environment={"COLUMNS": "80", **environment}, folder=tmp_path)
            assert done.code != 3, done.told  # the last net
            return subprocess.CompletedProcess(typed, done.code, done.out.decode("utf-8"), done.told)
        ended = subprocess.run(
            [*RUN, *typed],
            capture_output=True,
            text=True,
            encoding="utf-8",
            cwd=tmp_path,
            env={**os.environ, "PYTHONIOENCODING": "utf-8", "COLUMNS": "80", **environment},
            timeout=120,
        )
        assert ended.returncode != 3, ended.stderr  # the last net
        return ended

    return start


@pytest.fixture
def demo() -> Path:
    return ROOT / "demo"


@pytest.fixture(scope="session")
def demo_taken_in(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with all of the demo, to be copied."""
    from matcher.actions.keeping.intake import intake

    path = tmp_path_factory.mktemp("demo") / "bin.sqlite"
    intake(ROOT / "demo", bin=path)
    return path


@pytest.fixture
def demo_store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, demo_taken_in: Path) -> Path:
    """Her store, with all of the demo; it is what every command reads when no bin is named."""
    path = tmp_path / "bin.sqlite"
    shutil.copy(demo_taken_in, path)
    monkeypatch.setenv("MATCHER_BIN", str(path))
    return path


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A small bin: one garment that is worn, one that is gone, four lots."""
    folder = tmp_path / "bin"
    folder.mkdir()
    (folder / "lots.csv").write_text(
        """lot,garment,yarn,colour,grams,ball_grams,ball_metres,fibre,wash,dye_lot,place
navy,pullover,plain wool,#1f2a4a,120,50,125,wool,hand,8,blue box
cream,pullover,plain wool,#efe6d0,90,50,125,wool,hand,3,blue box
rust,cardigan,plain wool,#9c4a24,60,50,125,wool,hand,5,
fog,,plain wool,#c3c6c8,20,50,125,wool,hand,2,
""",
        encoding="utf-8",
    )
    (folder / "garments.csv").write_text(
        "garment,kind,status,chest_cm\npullover,pullover,worn,98\ncardigan,cardigan,gone,100\n", encoding="utf-8"
    )
    return folder


@pytest.fixture
def fits_80() -> Callable[[str], None]:
    """No line of the output is wider than 80 columns."""

    def check(text: str) -> None:
        lines = ESCAPE.sub("", text).splitlines()
        assert lines
        assert [line for line in lines if len(line) > 80] == []

    return check


@pytest.fixture
def no_metric() -> Callable[[str], None]:
    """No metres, centimetres or grams in what is shown to somebody who asked for yards and ounces."""

    def check(text: str) -> None:
        # A ball is sold by the gram: it is called as its band says.
        joined = re.sub(r"\d+ g (?=\([\d.]+ oz\))", "", re.sub(r"\s+", " ", text))
        joined = re.sub(r'the plan "[^"]*"', "the plan", joined)  # what she wrote stays as it is
        assert re.findall(r".{0,30}\b\d[\d.,]* ?(?:m|cm|g|kg|metres|grams)\b.{0,10}", joined) == []

    return check
