"""The reference of all commands in matcher/cli/README.md, made from what `--help` says."""

from __future__ import annotations

import re
from collections import Counter
from enum import EnumType
from typing import Any

from typer.main import get_command

from matcher.cli.commands import app

# What so many commands say of an option in the same words is told once, at the top.
SHARED = 4
Row = tuple[str, str]


def _row(option: Any) -> Row:
    """How an option or argument is spelled, and what it means."""
    metavar = option.metavar or ""
    names = [*option.opts, *option.secondary_opts] if option.param_type_name == "option" else [metavar]
    spelled = ", ".join(f"`{f'{name} {metavar}'.strip() if name != metavar else name}`" for name in names)
    words = " ".join((option.help or "").split())
    kind = option.type_descriptor.annotation
    choices = [one.value for one in kind] if isinstance(kind, EnumType) else []
    if not all(one in words for one in choices):
        words = f"{words} One of {', '.join(choices)}."
    if isinstance(option.default, int) and not isinstance(option.default, bool):
        words = f"{words} {option.default} if left out."
    return spelled.replace("|", "\\|"), words


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
        first, _, rest = command.help.partition("\n\n")
        example = re.sub(r"Example: \*\*|\*\*", "", " ".join(first.split()))
        lines += ["", f"### matcher {name}", "", " ".join(rest.split()), "", f"Example: `{example}`"]
        own = [row for row in rows[name] if row not in shared]
        if own:
            lines += ["", *_table(own)]
        also = [spelled for spelled, words in rows[name] if (spelled, words) in shared]
        if also:
            lines += ["", f"Also {', '.join(also)}."]
    return "\n".join(lines)
