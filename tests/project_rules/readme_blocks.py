"""The blocks of README.md and of the other pages: what they show, how they are run, how their outputs are refreshed.

    python tests/project_rules/readme_blocks.py           says which pages are out of date; ends with 1 if any
    python tests/project_rules/readme_blocks.py --write   refreshes them

A block opens with three backticks, its language and its options, for example `console head=12 exit=1`:

console     one line `$ command`, then what it prints (stderr before stdout). A line `...` stands for lines left out.
            head=N keeps the first N lines; also="WORDS:N" keeps N lines more, from the first one that begins with
            WORDS; both may be left out (the whole output), and `also` may be repeated. exit=N is the exit code, else 0.
csv, toml   with file=PATH: a small file that the commands read; it is written before they run.
python      is run as it stands.
text        with keys=COMMAND: the shape of what that command prints with --json (see json_shapes.py).
sh          one command to paste, under a comment that names it (see COMMANDS).

What stands between the comments `commands: begin` and `commands: end` is made from the help (see command_tables.py). The
blocks of one page share a folder and run in their order: later ones build on earlier ones.
"""

from __future__ import annotations

import contextlib
import re
import shlex
import shutil
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pytest
from command_tables import reference
from json_shapes import objects, shape_of, written
from typer.testing import CliRunner

from matcher.cli.commands import app

ROOT = Path(__file__).resolve().parents[2]
PAGES = ("README.md", "demo/README.md", "catalog/README.md", "matcher/cli/README.md")
# The two lines to paste on a machine with nothing but Python. `.ci/run` takes the second out of the README.
TO_PASTE = {
    "<!-- command: demo -->": "python3 -m venv .venv && .venv/bin/pip install -q . && .venv/bin/matcher suggest demo",
    "<!-- command: tests -->": (
        "python3 -m venv .venv && .venv/bin/pip install -q -e '.[dev]' && .venv/bin/python -m pytest -n auto --dist loadfile"
    ),
}
# The picture that the pages show, and where a command of the demo's page draws it.
PICTURE = "demo/fitted-hat.svg"
DRAWN = "pictures/hat-stranded-band-flat.svg"
MADE_FROM_HELP = ("<!-- commands: begin -->", "<!-- commands: end -->")
CUT = "..."
_OPEN = re.compile(r"```(\S+)(.*)")
_NOT_OURS = ("FORCE_COLOR", "PY_COLORS", "GITHUB_ACTIONS", "COLORTERM", "TTY_COMPATIBLE", "TERM", "MATCHER_BIN")
# 80 columns and no colour, whatever the machine says.
ENVIRONMENT = {**dict.fromkeys(_NOT_OURS), "COLUMNS": "80", "NO_COLOR": "1"}


@dataclass(frozen=True)
class Block:
    """One fenced block. line: of its opening fence, from 1; options: name and value, in their order."""

    language: str
    options: tuple[tuple[str, str], ...]
    lines: tuple[str, ...]
    line: int

    def option(self, name: str, default: str = "") -> str:
        """The first option of that name."""
        return next((value for key, value in self.options if key == name), default)

    @property
    def text(self) -> str:
        return "".join(f"{line}\n" for line in self.lines)

    @property
    def command(self) -> str:
        """What a console block runs."""
        return self.lines[0].removeprefix("$ ") if self.lines else ""

    @property
    def exit_code(self) -> int:
        return int(self.option("exit", "0"))


def blocks(text: str) -> list[Block]:
    """Every fenced block. A fence that is never closed raises ValueError."""
    found: list[Block] = []
    lines = text.splitlines()
    number = 0
    while number < len(lines):
        opened = _OPEN.fullmatch(lines[number])
        if opened:
            try:
                end = lines.index("```", number + 1)
            except ValueError:
                raise ValueError(f"line {number + 1}: this block is never closed") from None
            options = [part.partition("=") for part in shlex.split(opened[2])]
            pairs = tuple((name, value) for name, _, value in options)
            found.append(Block(opened[1], pairs, tuple(lines[number + 1 : end]), number + 1))
            number = end
        number += 1
    return found


def page(name: str) -> str:
    """The text of a page."""
    return (ROOT / name).read_text(encoding="utf-8")


def prepare(folder: Path) -> None:
    """Put into the folder what the commands read: the demo, and the small files that the pages show."""
    shutil.copytree(ROOT / "demo", folder / "demo")
    for block in (one for name in PAGES for one in blocks(page(name))):
        if block.option("file"):
            path = folder / block.option("file")
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(block.text, encoding="utf-8")


def run(command: str, folder: Path) -> tuple[int, list[str]]:
    """Exit code and lines of a `matcher` command: stderr first, as a person sees it; blanks at line ends dropped."""
    program, *arguments = shlex.split(command)
    if program != "matcher":
        raise ValueError(f"a console block runs matcher, not {program}")
    with contextlib.chdir(folder):
        # The store lies where the commands run, not among her own files.
        environment = {**ENVIRONMENT, "XDG_DATA_HOME": str(folder.resolve())}
        done = CliRunner().invoke(app, arguments, prog_name="matcher", env=environment)
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    shown = done.stderr.strip("\r\n").splitlines() + done.stdout.rstrip("\n").splitlines()
    return done.exit_code, [line.rstrip() for line in shown]


def shape_lines(command: str, folder: Path) -> list[str]:
    """The shape of what a command prints with --json. folder: as `prepare` leaves it; stores of its own are put there."""

    def asked(*arguments: str) -> tuple[int, str]:
        done = CliRunner().invoke(app, arguments)
        return done.exit_code, done.stdout

    with pytest.MonkeyPatch.context() as patch, contextlib.chdir(folder):
        return written(shape_of(objects(command, asked, folder, patch)))


def cut(lines: list[str], block: Block) -> list[str]:
    """The lines that the block's options keep, with `...` for each run of lines left out."""
    also = [value.rpartition(":") for name, value in block.options if name == "also"]
    if not block.option("head") and not also:
        return lines
    keep = set(range(int(block.option("head", "0"))))
    for words, _, number in also:
        start = next((at for at, line in enumerate(lines) if line.strip().startswith(words)), None)
        if start is None:
            raise ValueError(f"line {block.line}: no line of the output begins with {words!r}")
        keep |= set(range(start, start + int(number)))
    shown: list[str] = []
    for at, line in enumerate(lines):
        if at in keep:
            shown.append(line)
        elif not shown or shown[-1] != CUT:
            shown.append(CUT)
    return shown


def agrees(shown: list[str], printed: list[str]) -> bool:
    """Whether the output is what the block shows; a line `...` stands for any number of lines."""
    reached = {0}  # how many printed lines the block may have used up so far
    for line in shown:
        if line == CUT:
            reached = set(range(min(reached), len(printed) + 1)) if reached else set()
        else:
            reached = {at + 1 for at in reached if at < len(printed) and printed[at] == line.rstrip()}
    return len(printed) in reached


def refreshed(name: str, write_picture: bool = False) -> str:
    """A page with the outputs of its blocks as they are now, its shapes and its commands. A changed exit code raises ValueError.

    write_picture: the picture that the pages show is copied to its place as well.
    """
    text = page(name)
    every = blocks(text)
    lines = text.splitlines()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        prepare(folder)
        shown: list[tuple[int, int, list[str]]] = []
        for block in every:
            end = block.line + len(block.lines)
            if block.language == "console":
                code, printed = run(block.command, folder)
                if code != block.exit_code:
                    said = "\n".join(printed)
                    raise ValueError(f"{name}, line {block.line}: {block.command} ended with {code}\n{said}")
                shown.append((block.line + 1, end, cut(printed, block)))
            elif block.option("keys"):
                shown.append((block.line, end, shape_lines(block.option("keys"), folder)))
        for start, end, kept in reversed(shown):
            lines[start:end] = kept
        if write_picture and (folder / DRAWN).exists():
            shutil.copyfile(folder / DRAWN, ROOT / PICTURE)
    if MADE_FROM_HELP[0] in lines:
        begin, end = (lines.index(mark) for mark in MADE_FROM_HELP)
        lines[begin + 1 : end] = ["", *reference().splitlines(), ""]
    return "".join(f"{line}\n" for line in lines)


def main(arguments: list[str]) -> int:
    old = 0
    for name in PAGES:
        new = refreshed(name, "--write" in arguments)
        if new == page(name):
            continue
        old += 1
        if "--write" in arguments:
            (ROOT / name).write_text(new, encoding="utf-8")
        print(f"{name}: {'refreshed' if '--write' in arguments else 'out of date; refresh it with --write'}.")
    if not old:
        print("All pages show what the commands print.")
    return 1 if old and "--write" not in arguments else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
