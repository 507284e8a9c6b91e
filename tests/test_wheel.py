"""The built wheel is what people install: it must carry the catalogue and the demo, and work far from the repository.

An editable checkout finds both folders beside the package, so that every other test would pass with a wheel that lacks
them. The wheel is installed into an environment of its own; the libraries it needs are lent by the present one, which
saves downloading them again. The lending environment may hold an editable install of the project; its hook is not
read there (a `.pth` file lends one folder, not that folder's own `.pth` files).
"""

from __future__ import annotations

import importlib.util
import json
import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    # Without the build tool at hand, pip fetches it.
    at_hand = ["--no-build-isolation"] if importlib.util.find_spec("hatchling") else []
    command = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", *at_hand, "-w", str(folder), str(ROOT)]
    built = subprocess.run(command, capture_output=True, text=True, cwd=folder)
    assert built.returncode == 0, built.stderr
    (found,) = folder.glob("*.whl")
    return found


@pytest.fixture(scope="module")
def place(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An environment with the wheel in it."""
    place = tmp_path_factory.mktemp("place")
    venv.create(place, with_pip=False)
    inside = sysconfig.get_paths("venv", {"base": str(place), "platbase": str(place)})
    Path(inside["purelib"], "lent.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    into = [sys.executable, "-m", "pip", "--python", str(python_of(place)), "install", "--quiet"]
    command = [*into, "--no-deps", "--no-index", "--ignore-installed", str(wheel)]
    done = subprocess.run(command, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return place


def python_of(place: Path) -> Path:
    return place / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def run(place: Path, *command: str, cwd: Path) -> str:
    clean = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    done = subprocess.run(command, capture_output=True, text=True, cwd=cwd, env=clean, encoding="utf-8")
    assert done.returncode == 0, done.stderr
    return done.stdout


def shipped(folder: str) -> set[str]:
    return {path.relative_to(ROOT).as_posix() for path in (ROOT / folder).rglob("*") if path.is_file()}


def test_the_wheel_holds_the_package_the_catalogue_and_the_demo(wheel: Path):
    with zipfile.ZipFile(wheel) as opened:
        names = set(opened.namelist())
    assert {f"matcher/data/{name}" for name in shipped("catalog") | shipped("demo")} <= names
    sources = {name for name in shipped("matcher") if "__pycache__" not in name}
    assert sources <= names
    assert not any(name.startswith(("tests/", ".venv/", "demo/", "catalog/")) for name in names)
    assert any(name.endswith("licenses/LICENSE") for name in names)


def test_it_is_the_wheel_that_runs(place: Path, tmp_path: Path):
    code = """
import json, sys, matcher
from matcher.store.catalogue.folders import catalogue_folder, demo_folder
places = {"package": matcher.__file__, "catalogue": str(catalogue_folder()), "demo": str(demo_folder())}
print(json.dumps({**places, "path": sys.path}))
"""
    found = json.loads(run(place, str(python_of(place)), "-c", code, cwd=tmp_path))
    inside = place.resolve()
    for name in ("package", "catalogue", "demo"):
        assert Path(found[name]).resolve().is_relative_to(inside), name
    assert str(ROOT) not in found["path"]


def test_the_main_job_runs_from_the_wheel(place: Path, tmp_path: Path):
    """The same demo and the same catalogue as in the repository, hence the same suggestions."""
    import matcher
    from matcher.cli.words import COMMAND_LINE

    command = place / ("Scripts/matcher.exe" if os.name == "nt" else "bin/matcher")
    found = json.loads(run(place, str(command), "suggest", "demo", "--json", cwd=tmp_path))  # of no folder here
    assert found == json.loads(json.dumps(matcher.suggest().as_dict(), default=COMMAND_LINE.say))
    assert len(found["suggestions"]) == 10


def test_a_bin_of_her_own_runs_from_the_wheel(place: Path, tmp_path: Path):
    (tmp_path / "lots.csv").write_text("lot,grams,colour,class\nmoss,100,moss green,4\n", encoding="utf-8")
    command = place / ("Scripts/matcher.exe" if os.name == "nt" else "bin/matcher")
    shown = run(place, str(command), "check", ".", cwd=tmp_path)
    assert shown.startswith("1 lot")
    assert "moss" in run(place, str(command), "suggest", ".", cwd=tmp_path)
