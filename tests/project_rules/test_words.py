"""Text files hold text: no control characters, and nothing that turns the direction of reading or cannot be seen."""

from __future__ import annotations

import unicodedata
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SUFFIXES = {".py", ".md", ".toml", ".csv", ".txt", ".cfg", ".yml", ".yaml", ".html", ".css", ".js", ".svg", ""}
NOT_OURS = {"build", "dist", "__pycache__", "node_modules"}


def text_files(root: Path) -> list[Path]:
    """Every text file of the project; hidden folders and what tools build are left out."""
    found = []
    for entry in sorted(root.iterdir()):
        if entry.is_dir():
            hidden = entry.name.startswith(".") and entry.name != ".ci"
            if not hidden and entry.name not in NOT_OURS and not entry.name.endswith(".egg-info"):
                found += text_files(entry)
        elif entry.suffix in SUFFIXES:
            found.append(entry)
    return found


FILES = text_files(ROOT)


def strange(text: str) -> list[str]:
    """Control and format characters, each with its line; line ends and tabs apart."""
    return [
        f"line {number}: U+{ord(letter):04X}"
        for number, line in enumerate(text.split("\n"), start=1)
        for letter in line
        if unicodedata.category(letter) in ("Cc", "Cf", "Co", "Cs", "Cn") and letter not in "\t\r"
    ]


def test_the_files_are_found():
    names = {path.relative_to(ROOT).as_posix() for path in FILES}
    assert {"README.md", "pyproject.toml", "LICENSE", "demo/lots.csv", "matcher/errors.py"} <= names
    assert "catalog/sources.toml" in names
    assert any(name.startswith("catalog/motifs/") for name in names)
    assert len(FILES) > 150


def test_no_strange_characters():
    assert [f"{path.relative_to(ROOT)}: {fault}" for path in FILES for fault in strange(path.read_text("utf-8"))] == []


@pytest.mark.parametrize("letter", ["\x00", "\x1b", "\x7f", "\x85", "\u200b", "\u202e", "\ufeff", "\ue000"])
def test_a_strange_character_is_caught(letter: str):
    assert strange(f"wool\nsil{letter}k\n") == [f"line 2: U+{ord(letter):04X}"]


def test_ordinary_letters_are_let_through():
    assert strange("Größe, 1½ oz, ΔE, “wool” – 20 °C\r\n\tsilk\n") == []
