"""A file to double-click on each system: it starts this very program with what was asked, and nothing is written over."""

from __future__ import annotations

import configparser
import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from matcher.errors import BadInput
from matcher.web.starter import NAMES, starter, write_starter

ODD = '/home/o\'neil/50% "wool" $HOME `x` \\ ü/bin.db'


@pytest.mark.parametrize("system", sorted(NAMES))
def test_it_is_written_where_she_says_and_can_be_started(system: str, tmp_path: Path):
    file = write_starter(["--port", "8099"], tmp_path, system=system)
    assert file == tmp_path / NAMES[system]
    text = file.read_bytes().decode()
    assert sys.executable in text
    assert "--port" in text
    assert os.access(file, os.X_OK) == (system != "win32")
    assert write_starter(["--port", "8099"], tmp_path, system=system) == file  # the same again does no harm


@pytest.mark.parametrize("system", sorted(NAMES))
def test_another_file_is_written_over_only_if_she_says_so(system: str, tmp_path: Path):
    file = tmp_path / NAMES[system]
    file.write_text("hers", encoding="utf-8")
    with pytest.raises(BadInput, match="exists already, with other content"):
        write_starter([], tmp_path, system=system)
    assert file.read_text(encoding="utf-8") == "hers"
    write_starter([], tmp_path, system=system, replace=True)
    assert "matcher" in file.read_text(encoding="utf-8")


def test_a_shell_takes_odd_names_as_they_are():
    text = starter(("printf", "%s", ODD), "darwin")
    assert shlex.split(text.splitlines()[1]) == ["exec", "printf", "%s", ODD]
    done = subprocess.run(["sh", "-c", text], capture_output=True, text=True, check=True)
    assert done.stdout == ODD


def test_a_desktop_takes_odd_names_as_they_are():
    read = configparser.RawConfigParser()
    read.read_string(starter(("python", ODD), "linux"))
    line = read["Desktop Entry"]["Exec"]
    # The specification: first the escapes of a value, then those of a quoted word, then %% for %.
    value = line.replace("\\\\", "\\")
    words = subprocess.run(["sh", "-c", f"printf '%s\\n' {value}"], capture_output=True, text=True, check=True).stdout
    assert words.replace("%%", "%").splitlines() == ["python", ODD]


def test_a_batch_file_doubles_percents():
    rows = starter(("C:\\py thon.exe", "C:\\50%\\bin.db"), "win32").split("\r\n")
    assert rows[2] == '"C:\\py thon.exe" "C:\\50%%\\bin.db"'


@pytest.mark.parametrize("system", sorted(NAMES))
def test_a_line_break_in_a_name_is_refused(system: str):
    with pytest.raises(BadInput, match="line break"):
        starter(("python", "a\nTerminal=false"), system)


def test_where_there_is_no_such_folder(tmp_path: Path):
    with pytest.raises(BadInput, match="there is no folder"):
        write_starter([], tmp_path / "nowhere")


def test_the_command_says_what_it_wrote(tmp_path: Path):
    from typer.testing import CliRunner

    from matcher.cli.commands import app

    bin = tmp_path / "my bin.db"
    given = ["page", "--starter", "--out", str(tmp_path), "--bin", str(bin), "--home", "--certificate"]
    shown = CliRunner().invoke(app, given)
    assert shown.exit_code == 0
    (file,) = [one for one in tmp_path.iterdir() if one.name in NAMES.values()]
    assert file.name in shown.stdout.replace("\n  ", "")
    text = file.read_text(encoding="utf-8")
    assert str(bin) in text
    assert "--home" in text
    assert "--certificate" in text
    file.write_text("hers", encoding="utf-8")
    assert CliRunner().invoke(app, given).exit_code == 2
    assert CliRunner().invoke(app, [*given, "--replace"]).exit_code == 0
