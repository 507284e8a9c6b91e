"""Imports run downwards only, heavy libraries load late, files stay short; and the test of this is itself tested.

The rules are those of DEVELOPERS.md:
cli -> web -> actions -> store, drawing -> matching -> knitting, photographs -> materials -> errors -> reasons; store uses neither
matching nor drawing, and neither of them uses store.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import matcher

PACKAGE = Path(matcher.__file__).parent
# What each room may use besides itself. A room that is not named here is an offence.
_SHARED = ("materials", "errors", "reasons")
BELOW = {
    "reasons": (),
    "errors": ("reasons",),
    "materials": ("errors", "reasons"),
    "photographs": _SHARED,
    "knitting": _SHARED,
    "matching": ("knitting", *_SHARED),
    "store": ("knitting", "photographs", *_SHARED),
    "drawing": ("matching", "knitting", "photographs", *_SHARED),
    "actions": ("drawing", "store", "matching", "knitting", "photographs", *_SHARED),
    "cli": ("web", "actions", "drawing", "store", "matching", "knitting", "photographs", *_SHARED),
    "__main__": {"cli"},  # python -m matcher
    "web": ("actions", "drawing", "store", "matching", "knitting", "photographs", *_SHARED),
    "": (),  # the package's own __init__: lazy names only
}
ONLY_IN = {"colormath": "materials/colours/difference.py"}
NOWHERE = ("click",)
LATE = (
    "pandas",
    "dask",
    "distributed",
    "sklearn",
    "threadpoolctl",
    "openpyxl",
    "scipy",
    "colormath",
    "PIL",
    "odf",
    "segno",
    "pillow_heif",
    "python_calamine",
)
MOST_LINES = 400


class Import:
    """One import: the full name of what is imported, its line, and when it happens."""

    def __init__(self, name: str, line: int, at_top: bool, for_types: bool) -> None:
        self.name, self.line, self.at_top, self.for_types = name, line, at_top, for_types


@cache
def imports(source: str, module: str, is_package: bool) -> tuple[Import, ...]:
    """Every import of a module, wherever it stands. `module` is its dotted name."""

    def walk(node: ast.AST, at_top: bool, for_types: bool) -> Iterator[Import]:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.Import):
                for one in child.names:
                    yield Import(one.name, child.lineno, at_top, for_types)
            elif isinstance(child, ast.ImportFrom):
                base = child.module or ""
                if child.level:
                    parts = module.split(".")
                    parts = parts[: len(parts) - child.level + is_package]
                    base = ".".join([*parts, *([child.module] if child.module else [])])
                for one in child.names:
                    yield Import(f"{base}.{one.name}", child.lineno, at_top, for_types)
            else:
                function = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
                types = isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test)
                yield from walk(child, at_top and not function, for_types or types)

    return tuple(walk(ast.parse(source), True, False))


def modules(package: Path) -> list[Path]:
    """Every module of a package, found by walking its folders one by one."""
    found = []
    for entry in sorted(package.iterdir()):
        if entry.is_dir():
            found += modules(entry)
        elif entry.suffix == ".py":
            found.append(entry)
    return found


def room_of(dotted: str) -> str:
    """The room of a full name such as matcher.materials.colours.colour.Colour; "" for the package itself."""
    parts = dotted.split(".")
    return parts[1] if len(parts) > 1 else ""


def offences(package: Path) -> list[str]:
    """Everything in a package that breaks a rule, each as one line."""
    found = []
    for path in modules(package):
        file = path.relative_to(package).as_posix()
        is_package = path.name == "__init__.py"
        inside = path.relative_to(package).with_suffix("").parts[: -1 if is_package else None]
        room = inside[0] if inside else ""
        source = path.read_text(encoding="utf-8")
        if room not in BELOW:
            found.append(f"{file}: a room that no rule knows")
            continue
        if len(source.splitlines()) > MOST_LINES:
            found.append(f"{file}: longer than {MOST_LINES} lines")
        for one in imports(source, ".".join(["matcher", *inside]), is_package):
            where, top = f"{file}:{one.line}", one.name.split(".")[0]
            if top == "matcher":
                other = room_of(one.name)
                if room == "" and one.for_types:
                    continue
                if other != room and other not in BELOW[room]:
                    found.append(f"{where}: {room or '__init__'} imports {other or 'the package itself'}")
            elif top in NOWHERE:
                found.append(f"{where}: {top} is imported nowhere")
            elif top in ONLY_IN and file != ONLY_IN[top]:
                found.append(f"{where}: only {ONLY_IN[top]} knows {top}")
            elif top in LATE and one.at_top and not one.for_types:
                found.append(f"{where}: {top} is imported at the top")
            elif top in ("importlib", "runpy") and room != "" and not one.name.startswith("importlib.metadata"):
                found.append(f"{where}: {one.name} hides an import")
        if room != "" and "__import__(" in source:
            found.append(f"{file}: __import__ hides an import")
    return found


def uses(package: Path) -> dict[str, set[str]]:
    """Which modules each module imports, wherever in it, by their names in the package: "store/files"."""
    files = {
        ".".join(["matcher", *path.relative_to(package).with_suffix("").parts]).removesuffix(".__init__"): path
        for path in modules(package)
    }

    def place(module: str) -> str:
        return files[module].relative_to(package).with_suffix("").as_posix()

    found: dict[str, set[str]] = {}
    for module, path in files.items():
        used = found.setdefault(place(module), set())
        for one in imports(path.read_text(encoding="utf-8"), module, path.name == "__init__.py"):
            name = one.name if one.name.split(".")[0] == "matcher" else ""
            while name and name not in files:
                name = name.rpartition(".")[0]
            if name not in ("", "matcher", module):
                used.add(place(name))
    return found


def circle(graph: dict[str, set[str]]) -> list[str]:
    """Places that lead back to the first of them; none where there is no circle."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def between_rooms(graph: dict[str, set[str]]) -> list[dict[str, set[str]]]:
    """For each room, which of the rooms inside it use which."""
    found: dict[str, dict[str, set[str]]] = {}
    for place, used in graph.items():
        for other in used:
            mine, theirs = place.split("/"), other.split("/")
            same = next((at for at, (a, b) in enumerate(zip(mine, theirs, strict=False)) if a != b), None)
            if same is not None and same < min(len(mine), len(theirs)) - 1:
                inside = found.setdefault("/".join(mine[:same]), {})
                inside.setdefault(mine[same], set()).add(theirs[same])
    return list(found.values())


def test_the_project_keeps_its_layers():
    assert offences(PACKAGE) == []


def test_no_file_leads_back_to_itself():
    graph = uses(PACKAGE)
    assert sum(map(len, graph.values())) > 500
    assert circle(graph) == []


def test_no_room_leads_back_to_itself():
    inside = between_rooms(uses(PACKAGE))
    assert len(inside) > 3
    assert [circle(one) for one in inside if circle(one)] == []


def test_planted_circles_are_caught(tmp_path: Path):
    planted = {
        "store/a.py": "def late():\n    from matcher.store.b import x\n",
        "store/b.py": "from . import c\n",
        "store/c.py": "if TYPE_CHECKING:\n    from matcher.store import a\n",
        "store/d.py": "from matcher.store.a import x\n",
        "store/left/x.py": "from matcher.store.right.x import y\n",
        "store/right/x.py": "",
        "store/right/y.py": "from matcher.store.left.y import x\n",
        "store/left/y.py": "",
    }
    for file, source in planted.items():
        path = tmp_path / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(source, encoding="utf-8")
    graph = uses(tmp_path)
    assert set(circle(graph)) == {"store/a", "store/b", "store/c"}
    assert [set(circle(one)) for one in between_rooms(graph)] == [{"left", "right"}]


def test_every_module_is_seen():
    """A guard that looks at a folder which is gone can never fail."""
    seen = modules(PACKAGE)
    assert sorted(seen) == sorted(PACKAGE.rglob("*.py"))
    assert len(seen) > 50
    rooms = {path.relative_to(PACKAGE).parts[0] for path in seen if path.parent != PACKAGE}
    assert {"materials", "knitting", "matching", "store", "actions", "cli"} <= rooms
    assert rooms <= set(BELOW)
    assert (PACKAGE / ONLY_IN["colormath"]).is_file()


def test_the_imports_of_a_real_module_are_all_read():
    """The reader of imports sees what stands in the file, at the top and in functions."""
    path = PACKAGE / "materials" / "colours" / "difference.py"
    found = list(imports(path.read_text(encoding="utf-8"), "matcher.materials.colours.difference", False))
    assert any(one.name.startswith("colormath.") and not one.at_top for one in found)
    assert any(one.name == "numpy" and one.at_top for one in found)


PLANTED = [
    ("materials/x.py", "from matcher.knitting.fabric import Gauge", "materials imports knitting"),
    ("materials/x.py", "import matcher.store.sheets.read", "materials imports store"),
    ("errors.py", "from matcher.materials.reading.units import parse_cm", "errors imports materials"),
    ("knitting/x.py", "from matcher.matching import search", "knitting imports matching"),
    ("matching/x.py", "from matcher.store.catalogue.catalogue import load_catalogue", "matching imports store"),
    ("matching/x.py", "from ..store.catalogue import load_catalogue", "matching imports store"),
    ("matching/x.py", "from .. import store", "matching imports store"),
    ("matching/x.py", "def late():\n    from matcher.store import sheets", "matching imports store"),
    ("matching/x.py", "if TYPE_CHECKING:\n    from matcher.store import sheets", "matching imports store"),
    ("store/x.py", "from matcher.matching.pools import Pool", "store imports matching"),
    ("store/deep/x.py", "from ...matching.pools import Pool", "store imports matching"),
    ("store/x.py", "from matcher.actions import check", "store imports actions"),
    ("actions/x.py", "from matcher.cli import show", "actions imports cli"),
    ("cli/x.py", "from matcher import suggest", "cli imports suggest"),
    ("cli/x.py", "import matcher", "cli imports the package itself"),
    ("__init__.py", "from matcher.actions.ranking.suggest import suggest", "__init__ imports actions"),
    ("kitchen/x.py", "x = 1", "a room that no rule knows"),
    ("materials/x.py", "import colormath.color_diff", "only materials/colours/difference.py knows colormath"),
    ("materials/colours/difference.py", "from colormath import color_diff_matrix", "colormath is imported at the top"),
    ("cli/x.py", "import click", "click is imported nowhere"),
    ("cli/x.py", "def late():\n    from click.exceptions import UsageError", "click is imported nowhere"),
    ("actions/x.py", "import pandas as pd", "pandas is imported at the top"),
    (
        "actions/x.py",
        "try:\n    import sklearn.cluster\nexcept ImportError:\n    pass",
        "sklearn is imported at the top",
    ),
    ("matching/x.py", "class Late:\n    from scipy.special import ndtr", "scipy is imported at the top"),
    ("store/x.py", "from openpyxl import load_workbook", "openpyxl is imported at the top"),
    ("store/x.py", "from importlib import import_module", "hides an import"),
    ("store/x.py", "x = __import__('matcher.matching')", "hides an import"),
    ("cli/x.py", "x = 1\n" * 401, "longer than 400 lines"),
]


@pytest.mark.parametrize(("file", "source", "expected"), PLANTED, ids=[f"{one[0]} {one[2]}" for one in PLANTED])
def test_a_planted_offence_is_caught(tmp_path: Path, file: str, source: str, expected: str):
    planted = tmp_path / "matcher" / file
    planted.parent.mkdir(parents=True)
    planted.write_text(f"{source}\n", encoding="utf-8")
    (found,) = offences(tmp_path / "matcher")
    assert expected in found
    assert found.startswith(file)


def test_what_is_allowed_is_not_called_an_offence(tmp_path: Path):
    allowed = {
        "__init__.py": "if TYPE_CHECKING:\n    from matcher.actions.x import suggest\n",
        "materials/x.py": "import numpy\nfrom matcher.errors import Fault\nfrom .y import z\n",
        "matching/x.py": "def late():\n    from scipy.special import ndtr\nfrom matcher.knitting import fabric\n",
        "actions/x.py": "if TYPE_CHECKING:\n    import pandas as pd\nfrom importlib.metadata import version\n",
        "cli/x.py": "import typer\nfrom matcher.materials.reading.units import parse_cm\n" + "x = 1\n" * 398,
    }
    for file, source in allowed.items():
        path = tmp_path / "matcher" / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(source, encoding="utf-8")
    assert offences(tmp_path / "matcher") == []
