"""The help page of a command: its purpose, what it takes, examples. Ours, so that it is plain, quick and 80 wide.

The words are the command's own docstring: a first paragraph that says its purpose in one line, further ones, and at the
end "Examples:" with a command a line, which runs as it is typed, in any folder.
"""

from __future__ import annotations

import re
import sys
import textwrap
from collections.abc import Iterator
from enum import EnumType
from itertools import pairwise
from typing import Any

import typer
from typer.core import TyperCommand

from matcher.cli.lines import columns
from matcher.errors import BadInput
from matcher.reasons.reason import Words, listed, reason

_SPELLED = 22  # columns that an option has for itself; a longer one stands on a line of its own

GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        "What to knit",
        ("suggest", "set", "why", "pattern", "partner", "gap", "instead", "pool", "needs", "piece", "motif"),
    ),
    ("Look at what you have", ("page", "list", "show", "reserve", "triage")),
    ("Colours and scraps", ("contrast", "palette", "photo", "lookalikes", "whose")),
    ("Take your files in, and out again", ("check", "intake", "export", "tags")),
    ("Lots and garments, day by day", ("add", "change", "weigh", "move", "split", "join", "garment", "mended")),
    ("Those you knit for, and your wishes", ("person", "wishes")),
    ("On the needles", ("begin", "row", "finish", "abandon", "swatch", "calibration")),
    ("Your own file as a whole", ("undo", "verify")),
)
"""What commands are for, in the order in which the help of the whole shows them."""


def purpose(text: str) -> str:
    """The first paragraph of a command's words, on one line."""
    return " ".join(text.split("\n\n")[0].split())


def examples(text: str) -> list[str]:
    """The commands that its words end with."""
    return [line.strip() for line in text.partition("\nExamples:")[2].splitlines() if line.strip()]


def further(text: str) -> list[str]:
    """The paragraphs between, each on one line."""
    return [" ".join(one.split()) for one in text.partition("\nExamples:")[0].split("\n\n")[1:] if one.strip()]


def spelled(option: Any) -> str:
    """How an option or an argument is typed: "--size SIZE", "--held-together / --single", "GARMENT"."""
    if option.param_type_name == "argument":
        return argument(option)
    names: str = ", ".join(sorted(option.opts, key=_is_long))
    if option.secondary_opts:
        names = f"{names} / {', '.join(option.secondary_opts)}"
    value = "" if option.is_flag else option.metavar or _choices(option) or _plain(option)
    return f"{names} {value}".rstrip()


def _is_long(name: str) -> bool:
    return name.startswith("--")


def argument(option: Any) -> str:
    """What stands for an argument: the word in its place."""
    return str(option.metavar or option.name.upper())


def _plain(option: Any) -> str:
    """A word for what is to be typed: a number, or the option's own name."""
    if _kind(option) in (int, float):
        return "N"
    longest: str = max(option.opts, key=len)
    return longest.rpartition("-")[2].upper()


def _choices(option: Any) -> str:
    """What may be chosen from, "little|usual|all"; "" where that is open."""
    kind = _kind(option)
    return "|".join(kind) if isinstance(kind, EnumType) else "|".join(getattr(kind, "choices", ()))


def _kind(option: Any) -> Any:
    """What an option holds: a type of Python, or what Typer made of it before it kept that itself."""
    if hasattr(option, "type_descriptor"):
        return option.type_descriptor.annotation
    return {"integer": int, "float": float}.get(option.type.name, option.type)


def _refused(fault: typer.BadParameter) -> BadInput | None:
    """That an option can't hold what was typed; None where what it holds is open."""
    option: Any = fault.param
    if option is None:
        return None
    kind = _kind(option)
    typed = _typed(fault)
    where = argument(option) if option.param_type_name == "argument" else max(option.opts, key=len)
    if kind is int:
        return BadInput(
            reason("{typed} isn't a whole number", typed=typed), where, reason("give one in figures, such as 12")
        )
    if kind is float:
        return BadInput(
            reason("{typed} isn't a number", typed=typed), where, reason("give one in figures, such as 0.9 or 12")
        )
    if choices := _choices(option):
        todo = reason("give {choices}", choices=listed(choices.split("|"), "or"))
        return BadInput(reason("{typed} isn't one of the choices", typed=typed), where, todo)
    return None


def _typed(fault: typer.BadParameter) -> Words:
    """What was typed, in quotes: the fault names it, or else the reader of values beneath it keeps it."""
    if named := re.search(r"""(['"])(.*)\1(?= is not )""", fault.message):
        return f'"{named[2]}"'
    found: Any = getattr(fault.__cause__, "errors", list)()
    return f'"{found[0]["input"]}"' if found else reason("this")


def means(option: Any) -> str:
    """What an option means, and what holds when it is left out."""
    if option.name == "help":
        return "Show this page."
    words = " ".join((option.help or "").split())
    default = option.default
    if default is None or isinstance(default, bool | list | tuple) or default == "" or "left out" in words:
        return words
    return f"{words} If left out: {default}."


def usage(name: str, params: list[Any]) -> str:
    """The line that shows how a command is typed; what may be left out stands in brackets."""
    places = [one for one in params if one.param_type_name == "argument"]
    words = [
        argument(one) if one.required else " ".join(f"[{word}]" for word in argument(one).split()) for one in places
    ]
    needed = [spelled(one) for one in params if one.param_type_name == "option" and one.required]
    return _wrapped(" ".join(["Usage:", name, *words, *needed, "[options]"]), 4)


def page(name: str, params: list[Any], text: str) -> str:
    """The help page of one command."""
    blocks = [usage(name, params)]
    blocks += [_wrapped(one) for one in (purpose(text), *further(text))]
    shown = sorted((one for one in params if not one.hidden), key=lambda one: one.param_type_name)
    blocks.append("\n".join(line for one in shown for line in _row(spelled(one), means(one))))
    typed = examples(text)
    if typed:
        blocks.append("\n".join(["Example:" if len(typed) == 1 else "Examples:", *(f"  {one}" for one in typed)]))
    return "\n\n".join(blocks) + "\n"


def whole(text: str, params: list[Any], commands: dict[str, Any]) -> str:
    """The help page of the program: all commands, by what they are for."""
    blocks = ["Usage: matcher COMMAND ..."]
    blocks += [_wrapped(one) for one in (purpose(text), *further(text))]
    wide = max(map(len, commands)) + 2
    for title, names in grouped(commands):
        rows = (line for name in names for line in _row(name, purpose(commands[name].help or ""), wide))
        blocks.append("\n".join([f"{title}:", *rows]))
    blocks.append("\n".join(line for one in params for line in _row(spelled(one), means(one))))
    blocks.append("\n".join(["Examples:", *(f"  {one}" for one in examples(text))]))
    return "\n\n".join(blocks) + "\n"


def grouped(commands: dict[str, Any]) -> Iterator[tuple[str, list[str]]]:
    """Each group with its commands that are there; what no group names comes last."""
    named = [name for _, names in GROUPS for name in names]
    for title, names in (*GROUPS, ("More", tuple(name for name in commands if name not in named))):
        there = [name for name in names if name in commands]
        if there:
            yield title, there


def _row(left: str, right: str, wide: int = _SPELLED) -> list[str]:
    """Two columns, the second wrapped; a first that is too long stands above."""
    lines = textwrap.wrap(right, columns(sys.stdout) - wide - 2, break_on_hyphens=False) or [""]
    if len(left) > wide - 2:
        before, rest = [f"  {left}"], lines
    else:
        before, rest = [f"  {left:<{wide}}{lines[0]}".rstrip()], lines[1:]
    return [*before, *(f"{'':{wide + 2}}{line}" for line in rest)]


def _wrapped(text: str, indent: int = 0) -> str:
    return textwrap.fill(text, columns(sys.stdout), subsequent_indent=" " * indent, break_on_hyphens=False)


class Explained(TyperCommand):
    """A command whose help is our page."""

    def format_help(self, ctx: Any, formatter: Any) -> None:
        """Write the page."""
        formatter.write(page(f"matcher {self.name}", self.get_params(ctx), self.help or ""))

    def format_usage(self, ctx: Any, formatter: Any) -> None:
        """The line that a usage error begins with."""
        formatter.write(usage(f"matcher {self.name}", self.get_params(ctx)) + "\n")

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Read what was typed. Raises BadInput for a value that an option can't hold, in our own words."""
        try:
            read: list[str] = super().parse_args(ctx, list(self._filled(self._with_bin(args))))
            return read
        except typer.BadParameter as fault:
            # What is left out is of a class below that one, and said well enough.
            refused = _refused(fault) if type(fault) is typer.BadParameter else None
            if refused is None:
                raise
            raise refused from None

    def _with_bin(self, args: list[str]) -> list[str]:
        """The same with a bin where this command takes it.

        Commands that are about nothing else take it bare, others as --bin: whoever knows the one tries it in the other.
        """
        bare = " ".join(str(one.metavar) for one in self.params if one.param_type_name == "argument").split()
        if any("--bin" in one.opts for one in self.params):
            alone = not bare and args and not args[0].startswith("-")
            return ["--bin", *args] if alone else args
        if not any(one.strip("[]") == "BIN" for one in bare):
            return args
        last = bare[0].strip("[]") != "BIN"
        for at, text in enumerate(args):
            option, equals, named = text.partition("=")
            if option == "--bin" and (equals or at + 1 < len(args)):
                rest = [*args[:at], *args[at + (1 if equals else 2) :]]
                named = named if equals else args[at + 1]
                return [*rest, named] if last else [named, *rest]
        return args

    def _filled(self, args: list[str]) -> Iterator[str]:
        """The same with "" for a value that may be left out, which stands in brackets."""
        alone = {name for one in self.params if str(one.metavar).startswith("[") for name in one.opts}
        for one, after in pairwise([*args, "--"]):
            yield one
            if one in alone and after.startswith("--"):
                yield ""
