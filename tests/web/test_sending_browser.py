"""A workbook and a photograph in a real browser: by the mouse, by a finger on a phone, by the keyboard alone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from messy_stash import MESSY, workbook
from server import Served
from test_every_view import faults, too_wide

from matcher.actions.desk import Desk

if TYPE_CHECKING:
    from playwright.sync_api import Page

ROOT = Path(__file__).resolve().parents[2]


def boxes(page: Page) -> list[str]:
    return [one for one in (field.input_value() for field in page.locator("input[name=box]").all()) if one]


def test_a_workbook_by_the_keyboard_alone(
    own_server: Served, browsing: Callable[..., Page], store: Path, tmp_path: Path
):
    file = tmp_path / "my stash.xlsx"
    file.write_bytes(workbook(*MESSY))
    page = browsing(f"{own_server.address}/intake")
    page.set_input_files("#f-files", file)  # the system's own window, which no test can open
    page.get_by_role("button", name="Read it").focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("#read")
    assert faults(page) == []
    page.get_by_role("group", name="most of it").get_by_label("Your answer").focus()
    page.keyboard.type("25 g")
    page.keyboard.press("Enter")
    page.wait_for_selector("#does")
    assert faults(page) == []
    page.get_by_role("button", name="Take it in").focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("text=lots added")
    assert faults(page) == []
    assert "fog" in {one.name for one in Desk(store).bin.lots}


def test_boxes_by_finger_and_keys_and_a_colour_into_a_lot(
    own_server: Served, browsing: Callable[..., Page], store: Path
):
    page = browsing(f"{own_server.address}/photograph", phone=True)
    page.set_input_files("#f-camera", ROOT / "demo" / "scraps.jpg")
    page.get_by_role("button", name="Look at it").click()
    page.wait_for_selector("#boxed.live")
    assert page.locator(".mark").count() == 4  # three of yarn, and the paper
    assert (faults(page), too_wide(page)) == ([], "[]")
    page.get_by_role("button", name="Take all boxes away").click()
    page.locator("#boxed").scroll_into_view_if_needed()
    board = page.locator("#boxed").bounding_box()
    assert board is not None
    finger = page.context.new_cdp_session(page)
    for kind, part in (("touchStart", 1.0), ("touchMove", 1.5), ("touchMove", 2.0), ("touchEnd", 0.0)):
        at = {"x": board["x"] + board["width"] * 0.1 * part, "y": board["y"] + board["height"] * 0.2 * part}
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [at] if part else []})
    (drawn,) = boxes(page)
    x, y, wide, high = map(int, drawn.split(","))
    assert abs(x - 65) < 5
    assert abs(y - 75) < 5
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowDown")
    (moved,) = boxes(page)
    assert list(map(int, moved.split(","))) == [x + 7, y, wide, high + 7]
    page.get_by_role("button", name="Look there").click()
    page.wait_for_selector("#boxed.live")
    page.get_by_label("Colour 1 goes to").select_option("plum")
    page.get_by_role("button", name="Write the colours down").click()
    page.wait_for_selector("text=Done.")
    assert f"box={moved.replace(',', '%2C')}" in page.url
    colour = page.locator(".seen strong").first.inner_text()
    assert {one.name: one.colour.words() for one in Desk(store).bin.lots}["plum"] == colour
