"""A set as files: a picture, pages for both papers with what to take from which box, and JSON."""

from __future__ import annotations

import html
import json
import re
from dataclasses import replace
from gettext import NullTranslations
from pathlib import Path
from xml.etree import ElementTree

import pytest
from made_sets import made_sets

from matcher.actions.desk import Desk
from matcher.actions.sets.page import NAMES, out_asked, write_set
from matcher.actions.sets.plan import plan_set
from matcher.actions.sets.result import Sets
from matcher.actions.whom.parties import Asked, whom_for
from matcher.cli.words import COMMAND_LINE, style_of
from matcher.errors import BadInput, NotFound
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import Catalogue

DEMO = Path(__file__).resolve().parents[2] / "demo"
HOSTILE = '<script>alert("x")</script> & co <img src=x onerror=y>'


@pytest.fixture(scope="module")
def made() -> tuple[Sets, Catalogue]:
    desk = Desk(DEMO)
    catalogue = whom_for(desk, desk.catalogue, Asked()).catalogue
    return replace(made_sets(desk), catalogue=catalogue), catalogue


def _write(made: tuple[Sets, Catalogue], folder: Path, style: Style = COMMAND_LINE) -> dict[str, str]:
    files = write_set(made[0], folder, style, replace=False)
    assert [path.name for path in files] == list(NAMES)
    return {path.name: path.read_text("utf-8") for path in files if path.suffix != ".png"}


def _rows(page: str) -> list[list[str]]:
    """The cells of the lists of what to take."""
    return [
        [html.unescape(re.sub(r"<[^>]+>", "", cell)) for cell in re.findall(r"<td[^>]*>(.*?)</td>", row)]
        for row in re.findall(r"<tr>(<td.*?)</tr>", page)
    ]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_thing_and_every_lot_is_on_the_page_once(paper: str, made: tuple[Sets, Catalogue], tmp_path: Path):
    page = _write(made, tmp_path)[f"set-{paper}.html"]
    best = made[0].best
    assert f"size: {'A4' if paper == 'a4' else 'letter'};" in page
    headings = [html.unescape(one) for one in re.findall(r"<h2>(.*?)</h2>", page)]
    for one in best:
        assert headings.count(f"{one.rank}  {one.accessory}") == 1
        for role in one.roles:
            assert f"<dt>{role.role}</dt>" in page
    taken = [row[1] for row in _rows(page) if row[1]]
    assert sorted(taken) == sorted(one.lot.name for one in best.lots)
    assert len(_rows(page)) == sum(len(one.used) for one in best.lots)
    boxes = dict.fromkeys(one.lot.place for one in best.lots)
    assert [one for one in headings if one.startswith("Take from")] == [f"Take from {box}" for box in sorted(boxes)]
    bars = [
        title for title in re.findall(r"<title>(.*?)</title>", page) if title in {one.lot.name for one in best.lots}
    ]
    assert bars == [one.lot.name for one in best.lots]
    assert not re.search(r"<script|<img|url\(|src=|buy", page)


def test_what_is_wound_off_comes_to_what_the_set_uses(made: tuple[Sets, Catalogue], tmp_path: Path):
    page = _write(made, tmp_path)["set-a4.html"]
    wound: dict[str, float] = {}
    name = ""
    for _, lot, metres, thing, *_ in _rows(page):
        name = lot or name
        wound[name] = wound.get(name, 0.0) + float(re.match(r"[\d.]+(?= m \([\d.]+ g\)$)", metres)[0])
        assert re.fullmatch(r".+ \(\d+\)", thing)
    for one in made[0].best.lots:
        assert wound[one.lot.name] == pytest.approx(one.used_m, abs=0.6 * len(one.used))


def test_what_is_kept_is_said_where_it_is_taken_from(made: tuple[Sets, Catalogue], tmp_path: Path):
    page = _write(made, tmp_path)["set-letter.html"]
    kept = {row[1] for row in _rows(page) if row[1] and row[5]}
    assert kept == {one.lot.name for one in made[0].best.lots if one.reserve_m > 0.05}
    assert kept


@pytest.mark.parametrize("units", ["imperial", "mixed"])
def test_pages_and_picture_are_in_her_units(units: str, made: tuple[Sets, Catalogue], tmp_path: Path):
    files = _write(made, tmp_path, style_of(units))
    for name in NAMES:
        if name.endswith((".svg", ".html")):
            text = re.sub(r"<style>.*?</style>|<[^>]+>", " ", files[name], flags=re.DOTALL).replace("\u00a0", " ")
            assert " yd" in text
            assert not re.findall(r"\d ?(?:m|cm)\b" if units == "mixed" else r"\d ?(?:m|cm|g)\b", text)
    assert json.loads(files["set.json"])["units"] == units


def test_the_json_is_what_the_command_prints(made: tuple[Sets, Catalogue], tmp_path: Path):
    told = json.loads(_write(made, tmp_path)["set.json"])
    assert [one["rank"] for one in told["accessories"]] == [1, 2, 3, 4, 5, 6]
    assert {one["lot"] for one in told["lots"]} == {one.lot.name for one in made[0].best.lots}
    assert "files" not in told
    for one in told["lots"]:
        used = sum(part["metres"] for part in one["used"])
        assert used + one["reserve_m"] + one["claimed_m"] + one["left_m"] == pytest.approx(one["on_hand_m"], abs=0.05)


def test_the_same_bytes_every_time_and_nothing_written_over(made: tuple[Sets, Catalogue], tmp_path: Path):
    _write(made, tmp_path)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    _write(made, tmp_path)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    (tmp_path / "set.svg").write_text("mine")
    with pytest.raises(BadInput, match="replace"):
        _write(made, tmp_path)
    assert (tmp_path / "set.svg").read_text() == "mine"
    write_set(made[0], tmp_path, style_of(), replace=True)
    assert (tmp_path / "set.svg").read_bytes() == before["set.svg"]


def test_a_file_in_its_place_is_refused_before_anything_is_looked_for(tmp_path: Path):
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(BadInput, match="is a file"):
        out_asked(tmp_path / "mine.txt")
    with pytest.raises(BadInput, match="is a file"):
        plan_set("no such bin", out=tmp_path / "mine.txt")
    (tmp_path / "set.svg").write_text("mine")
    with pytest.raises(BadInput, match="exists already"):
        plan_set(want="no such thing", out=tmp_path)
    with pytest.raises(NotFound, match="no such thing"):
        plan_set(want="no such thing", out=tmp_path, replace_files=True)
    (tmp_path / "set.svg").unlink()
    (tmp_path / "set.png").mkdir()
    with pytest.raises(BadInput, match="this is a folder"):
        plan_set(want="no such thing", out=tmp_path, replace_files=True)


def test_a_set_that_was_written_there_may_come_out_as_it_was(made: tuple[Sets, Catalogue], tmp_path: Path):
    _write(made, tmp_path)
    assert out_asked(tmp_path) == tmp_path


def test_her_words_are_only_words(made: tuple[Sets, Catalogue], tmp_path: Path):
    sets, catalogue = made
    lots = tuple(
        replace(one, lot=replace(one.lot, name=f"{HOSTILE} {number}", place=HOSTILE))
        for number, one in enumerate(sets.best.lots)
    )
    things = tuple(
        replace(
            one,
            people=(HOSTILE,),
            roles=tuple(
                replace(role, lots=tuple(replace(lot, name=HOSTILE) for lot in role.lots)) for role in one.roles
            ),
        )
        for one in sets.best
    )
    files = _write((replace(sets, best=replace(sets.best, lots=lots, things=things)), catalogue), tmp_path)
    for name in ("set.svg", "set-a4.html", "set-letter.html"):
        assert not re.search(r"<script|<img", files[name])
        assert html.escape(HOSTILE, quote=False)[:14] in files[name]
    ElementTree.fromstring(files["set.svg"])
    assert {row[1] for row in _rows(files["set-a4.html"])} - {""} == {one.lot.name for one in lots}


class _Loud(NullTranslations):
    """A language in which everything is in capitals."""

    def gettext(self, message: str) -> str:
        assert message
        return re.sub(r"\{[^}]*\}|[^{]+", lambda part: part[0] if part[0].startswith("{") else part[0].upper(), message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)


def test_every_word_of_the_page_goes_through_the_language(made: tuple[Sets, Catalogue], tmp_path: Path):
    page = _write(made, tmp_path, Style(language=_Loud()))["set-a4.html"]
    text = html.unescape(re.sub(r"<style>.*?</style>|<[^>]+>", "\n", page, flags=re.DOTALL)).replace("\u00a0", " ")
    hers = {one.lot.name for one in made[0].best.lots} | {one.lot.place for one in made[0].best.lots}
    hers |= {name for one in made[0].best for name in one.people}
    for name in sorted(hers, key=len, reverse=True):
        text = text.replace(name, "")
    assert {line for line in text.splitlines() if re.search(r"[a-z]{3}", line)} == set()
