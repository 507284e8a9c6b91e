"""Every reader against damaged files: no traceback, no exit but 0, 1 and 2, and less than a gigabyte.

MATCHER_FUZZ_SECONDS is how long each reader is tried; left out, so many tries are made that any machine makes the same.
The seeds count up from MATCHER_FUZZ_SEED, so that a longer run tries what a shorter one did, and more.
"""

from __future__ import annotations

import base64
import importlib
import io
import os
import pkgutil
import re
import resource
import shutil
import sqlite3
import time
import zlib
from collections.abc import Callable
from contextlib import closing
from itertools import count
from pathlib import Path
from random import Random

import forked
import pytest
from damage import ODD, damaged, damaged_inside, damaged_words
from PIL import Image

import matcher
from matcher.actions.keeping.cells import add
from matcher.actions.progress.weigh import weigh

SECONDS = float(os.environ.get("MATCHER_FUZZ_SECONDS", "0"))
pytestmark = [pytest.mark.fuzz, pytest.mark.timeout(SECONDS + 180)]
LEAST_TRIES = 6
FIRST = int(os.environ.get("MATCHER_FUZZ_SEED", "0"))
CPU_SECONDS = 20
# All of a bin is read for it, and little is searched.
NARROW = ("--kind", "mitts", "--size", "adult medium", "--single")
ROOT = Path(__file__).resolve().parents[2]
TEXT = "name: mine\nroles: . main, x contrast 1\n\n...x\n..xx\n"
PEOPLE = "person,size,head_cm,avoid_on_skin,eyes,likes,note\nAnn,adult medium,56,mohair; wool,red-green,hats; blue,x\n"
MESSY = """My wool,,,,,
Yarn,Shade,Left (g),Yards per ball,Fibre content,Weight
Soft,dark greenish blue,about half a ball,137,80% wool/20% nylon,DK
Soft,plum and cream,2 x 50g + a bit,137,merino silk,fingering-ish
,,,,,
Total,,150,,,
"""
CELLS = {"grams": "50", "colour": "#1f2a4a", "ball_grams": "50", "ball_metres": "125", "fibre": "80% wool 20% nylon"}


@pytest.fixture(autouse=True, scope="module")
def loaded() -> None:
    """Whatever a command would load when it needs it; no fork has to do so again."""
    for name in ("pandas", "scipy.cluster.hierarchy", "sklearn.mixture", "openpyxl", "python_calamine", "pillow_heif"):
        importlib.import_module(name)
    for module in pkgutil.walk_packages(matcher.__path__, "matcher."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)


def limited() -> None:
    """A gigabyte more than the tests themselves take, and so much time; a run that takes more is killed."""
    taken = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (taken + 2**30, taken + 2**30))
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_SECONDS, CPU_SECONDS))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def tried(folder: Path, seed: int, words: tuple[str, ...], data: bytes = b"") -> None:
    """One command, which must end as a command may."""
    data_home = folder / "data"
    ended = forked.run(
        *words, environment={"XDG_DATA_HOME": str(data_home)}, without=["MATCHER_BIN"], folder=folder, before=limited
    )
    wrong = ended.code not in (0, 1, 2) or "Traceback" in ended.told or (ended.code == 2 and not ended.told.strip())
    if wrong:
        written = "".join(file.read_text("utf-8", "replace") for file in data_home.rglob("*.txt"))
        packed = base64.b85encode(zlib.compress(data)).decode()
        pytest.fail(
            f"seed {seed}, exit {ended.code}: matcher {words!r}\n{ended.told[-3000:]}\n{written[-3000:]}\n"
            f"the input, zlib.decompress(base64.b85decode({packed!r}))",
            pytrace=False,
        )


def renewed(place: Path, data: bytes) -> None:
    """The file as if nothing had ever been there: what a store writes beside it goes too."""
    for beside in place.parent.glob(f"{place.name}-*"):
        beside.unlink()
    place.write_bytes(data)


def for_a_while(name: str, one: Callable[[Random, int], None]) -> None:
    end = time.monotonic() + SECONDS
    for seed in count(FIRST):
        one(Random(f"{name} {seed}"), seed)
        if time.monotonic() > end and seed + 1 - FIRST >= LEAST_TRIES:
            print(f"{seed + 1 - FIRST} tries")
            break


def scraps() -> Image.Image:
    with Image.open(ROOT / "demo" / "scraps.jpg") as picture:
        picture.thumbnail((300, 300))
        return picture.convert("RGB")


def saved(picture: Image.Image, kind: str) -> bytes:
    kept = io.BytesIO()
    picture.save(kept, kind)
    return kept.getvalue()


def crosses() -> Image.Image:
    picture = Image.new("P", (6, 4))
    picture.putpalette([255, 255, 255, 20, 30, 80])
    picture.putpixel((4, 1), 1)
    return picture


def exported(folder: Path, kind: str) -> bytes:
    ended = forked.run("export", f"good{kind}", "--bin", str(store(folder)), folder=folder)
    assert ended.code == 0, ended.told
    return (folder / f"good{kind}").read_bytes()


def store(folder: Path) -> Path:
    place = folder / "good.sqlite"
    for name in ("navy", "sea green", "moss"):
        add(name, CELLS, bin=place)
    weigh("navy", "41g", bin=place)
    return place


ENTRY = re.sub(
    rb'name = "[^"]+"', b'name = "mine"', (ROOT / "catalog/accessories/cowl-banded.toml").read_bytes(), count=1
)
Damage = Callable[[Random, bytes], bytes]
# A reader: the file's name, how a good one is made, how it is damaged, and the commands that read it.
READERS: dict[str, tuple[str, Callable[[Path], bytes], Damage, list[tuple[str, ...]]]] = {
    "lots": (
        "lots.csv",
        lambda _: (ROOT / "demo" / "lots.csv").read_bytes(),
        damaged,
        [("check", "."), ("suggest", ".", *NARROW)],
    ),
    "garments": (
        *("garments.csv", lambda _: (ROOT / "demo" / "garments.csv").read_bytes(), damaged),
        [("check", "."), ("reserve", ".")],
    ),
    "people": (
        "people.csv",
        lambda _: PEOPLE.encode(),
        damaged,
        [("check", "."), ("suggest", ".", "--for", "Ann", *NARROW[:2], "--single")],
    ),
    "messy": (
        *("m.csv", lambda _: MESSY.encode(), damaged),
        [("check", "m.csv"), ("intake", "m.csv", "--dry-run"), ("intake", "m.csv", "--yes", "--bin", "m.sqlite")],
    ),
    "xlsx": ("b.xlsx", lambda folder: exported(folder, ".xlsx"), damaged_inside, [("check", "b.xlsx")]),
    "ods": ("b.ods", lambda folder: exported(folder, ".ods"), damaged_inside, [("check", "b.ods")]),
    "toml": (
        *("own/accessories/mine.toml", lambda _: ENTRY, damaged),
        [("needs", "mine", "--class", "3", "--catalog", "own"), ("suggest", ".", "--catalog", "own", "--single")],
    ),
    "motif text": ("m.txt", lambda _: TEXT.encode(), damaged, [("motif", "m.txt"), ("motif", "m.txt", "--json")]),
    "motif png": ("m.png", lambda _: saved(crosses(), "PNG"), damaged, [("motif", "m.png")]),
    "motif gif": ("m.gif", lambda _: saved(crosses(), "GIF"), damaged, [("motif", "m.gif")]),
    "photograph jpeg": ("p.jpg", lambda _: saved(scraps(), "JPEG"), damaged, [("photo", "p.jpg")]),
    "photograph png": ("p.png", lambda _: saved(scraps(), "PNG"), damaged, [("photo", "p.png")]),
    "store": (
        *("s.sqlite", lambda folder: store(folder).read_bytes(), damaged),
        [
            ("verify", "--bin", "s.sqlite"),
            ("suggest", "s.sqlite", *NARROW),
            ("undo", "--list", "--bin", "s.sqlite"),
            ("undo", "--bin", "s.sqlite"),
            ("weigh", "navy", "3g", "--bin", "s.sqlite"),
            ("export", "out.xlsx", "--bin", "s.sqlite", "--replace"),
        ],
    ),
}


@pytest.mark.parametrize("reader", READERS)
def test_a_reader(reader: str, tmp_path: Path):
    name, made, damage, commands = READERS[reader]
    for sheet in ("lots.csv", "garments.csv"):
        shutil.copy(ROOT / "demo" / sheet, tmp_path / sheet)
    good = made(tmp_path)
    place = tmp_path / name
    place.parent.mkdir(parents=True, exist_ok=True)

    def one(random: Random, seed: int) -> None:
        data = damage(random, good)
        renewed(place, data)
        tried(tmp_path, seed, random.choice(commands), data)

    for command in commands:
        renewed(place, good)
        ended = forked.run(*command, folder=tmp_path)
        assert ended.code in (0, 1), ended.told
    for_a_while(reader, one)


def test_odd_values_in_a_store(tmp_path: Path):
    good = store(tmp_path).read_bytes()
    place = tmp_path / "s.sqlite"
    commands = READERS["store"][3]

    def one(random: Random, seed: int) -> None:
        renewed(place, good)
        with closing(sqlite3.connect(place)) as opened, opened:
            opened.execute("PRAGMA ignore_check_constraints = 1")
            tables = [name for (name,) in opened.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
            table = random.choice([name for name in tables if opened.execute(f'SELECT * FROM "{name}"').fetchone()])
            column = random.choice([row[1] for row in opened.execute(f'PRAGMA table_info("{table}")')])
            odd = random.choice((None, 0, -1, 2**63 - 1, 1e308, float("inf"), b"\xff\x00", *ODD))
            value = odd.replace("\ud800", "\ufffd") if isinstance(odd, str) else odd
            try:
                opened.execute(f'UPDATE "{table}" SET "{column}" = ?', (value,))
            except sqlite3.Error:  # such a row no store can hold
                return
        tried(tmp_path, seed, random.choice(commands), place.read_bytes())

    for_a_while("values", one)


LINES: tuple[tuple[str, ...], ...] = (
    ("suggest", "demo", "--kind", "hat", "--size", "adult medium", "--json"),
    ("needs", "hat-ribbed", "--size", "adult medium", "--class", "3"),
    ("piece", "--structure", "stocking", "--stitches", "110", "--height", "20 cm", "--class", "3"),
    ("contrast", "navy", "cream", "#7f8285"),
    ("partner", "demo", "--garment", "grey yoke pullover", "--accessory", "hat-stranded-band"),
    ("whose", "demo", "--colour", "#22304f", "--weighed", "12 m = 5.1 g", "--wraps", "14"),
    ("photo", "p.png", "--box", "10,10,40,40", "--white", "60,60,20,20"),
    ("motif", "crosses", "--lots", "cream", "--lots", "main=navy", "--swatch", "22 st x 30 rows"),
    ("palette", "demo", "--by", "hue"),
    ("lookalikes", "demo"),
    ("add", "new", "--grams", "41", "--colour", "#2f6f66", "--class", "3", "--bin", "good.sqlite"),
    ("change", "navy", "--dye-lot", "14", "--label", "yes", "--bin", "good.sqlite"),
    ("weigh", "navy", "41g", "--bin", "good.sqlite"),
    ("split", "moss", "5g", "--as", "half", "--bin", "good.sqlite"),
    ("swatch", "navy", "--stitches", "20", "--rows", "26", "--grams", "3.1", "--bin", "good.sqlite"),
    ("begin", "hat-plain", "--size", "adult small", "--lots", "main=navy", "--bin", "good.sqlite"),
    ("undo", "2", "--bin", "good.sqlite"),
)


def test_options(tmp_path: Path):
    shutil.copytree(ROOT / "demo", tmp_path / "demo")
    (tmp_path / "p.png").write_bytes(saved(scraps(), "PNG"))
    place = store(tmp_path)
    good = place.read_bytes()

    def one(random: Random, seed: int) -> None:
        renewed(place, good)
        tried(tmp_path, seed, damaged_words(random, random.choice(LINES)))

    for_a_while("options", one)
