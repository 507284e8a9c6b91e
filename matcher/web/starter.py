"""A file to double-click, so that the page opens without a terminal being typed into: one form for each system."""

from __future__ import annotations

import os
import re
import shlex
import stat
import sys
from collections.abc import Sequence
from pathlib import Path

from matcher.errors import BadInput
from matcher.reasons.reason import Field, reason
from matcher.store.files import write_out
from matcher.store.places import expanded

NAMES = {"linux": "matcher.desktop", "darwin": "matcher.command", "win32": "matcher.bat"}


def write_starter(
    options: Sequence[str], folder: Path | str | None = None, *, replace: bool = False, system: str = sys.platform
) -> Path:
    """Write the starter for this system; returns the file.

    options: as they follow `matcher page`. folder: where it goes; the desktop if left out. system: as `sys.platform`.
    Raises BadInput where there is no such folder, or another file of its name and `replace` is not set.
    """
    place = expanded(folder) if folder is not None else desktop()
    if not place.is_dir():
        todo = reason("name a folder with {out}", out=Field("out"))
        raise BadInput(reason("there is no folder {folder}", folder=str(place)), Field("starter"), todo)
    kind = system if system in NAMES else "linux"
    text = starter((sys.executable, "-m", "matcher", "page", "--open", *options), kind)
    (file,) = write_out({place / NAMES[kind]: text.encode("utf-8")}, replace=replace)
    if kind != "win32":
        os.chmod(file, file.stat().st_mode | stat.S_IXUSR)
    return file


def starter(command: Sequence[str], system: str) -> str:
    """What stands in it, for a system in NAMES. Raises BadInput for a line break among the words of the command."""
    if any(re.search(r"[\x00-\x1f]", word) for word in command):
        raise BadInput(reason("a name holds a line break"), Field("starter"), reason("give it another name"))
    if system == "win32":
        line = " ".join(f'"{word.replace("%", "%%")}"' for word in command)  # no name of a file holds a quotation mark
        rows = ("@echo off", "chcp 65001 >nul", line, "if errorlevel 1 pause", "")
        return "\r\n".join(rows)
    if system == "darwin":
        return f"#!/bin/sh\nexec {shlex.join(command)}\n"
    # The terminal shows how it is stopped, and a pass phrase where there is one.
    return (
        "[Desktop Entry]\nType=Application\nName=matcher\nComment=Your yarn, as a page in your browser\n"
        f"Exec={' '.join(map(_desktop_word, command))}\nTerminal=true\nCategories=Utility;\n"
    )


def _desktop_word(word: str) -> str:
    """A word of `Exec=` by the Desktop Entry Specification: quoted, then escaped once more as every value there is."""
    quoted = re.sub(r'(["`$\\])', r"\\\1", word)
    return '"' + quoted.replace("\\", "\\\\").replace("%", "%%") + '"'


def desktop() -> Path:
    """The desktop's folder. Raises BadInput where the system knows no home of hers."""
    from platformdirs import user_desktop_path

    try:
        return user_desktop_path()
    except RuntimeError:
        todo = reason("name a folder with {out}", out=Field("out"))
        raise BadInput(reason("your home folder isn't known"), "", todo) from None
