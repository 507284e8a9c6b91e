"""A bin that the page is to show is there, or is a store that it begins: a name that is misspelt opens nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from matcher.web import run as server


@pytest.fixture
def served(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """What would be served."""
    asked: list[object] = []
    monkeypatch.setattr(server, "serve", lambda bin, **_: asked.append(bin))
    return asked


def test_a_misspelt_bin_opens_no_page(tmp_path: Path, run, served: list[object]):
    (tmp_path / "stash.xlsx").write_bytes(b"x")
    for more in ((), ("--starter", "--out", tmp_path)):
        shown = run("page", "--bin", tmp_path / "stash.xslx", *more)
        assert shown.exit_code == 2
        assert "did you mean" in shown.stderr
        assert "stash.xlsx?" in "".join(shown.stderr.split("\n  "))
    assert served == []
    assert [one.name for one in tmp_path.iterdir()] == ["stash.xlsx"]


@pytest.mark.parametrize("name", ["new.sqlite", "new.db"])
def test_a_store_that_is_not_there_is_begun_and_that_is_said(tmp_path: Path, run, served: list[object], name: str):
    shown = run("page", "--bin", tmp_path / name)
    assert shown.exit_code == 0
    assert "your page begins it with the first thing that you put in" in " ".join(shown.stderr.split())
    assert served == [tmp_path / name]


def test_what_is_there_is_shown_and_so_is_the_demo(tmp_path: Path, run, served: list[object], small: Path):
    for bin in (small, "demo"):
        shown = run("page", "--bin", bin)
        assert (shown.exit_code, shown.stderr) == (0, "")
    assert [str(one) for one in served] == [str(small), "demo"]
