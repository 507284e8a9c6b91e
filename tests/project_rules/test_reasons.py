"""Below the faces nothing is put into words: no sentence with a figure in it, no option of a command; and this is tested itself."""

from __future__ import annotations

import ast
import re
import string
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
import typer

import matcher
from matcher.cli.commands import app
from matcher.cli.words import option

PACKAGE = Path(matcher.__file__).parent
FACES = {"cli", "web"}
OWN_WORDS = {"reasons"}  # where quantities get their units
MAKERS = {"reason": 1, "counted": 2}  # how many templates each takes, after the number for `counted`
_SENTENCE = re.compile(r"[A-Za-z]{2,} [A-Za-z]{2,}")
_UNIT = re.compile(r"^ (m|g|cm|mm|yd|oz|in|tex)\b|^ ?%")
_OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]*[a-z]")
_STYLE_SHEET = re.compile(r"^[a-z-]+: ")
_SQL = re.compile(r"^\s*(SELECT|INSERT|UPDATE|DELETE|CREATE|DROP|ALTER|PRAGMA|BEGIN|ATTACH)\b")
# Errors that only a programmer meets.
_OURS = {"ValueError", "TypeError", "KeyError", "AttributeError", "RuntimeError", "LookupError", "Unfit"}


# Text that a file holds, not a person reads.
AS_A_SHEET_WRITES_IT = {
    "materials/colours/colour.py": "{code} {percent}%",
}


@cache
def below_the_faces(package: Path) -> list[tuple[str, ast.Module]]:
    """Every module below the faces, by its place, and what it says."""
    return [
        (path.relative_to(package).as_posix(), ast.parse(path.read_text(encoding="utf-8")))
        for path in sorted(package.rglob("*.py"))
        if path.relative_to(package).parts[0] not in FACES | OWN_WORDS
    ]


def _walk(node: ast.AST) -> Iterator[ast.AST]:
    """All nodes but docstrings and what only a programmer reads."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant):
            continue
        if isinstance(child, ast.Call) and isinstance(child.func, ast.Name) and child.func.id in _OURS:
            continue
        yield child
        yield from _walk(child)


def _maker(node: ast.AST) -> str:
    return node.func.id if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) else ""


def offences(package: Path) -> list[str]:
    """Everything that is put into words too early, each as one line."""
    found = []
    for place, tree in below_the_faces(package):
        for node in _walk(tree):
            line = f"{place}:{getattr(node, 'lineno', 0)}"
            if isinstance(node, ast.JoinedStr):
                texts = [part.value for part in node.values if isinstance(part, ast.Constant)]
                figures = any(isinstance(part, ast.FormattedValue) for part in node.values)
                ours = "<" in "".join(texts) or _SQL.match("".join(texts)) or _STYLE_SHEET.match("".join(texts))
                worded = any(_SENTENCE.search(text) or _UNIT.search(text) for text in texts)
                if figures and not ours and worded and AS_A_SHEET_WRITES_IT.get(place, "?") not in ast.unparse(node):
                    found.append(f"{line}: a finished sentence: {ast.unparse(node)[:60]}")
            elif isinstance(node, ast.Constant) and isinstance(node.value, str) and _OPTION.search(node.value):
                if "<" not in node.value:
                    found.append(f"{line}: names an option: {node.value[:60]!r}")
            elif _maker(node) in MAKERS:
                found += [f"{line}: {wrong}" for wrong in _wrong_in(node)]
    return found


def _wrong_in(call: ast.Call) -> Iterator[str]:
    number = MAKERS[_maker(call)]
    templates = call.args[number - 1 :]
    given = {keyword.arg for keyword in call.keywords}
    if None in given:  # values come in a mapping: only what is filled in then can tell
        return
    wanted: set[str] = set()
    for template in templates:
        branches = [template.body, template.orelse] if isinstance(template, ast.IfExp) else [template]
        for one in branches:
            if isinstance(one, ast.Name | ast.Attribute | ast.Subscript):
                return  # a text with a name, or one of a table
            if not (isinstance(one, ast.Constant) and isinstance(one.value, str)):
                yield "a template that is put together, so that nobody can translate it"
                return
            wanted |= {name for _, name, _, _ in string.Formatter().parse(one.value) if name is not None}
    missing = wanted - given - ({"n"} if _maker(call) == "counted" else set())
    if missing:
        yield f"{', '.join(sorted(missing))} is in the template and not given"
    if given - wanted:
        yield f"{', '.join(sorted(given - wanted))} is given and not in the template"


def fields(package: Path) -> dict[str, str]:
    """Each field that is named, and where."""
    return {
        node.args[0].value: f"{place}:{node.lineno}"
        for place, tree in below_the_faces(package)
        for node in ast.walk(tree)
        if _maker(node) == "Field" and node.args and isinstance(node.args[0], ast.Constant)
    }


def test_nothing_is_put_into_words_below_the_faces():
    assert offences(PACKAGE) == []


def test_every_field_is_an_option_or_an_argument_of_some_command():
    command = typer.main.get_command(app)
    # Files and pictures are named by what is given, not by one option; an aim is one of several.
    known = {"the files", "the picture", "the aim"} | {
        word
        for one in command.commands.values()
        for parameter in one.params
        for word in [*parameter.opts, *parameter.secondary_opts, (parameter.metavar or "").strip("[]")]
    }
    named = fields(PACKAGE)
    assert len(named) > 20
    assert {name: where for name, where in named.items() if option(name) not in known} == {}


PLANTED = [
    ("matching/x.py", 'x = f"{lot} is too thin"', "a finished sentence"),
    ("actions/x.py", 'def f(a):\n    return f"{a:.0f} m"', "a finished sentence"),
    ("actions/x.py", 'def f(a):\n    return f"{a:.0f}% of it"', "a finished sentence"),
    ("knitting/x.py", 'raise BadInput(f"{a} is no gauge", "swatch")', "a finished sentence"),
    ("materials/x.py", 'raise BadInput("none", "--white")', "names an option"),
    ("store/x.py", 'x = "name it with --lot"', "names an option"),
    ("matching/x.py", 'x = reason("{lot} " + more, lot=a)', "nobody can translate"),
    ("matching/x.py", 'x = reason(f"{lot}", lot=a)', "nobody can translate"),
    ("matching/x.py", 'x = reason("{lot} of {box}", lot=a)', "box is in the template"),
    ("matching/x.py", 'x = reason("{lot}", lot=a, box=b)', "box is given"),
    ("matching/x.py", 'x = counted(n, "{n} round", "{n} rounds of {lot}")', "lot is in the template"),
]


@pytest.mark.parametrize(("file", "source", "expected"), PLANTED, ids=[one[1] for one in PLANTED])
def test_a_planted_offence_is_caught(tmp_path: Path, file: str, source: str, expected: str):
    path = tmp_path / file
    path.parent.mkdir(parents=True)
    path.write_text(source, encoding="utf-8")
    (found,) = offences(tmp_path)
    assert expected in found
    assert found.startswith(file)


def test_what_is_allowed_is_not_called_an_offence(tmp_path: Path):
    allowed = {
        "cli/x.py": 'x = f"{lot} is too thin, say --lot"',
        "matching/x.py": '"""Uses --lot."""\nraise ValueError(f"no class {number} here")\nx = f"{a}; {b}"\ny = f"{a}-{b}.csv"',
        "store/x.py": 'x = f"SELECT {column} FROM lots WHERE {column} = ?"',
        "drawing/x.py": 'x = f\'<path d="{d}" class="big stitch"/>\'',
        "actions/x.py": 'x = reason("{lot} of {box}", lot=a, box=b)\ny = counted(n, "{n} round", "{n} rounds")',
    }
    for file, source in allowed.items():
        path = tmp_path / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(source, encoding="utf-8")
    assert offences(tmp_path) == []
