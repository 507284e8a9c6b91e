"""A motif drawn: counted as the command counts it, kept beside the bin, never over another unasked, and no path."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from markup import read
from visitor import Visitor

from matcher.actions.motifs.motif import motif
from matcher.store.motifs.files import motif_pixels, read_motif, write_motif_text

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from server import Served

CROSS = "name: my cross\nroles: . main, x contrast 1\nrows: top to bottom\n\nx...x\n.x.x.\n..x..\n.x.x.\nx...x\n"
HOSTILE = "<script>alert(1)</script>"


def beside(store: Path) -> list[str]:
    """Files that lie with the store and are none of its own."""
    return sorted(path.name for path in store.parent.iterdir() if not path.name.startswith(store.name))


@pytest.mark.parametrize("of", ["waves", "yoke-three", "crosses"])
def test_what_is_counted_is_what_the_command_counts(demo: Visitor, of: str) -> None:
    found, text = motif(of), demo.look(f"/motif?of={of}").text
    words = read(text).words
    for role, count in found.motif.stitches.items():
        assert re.search(rf"<td>{count}</td><td>[^<]+</td><td>{found.motif.longest_float[role]} stitch", text)
    for row in found.rows:
        told = ", ".join(f"{role} {passed}" for role, passed in row.longest_floats.items())
        assert told in words
    for warning in found.warnings:
        assert str(warning).rstrip(".")[1:] in words


def test_colours_of_her_lots_are_judged(demo: Visitor, taken_in: Path) -> None:
    form = demo.read("/motif?of=crosses").form("/motif/look")
    shown = demo.fill(form, **{"in main": "navy", "in contrast 1": "cream"})
    found = motif("crosses", lots=("navy", "cream"), bin=taken_in)
    assert str(found.meetings[0].judged.plainly) in demo.said(shown)


def test_a_text_is_looked_at_kept_and_found_again(changing: Visitor, store: Path) -> None:
    form = changing.read("/motif").form("/motif/look")
    looked = changing.fill(form, text=CROSS)
    assert "5 stitches by 5 rows" in changing.said(looked)
    again = read(looked.text).form("/motif/look")
    again.action = "/motif/keep"
    kept = changing.fill(again)
    assert '"my cross" is kept as my-cross.txt' in changing.said(kept)
    assert beside(store) == ["my-cross.txt"]
    assert read_motif(store.parent / "my-cross.txt").grid == ("x...x", ".x.x.", "..x..", ".x.x.", "x...x")
    assert "my cross" in changing.read("/motifs").words
    worn = changing.look("/match/fit?garment=grey+yoke+pullover&accessory=hat-stranded-band&motif=my-cross.txt")
    assert "my cross, as it is knitted" in worn.text


def test_another_of_its_name_is_written_over_only_when_she_says_so(changing: Visitor, store: Path) -> None:
    file = store.parent / "my-cross.txt"
    file.write_text("a letter to my aunt\n")
    form = changing.read("/motif").form("/motif/look")
    form.action = "/motif/keep"
    refused = changing.fill(form, text=CROSS)
    assert "exists already" in changing.said(refused)
    assert file.read_text() == "a letter to my aunt\n"
    again = read(refused.text).form("/motif/look")
    assert again.fields["text"].split() == CROSS.split()
    again.action = "/motif/keep"
    changing.fill(again, replace="yes")
    assert read_motif(file).name == "my cross"
    assert beside(store) == ["my-cross.txt"]


def test_a_fault_in_the_text_is_told_with_its_line_and_nothing_is_lost(demo: Visitor) -> None:
    form = demo.read("/motif").form("/motif/look")
    wrong = CROSS.replace("..x..", "..y..")
    shown = demo.fill(form, text=wrong)
    words = demo.said(shown)
    assert "line 7, stitch 3" in words
    assert "..y.." in read(shown.text).form("/motif/look").fields["text"]


@pytest.mark.parametrize("name", ["../../escaped", "/tmp/escaped", "..\\escaped", "con", HOSTILE, "ünï çödé", "。。"])
def test_no_name_is_a_path_or_a_script(changing: Visitor, store: Path, name: str) -> None:
    form = changing.read("/motif").form("/motif/look")
    form.action = "/motif/keep"
    kept = changing.fill(form, text=CROSS.replace("my cross", name))
    assert "is kept as" in changing.said(kept)
    (file,) = beside(store)
    assert re.fullmatch(r"[a-z0-9-]+\.txt", file)
    assert not file.startswith("con.")
    for address in ("/motifs", f"/motif?of={file}", "/match"):
        assert "<script>alert" not in changing.look(address).text


@pytest.mark.parametrize("of", ["/etc/passwd", "../bin.sqlite", "bin.sqlite", "~/.profile"])
def test_only_motifs_that_are_known_are_opened(demo: Visitor, of: str) -> None:
    answer = demo.get("/motif", params={"of": of})
    assert answer.status_code == 404
    assert "there is no motif" in read(answer.text).words


def test_a_picture_is_opened_as_a_drawing(demo: Visitor) -> None:
    drawn = motif("waves").motif
    form = demo.read("/motifs").form("/motif/picture")
    opened = demo.fill(form, files={"picture": ("../waves.png", motif_pixels(drawn), "image/png")})
    shown = read(opened.text).form("/motif/look").fields["text"]
    assert shown.split("\n\n")[1].split() == list(reversed(drawn.grid))


@pytest.mark.parametrize(
    "data",
    [b"", b"\x89PNG\r\n\x1a\n" + b"\0" * 60, b"GIF89a" + b"\xff" * 40, b"\xff\xd8\xff" + b"x" * 99, b"\0" * 4_500_000],
)
def test_what_is_no_picture_is_refused_in_words(demo: Visitor, data: bytes) -> None:
    form = demo.read("/motifs").form("/motif/picture")
    answer = demo.fill(form, files={"picture": ("a.png", data, "image/png")})
    assert answer.status_code == 400
    assert "fault of ours" not in answer.text


def test_a_drawing_of_another_browser_is_not_there(demo: Visitor) -> None:
    assert demo.get("/motif/draft/nothing").status_code == 404


def test_a_motif_can_be_drawn_before_there_is_a_bin_and_says_where_it_can_be_kept(empty: Visitor) -> None:
    assert "waves" in empty.read("/motifs").words
    form = empty.read("/motif?of=waves").form("/motif/look")
    assert "5 stitches by 5 rows" in empty.said(empty.fill(form, text=CROSS))
    form.action = "/motif/keep"
    assert "no bin of yours" in empty.said(empty.fill(form, text=CROSS))


def test_a_grid_too_large_is_refused(demo: Visitor) -> None:
    assert demo.get("/motif?stitches=9999&rows=9999").status_code == 400
    assert demo.get("/motif?stitches=400&rows=400").status_code == 200


@pytest.fixture
def drawing(own_server: Served, browsing: Callable[..., Page]) -> Callable[..., Page]:
    """The editor in a real browser, on an empty grid of 8 by 6."""

    def opened(**more: Any) -> Page:
        page = browsing(own_server.address + "/motif?stitches=8&rows=6", **more)
        page.locator('[data-at="0,0"]').wait_for()
        return page

    return opened


def grid_of(page: Page) -> list[str]:
    """The rows in the text, the top one first."""
    return page.locator("#f-text").input_value().split("\n\n")[1].split()


def drawn(page: Page, do: Callable[[], object]) -> None:
    with page.expect_response(lambda answer: answer.url.endswith("/motif/count") and answer.status == 200):
        do()


def test_it_is_drawn_by_taps_and_counted_at_once(drawing: Callable[..., Page]) -> None:
    page = drawing(phone=True)
    drawn(page, lambda: page.locator('[data-at="0,1"]').tap())
    drawn(page, lambda: page.locator('[data-at="1,2"]').tap())
    assert grid_of(page)[-2:] == ["..x.....", ".x......"]
    page.locator(".message").get_by_text("The longest float of contrast 1 passes 7 stitches").wait_for()
    drawn(page, lambda: page.locator('[data-do="undo"]').click())
    assert grid_of(page)[-2:] == ["........", ".x......"]
    drawn(page, lambda: page.locator('[data-do="beside"]').click())
    assert grid_of(page)[-1] == "......x..x......"
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.reload()
    page.locator('[data-at="0,15"]').wait_for()
    assert grid_of(page)[-1] == "......x..x......"


def test_it_is_drawn_and_kept_by_keys_alone(drawing: Callable[..., Page], store: Path) -> None:
    page = drawing()
    cell = page.locator('#grid [tabindex="0"]')
    cell.focus()
    for key in ("Space", "ArrowRight", "ArrowUp", "Enter"):
        page.keyboard.press(key)
    assert cell.get_attribute("aria-label") == "row 2, stitch 7, contrast 1"
    drawn(page, lambda: page.keyboard.press("ArrowRight") or page.keyboard.press("Space"))
    assert grid_of(page)[-2:] == [".xx.....", "x......."]
    drawn(page, lambda: page.keyboard.press("u"))
    assert grid_of(page)[-2:] == [".x......", "x......."]
    page.locator('[formaction="/motif/keep"]').focus()
    page.keyboard.press("Enter")
    page.get_by_text('"my motif" is kept as my-motif.txt').wait_for()
    assert write_motif_text(read_motif(store.parent / "my-motif.txt")).endswith(
        "x.......\n.x......\n" + "........\n" * 4
    )
