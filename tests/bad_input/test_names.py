"""Names are data: what no eye sees is refused where it is typed, and written out where it is already."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from matcher.actions.beginning.begin import begin
from matcher.actions.keeping.cells import add, change, garment
from matcher.actions.keeping.lots import move, split
from matcher.actions.learning.swatch import swatch
from matcher.actions.progress.weigh import weigh
from matcher.errors import BadInput, CatalogueError, MatcherError
from matcher.knitting.motifs.motif import parse_motif
from matcher.reasons.visible import HIDDEN, nearest_letters, visible
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.catalogue.folders import catalogue_folder
from matcher.store.database.store import open_store
from matcher.store.motifs.files import read_motif
from matcher.store.motifs.pixels import pixels_png

# One of each kind: a bell, an escape, a delete, one of the second set, two that turn the direction, half a character.
SIGNS = ["\x07", "\x1b[31m", "\x7f", "\x9b31m", "\u202e", "\u2066", "\ud83d"]
CELLS = {"grams": "50", "colour": "#1f2a4a", "ball_grams": "50", "ball_metres": "125"}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    place = tmp_path / "bin.sqlite"
    add("navy", CELLS, bin=place)
    garment("vest", "worn", bin=place)
    return place


TYPED: dict[str, Callable[[str, Path], Any]] = {
    "add": lambda name, path: add(name, CELLS, bin=path),
    "a cell of add": lambda name, path: add("new", {**CELLS, "note": name}, bin=path),
    "change": lambda name, path: change("navy", {"place": name}, bin=path),
    "a new name": lambda name, path: change("navy", {}, name=name, bin=path),
    "the same name": lambda name, path: change("navy", {}, name=f"navy {name}".replace(" ", "", 1), bin=path),
    "garment": lambda name, path: garment(name, "worn", bin=path),
    "a cell of garment": lambda name, path: garment("vest", None, {"wearer": name}, bin=path),
    "begin": lambda name, path: begin("egg-cosy", ["navy"], name=name, bin=path),
    "split": lambda name, path: split("navy", "5g", name=name, bin=path),
    "move": lambda name, path: move("navy", name, bin=path),
    "weigh": lambda name, path: weigh("navy", f"41{name}", bin=path),
    "swatch": lambda name, path: swatch("navy", stitches=20, rows=26, grams=3.0, note=name, bin=path),
}


@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize("action", TYPED)
def test_what_cannot_be_seen_is_refused_where_it_is_typed(action: str, sign: str, path: Path):
    with open_store(path) as store:
        before = [store.rows(table) for table in ("lots", "garments", "works", "swatches", "actions")]
    with pytest.raises(MatcherError) as refused:
        TYPED[action](f"a{sign}b", path)
    assert not HIDDEN.search(str(refused.value))
    with open_store(path) as store:
        assert [store.rows(table) for table in ("lots", "garments", "works", "swatches", "actions")] == before


@pytest.mark.parametrize("action", ["add", "a new name", "garment", "begin", "split"])
def test_a_name_is_not_endless(action: str, path: Path):
    with pytest.raises(BadInput, match="at most 200 characters"):
        TYPED[action]("n" * 201, path)
    TYPED[action]("n" * 200, path)


def test_a_name_stands_on_one_line(path: Path):
    assert add("sea\n green\t one", CELLS, bin=path).values["lot"] == "sea green one"


GRID = "name: {name}\nroles: {mark} main, x contrast 1\n\n{mark}x\nx{mark}\n"


@pytest.mark.parametrize(
    "text",
    [
        *(GRID.format(name=f"a{sign}b", mark=".") for sign in SIGNS),
        *(GRID.format(name="a", mark=mark) for mark in ("\x1b", "\u202e", "\u0301", "\u200b")),
        GRID.format(name="n" * 201, mark="."),
        GRID.format(name="a", mark=".").replace("contrast 1", "c" * 201),
    ],
)
def test_a_motif_has_a_name_and_marks_that_can_be_seen(text: str):
    with pytest.raises(CatalogueError):
        parse_motif(text, "own.txt")


def test_the_comment_of_a_picture_is_held_to_the_same(tmp_path: Path):
    head = "name: a\x1b[31mb\nroles: . main, x contrast 1\nrows: bottom to top"
    (tmp_path / "own.png").write_bytes(pixels_png([[0, 1], [1, 0]], 2, head, ".x"))
    with pytest.raises(BadInput, match="can be seen"):
        read_motif(tmp_path / "own.png")


def test_the_name_of_a_picture_is_shown_as_it_is(tmp_path: Path):
    from PIL import Image

    picture = Image.new("P", (2, 1))
    picture.putpalette([0, 0, 0, 255, 255, 255])
    picture.putpixel((0, 0), 1)
    picture.save(tmp_path / "a\x1bb.png")
    assert read_motif(tmp_path / "a\x1bb.png").name == "a\\x1bb"


@pytest.mark.parametrize("word", ["name", "note", "zone"])
def test_an_entry_of_her_own_has_words_that_can_be_seen(tmp_path: Path, word: str):
    """TOML writes such a sign as an escape of its own, so that the file itself looks harmless."""
    ours = (catalogue_folder() / "accessories" / "egg-cosy.toml").read_text("utf-8")
    entry = re.sub(r'^name = ".*"$', 'name = "own cosy"', ours, count=1, flags=re.MULTILINE)
    place = {"name": r'^name = "', "note": r'^note = "', "zone": r'(?<=\[\[zones\]\]\n)name = "'}[word]
    spoilt, number = re.subn(f"({place})", r"\1\\u001b[31m", entry, count=1, flags=re.MULTILINE)
    assert number == 1
    (tmp_path / "own.toml").write_text(spoilt, "utf-8")
    with pytest.raises(CatalogueError, match="can be seen"):
        load_catalogue(tmp_path)


@pytest.mark.parametrize("sign", SIGNS)
def test_what_is_there_already_is_written_out(sign: str):
    assert HIDDEN.search(sign)
    shown = visible(f"a{sign}b")
    assert shown.isprintable()
    assert visible(shown) == shown


def test_letters_that_cannot_be_shown_become_their_nearest():
    plain = nearest_letters("Žluťoučký × 2 – 1½ ± 4 … “ß” █", str.isascii)
    assert plain == 'Zlutoucky x 2 - 11/2 +/- 4 ... "ss" #'
    assert nearest_letters("毛", str.isascii) == "?"
    assert nearest_letters("毛", lambda one: one.isascii() or one == "□") == "□"
    assert nearest_letters("u\u0308ber ❤\ufe0f", str.isascii) == "uber ?"
    assert nearest_letters("Žluť", str.isalpha) == "Žluť"
