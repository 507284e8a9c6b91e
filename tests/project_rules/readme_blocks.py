"""The blocks of README.md: what they show, how they are run, and how their outputs are refreshed.

    python tests/project_rules/readme_blocks.py           says which outputs are out of date; ends with 1 if any
    python tests/project_rules/readme_blocks.py --write   refreshes them

A block opens with three backticks, its language and its options, for example `console head=12 exit=1`:

console     one line `$ command`, then what it prints (stderr before stdout). A line `...` stands for lines left out.
            head=N keeps the first N lines; also="WORDS:N" keeps N lines more, from the first one that begins with
            WORDS; both may be left out (the whole output), and `also` may be repeated. exit=N is the exit code, else 0.
csv, toml   with file=PATH: a small file that the commands read; it is written before they run.
python      is run as it stands.
text        with keys=COMMAND: the JSON keys of that command.
sh          one command to paste, under a comment that names it (see COMMANDS).
"""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
# The two lines to paste on a machine with nothing but Python. `.ci/run` takes the second out of the README.
COMMANDS = {
    "<!-- command: demo -->": "python3 -m venv .venv && .venv/bin/pip install -q . && .venv/bin/matcher suggest",
    "<!-- command: tests -->": (
        "python3 -m venv .venv && .venv/bin/pip install -q -e '.[dev]' && .venv/bin/python -m pytest -n auto --dist loadfile"
    ),
}
# The picture that the README shows, and where a command of the README draws it.
PICTURE = "demo/fitted-hat.svg"
DRAWN = "pictures/hat-stranded-band-flat.svg"
CUT = "..."
_OPEN = re.compile(r"```(\S+)(.*)")
# The program as it is installed beside this Python, under its own name.
_RUN = [sys.executable, "-c", "import sys; sys.argv[0] = 'matcher'; from matcher.cli.main import main; main()"]
_NOT_OURS = ("FORCE_COLOR", "PY_COLORS", "GITHUB_ACTIONS", "COLORTERM", "TTY_COMPATIBLE", "TERM", "PYTHONPATH")


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


def prepare(folder: Path, every: list[Block]) -> None:
    """Put into the folder what the commands read: the demo, and the small files that the README shows."""
    shutil.copytree(ROOT / "demo", folder / "demo")
    for block in every:
        if block.option("file"):
            path = folder / block.option("file")
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(block.text, encoding="utf-8")


def clean_environment() -> dict[str, str]:
    """80 columns, no colour, UTF-8, whatever the machine says."""
    kept = {name: value for name, value in os.environ.items() if name not in _NOT_OURS}
    # The store of the README lies where its commands run, not among her own files.
    return {**kept, "COLUMNS": "80", "NO_COLOR": "1", "PYTHONUTF8": "1", "MATCHER_BIN": "my-bin.sqlite"}


def run(command: str, folder: Path) -> tuple[int, list[str]]:
    """Exit code and lines of a `matcher` command: stderr first, as a person sees it; blanks at line ends dropped."""
    program, *arguments = shlex.split(command)
    if program != "matcher":
        raise ValueError(f"a console block runs matcher, not {program}")
    done = subprocess.run(
        [*_RUN, *arguments],
        capture_output=True,
        stdin=subprocess.DEVNULL,
        text=True,
        encoding="utf-8",
        cwd=folder,
        env=clean_environment(),
    )
    shown = done.stderr.strip("\r\n").splitlines() + done.stdout.rstrip("\n").splitlines()
    return done.returncode, [line.rstrip() for line in shown]


def cut(lines: list[str], block: Block) -> list[str]:
    """The lines that the block's options keep, with `...` for each run of lines left out."""
    also = [value.rpartition(":") for name, value in block.options if name == "also"]
    if not block.option("head") and not also:
        return lines
    keep = set(range(int(block.option("head", "0"))))
    for words, _, number in also:
        start = next((at for at, line in enumerate(lines) if line.strip().startswith(words)), None)
        if start is None:
            raise ValueError(f"line {block.line} of the README: no line of the output begins with {words!r}")
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


def refreshed(text: str, write_picture: bool = False) -> str:
    """The README with the outputs of its console blocks as they are now, run in their order: later ones build on earlier.

    A changed exit code raises ValueError. write_picture: the picture that it shows is copied to its place as well.
    """
    every = blocks(text)
    lines = text.splitlines()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        prepare(folder, every)
        shown: list[tuple[Block, list[str]]] = []
        for block in every:
            if block.language != "console":
                continue
            code, printed = run(block.command, folder)
            if code != block.exit_code:
                said = "\n".join(printed)
                raise ValueError(f"line {block.line}: {block.command} ended with {code}, not {block.exit_code}\n{said}")
            shown.append((block, cut(printed, block)))
        for block, kept in reversed(shown):
            lines[block.line + 1 : block.line + len(block.lines)] = kept
        if write_picture:
            shutil.copyfile(folder / DRAWN, ROOT / PICTURE)
    return "".join(f"{line}\n" for line in lines)


def main(arguments: list[str]) -> int:
    old = README.read_text(encoding="utf-8")
    new = refreshed(old, "--write" in arguments)
    if new == old:
        print("README.md shows what the commands print.")
        return 0
    if "--write" in arguments:
        README.write_text(new, encoding="utf-8")
        print("README.md: outputs refreshed.")
        return 0
    print("README.md shows other output than the commands print; refresh it with --write.")
    return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
