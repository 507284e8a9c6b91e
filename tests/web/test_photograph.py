"""A photograph sent in: the picture, its boxes, the colours, and those taken into lots; and what is no photograph."""

from __future__ import annotations

import io
import re
import struct
import zlib
from pathlib import Path

import pytest
from httpx import Response
from markup import read
from PIL import Image
from visitor import Visitor

from matcher.actions.colours.photo import photo
from matcher.actions.desk import Desk

ROOT = Path(__file__).resolve().parents[2]
SCRAPS = ROOT / "demo" / "scraps.jpg"


def send(visitor: Visitor, *files: tuple[str, bytes], field: str = "files") -> Response:
    """Choose a picture and send it, as the form does; then wait until it has been looked at."""
    form = visitor.read("/photograph").form("/photograph")
    answer = visitor.post("/photograph", data=form.fields, files=[(field, one) for one in files])
    return visitor.visit(answer.url.path) if "/working/" in answer.text else answer


def test_the_colours_are_those_of_the_command(changing: Visitor, store: Path):
    seen = send(changing, ("../bag of scraps.jpg", SCRAPS.read_bytes()), field="camera")
    words = read(seen.text).words
    assert "bag of scraps.jpg" in words
    assert ".." not in words
    said = photo(SCRAPS, bin=store).as_dict()
    assert len(said["regions"]) == 3
    for one in said["regions"]:
        assert one["colour"] in words
        assert f"give or take {one['se']:.1f} visible steps" in words
        assert all(near["lot"] in words for near in one["lots"])
    picture = changing.get(f"{seen.url.path}/picture")
    assert picture.headers["content-type"] == "image/jpeg"
    assert Image.open(io.BytesIO(picture.content)).size == (650, 375)


def test_boxes_stand_in_the_address_and_are_read_there(changing: Visitor, store: Path):
    seen = send(changing, ("scraps.jpg", SCRAPS.read_bytes()))
    address = f"{seen.url.path}?box=260,60,100,100&white=60,260,500,60"
    words = read(changing.look(address).text).words
    (one,) = photo(SCRAPS, ["260,60,100,100"], "60,260,500,60", bin=store).as_dict()["regions"]
    assert one["colour"] in words
    assert "Colours by the white paper at 60,260,500,60." in words


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("box=1,2,3", "isn't a box"),
        ("box=0,0,9000,9000", "650"),
        ("white=0,0,0,0", "has no size"),
        ("card=yes", "grey card"),
    ],
)
def test_a_box_that_makes_no_sense_is_told_beside_the_picture(changing: Visitor, asked: str, said: str):
    seen = send(changing, ("scraps.jpg", SCRAPS.read_bytes()))
    told = changing.look(f"{seen.url.path}?{asked}")
    assert said in read(told.text).words
    assert 'role="alert"' in told.text
    assert f"{seen.url.path}/picture" in told.text


def test_colours_go_into_lots_as_one_action_and_come_back(changing: Visitor, store: Path):
    before = {one.name: one.colour.words() for one in Desk(store).bin.lots}
    seen = send(changing, ("scraps.jpg", SCRAPS.read_bytes()))
    colours = {one["region"]: one["colour"] for one in photo(SCRAPS).as_dict()["regions"]}
    form = read(seen.text).form(f"{seen.url.path}/take")
    done = changing.fill(form, **{"into-1": "petrol", "into-3": "plum"})
    assert "Done." in read(done.text).words
    after = {one.name: one.colour.words() for one in Desk(store).bin.lots}
    assert (after["petrol"], after["plum"]) == (colours[1], colours[3])
    changing.fill(read(done.text).form("/undo"))
    assert {one.name: one.colour.words() for one in Desk(store).bin.lots} == before


def test_what_is_refused_stays_chosen(changing: Visitor):
    seen = send(changing, ("scraps.jpg", SCRAPS.read_bytes()))
    form = read(seen.text).form(f"{seen.url.path}/take")
    told = changing.fill(form, **{"into-1": "petrol", "into-2": "petrol"})
    assert "petrol is given two colours" in read(told.text).words
    assert len(re.findall(r'<option value="petrol" selected>', told.text)) == 2


def test_colours_become_new_lots(changing: Visitor, store: Path):
    seen = send(changing, ("scraps.jpg", SCRAPS.read_bytes()))
    form = read(seen.text).form(f"{seen.url.path}/add")
    told = changing.fill(form, **{"grams-2": "12 g"})
    assert "Not done." in read(told.text).words
    assert 'value="12 g"' in told.text
    form = read(told.text).form(f"{seen.url.path}/add")
    changing.fill(form, **{"grams-2": "12 g", "class-2": "DK", "lot-2": "found in a bag"})
    (new,) = [one for one in Desk(store).bin.lots if one.name == "found in a bag"]
    assert new.colour.words() == photo(SCRAPS).as_dict()["regions"][1]["colour"]


def large() -> bytes:
    """The head of a picture of more pixels than may be; none of them follow."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", struct.pack(">IIBBBBB", 40_000, 40_000, 8, 2, 0, 0, 0))
        + chunk(b"IDAT", b"x")
    )


@pytest.mark.parametrize(
    ("name", "make", "said"),
    [
        ("cat.jpg", lambda: b"\xff\xd8\xff\xe0 not a picture", "(cat.jpg)"),
        ("cat.jpg", lambda: SCRAPS.read_bytes()[:3000], "(cat.jpg)"),
        ("cat.png", large, "megapixels (cat.png)"),
        ("stash.xlsx", lambda: b"PK\x03\x04", "this isn't a picture that can be read here"),
        ("empty.jpg", lambda: b"", "this isn't a picture that can be read here"),
    ],
)
def test_what_is_no_photograph_is_refused_in_one_sentence(changing: Visitor, name: str, make: object, said: str):
    answer = send(changing, (name, make()))
    assert answer.status_code == 400
    assert said in read(answer.text).words
    assert "matcher-sent-" not in answer.text
    assert "sent1" not in answer.text


def test_one_picture_at_a_time(changing: Visitor):
    told = send(changing, ("a.jpg", SCRAPS.read_bytes()), ("b.jpg", SCRAPS.read_bytes()))
    assert "those are 2 files" in read(told.text).words
    assert "no file was chosen" in read(changing.submit("/photograph", "/photograph").text).words
