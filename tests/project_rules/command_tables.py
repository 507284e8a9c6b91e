"""The reference of all commands in matcher/cli/README.md, made from what `--help` says."""

from __future__ import annotations

from collections import Counter
from typing import Any

from typer.main import get_command

from matcher.cli import help
from matcher.cli.commands import app

# What so many commands say of an option in the same words is told once, at the top.
SHARED = 4
Row = tuple[str, str]


def _row(option: Any) -> Row:
    """How an option or argument is spelled, and what it means."""
    return f"`{help.spelled(option)}`".replace("|", "\\|"), help.means(option)


def _table(rows: list[Row]) -> list[str]:
    return ["| | |", "|---|---|", *(f"| {spelled} | {words} |" for spelled, words in rows)]


def reference() -> str:
    """Every command with its example, its words and its options, as Markdown."""
    commands = get_command(app).commands
    rows = {name: [_row(one) for one in command.params if one.name != "help"] for name, command in commands.items()}
    times = Counter(row for of_one in rows.values() for row in of_one)
    shared = [row for row, number in times.items() if number >= SHARED]
    lines = ["Options of many commands:", "", *_table(shared)]
    for name, command in sorted(commands.items()):
        lines += ["", f"### matcher {name}", "", help.purpose(command.help)]
        lines += [line for one in help.further(command.help) for line in ("", one)]
        typed = ", then ".join(f"`{one}`" for one in help.examples(command.help))
        lines += ["", f"Example: {typed}"]
        own = [row for row in rows[name] if row not in shared]
        if own:
            lines += ["", *_table(own)]
        also = [spelled for spelled, words in rows[name] if (spelled, words) in shared]
        if also:
            lines += ["", f"Also {', '.join(also)}."]
    return "\n".join(lines)
