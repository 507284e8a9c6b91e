"""The moments that decide whether it is good, by clicks, by touch on a phone, and by keys alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hands import CLICKS, KEYS, TOUCH, Hand
from playwright.sync_api import Page, expect
from server import Served, serving

from matcher.actions.keeping.store import done_lately
from matcher.store.database.store import open_store

Opened = Callable[[Served, str], Hand]
long = pytest.mark.long  # the same by other hands, each with a server and a browser of its own
HANDS = [CLICKS, pytest.param(TOUCH, marks=long), pytest.param(KEYS, marks=long)]


@pytest.fixture
def hand(browsing: Callable[..., Page]) -> Callable[[str, str], Hand]:
    return lambda address, kind: Hand(browsing(address, phone=kind == TOUCH), kind)


@pytest.fixture
def new_server(tmp_path: Path) -> Iterator[Served]:
    """Where nothing is there yet."""
    with serving(tmp_path / "new.sqlite") as served:
        yield served


@pytest.mark.parametrize("kind", HANDS)
def test_from_nothing_to_a_piece_on_the_needles(
    new_server: Served, tmp_path: Path, hand: Callable[[str, str], Hand], kind: str
):
    hers = hand(new_server.address, kind)
    page = hers.page
    hers.press(page.get_by_role("link", name="Type them in"))
    lots = (("navy", "80 g"), ("cream", "70 g"), ("rust", "60 g"), ("moss green", "50 g"), ("grey", "90 g"))
    for row, (colour, grams) in enumerate(lots):
        hers.type(page.locator(f"#colour-{row}"), colour)
        hers.type(page.locator(f"#grams-{row}"), grams)
        hers.type(page.locator(f"#class-{row}"), "DK")
    hers.press(page.get_by_role("button", name="Put them in the bin"))
    first = page.locator(".suggested h3 a").first
    first.wait_for(timeout=60_000)
    expect(page.locator(".suggested").first).to_contain_text("in 100 sure")
    hers.press(first)
    page.wait_for_url("**/suggestion/**")
    hers.press(page.get_by_role("button", name="Begin this"))
    page.wait_for_url("**/work/1", timeout=60_000)
    done = [one["what"] for one in done_lately(9, bin=tmp_path / "new.sqlite").values["actions"]]
    assert len(done) == 2
    # Weighed in the middle of it, then all of it taken back.
    hers.press(page.get_by_role("button", name="Done"))
    expect(page.get_by_role("button", name="Back one")).to_be_visible()
    page.goto(f"{new_server.address}/bin")
    hers.press(page.locator(".skeins a").first)
    hers.type(page.get_by_label("The scale says"), "49 g")
    hers.press(page.locator("form[action^='/weigh/'] button"))
    expect(page.locator(".message").first).to_contain_text("49 g")  # 49 g may not do for what is begun with it
    while len(done_lately(9, bin=tmp_path / "new.sqlite").values["actions"]) > 1:
        with page.expect_navigation():  # what is pressed twice is taken back twice
            hers.press(page.get_by_role("button", name="Take it back"))
    expect(page.get_by_role("button", name="Take it back")).to_have_count(1)


@pytest.mark.parametrize("kind", [CLICKS, TOUCH, KEYS])
def test_are_these_two_distinct_enough(served: Served, hand: Callable[[str, str], Hand], kind: str):
    hers = hand(f"{served.address}/colours", kind)
    for lot in ("cream", "natural"):
        hers.press(hers.page.get_by_label(lot, exact=True))
    expect(hers.page.locator("#told")).to_contain_text("merges", timeout=20_000)
    expect(hers.page.get_by_role("heading", level=2, name=": merges").first).to_be_visible()


@pytest.mark.parametrize("kind", HANDS)
def test_a_hat_to_go_with_that_sweater(own_server: Served, store: Path, hand: Callable[[str, str], Hand], kind: str):
    hers = hand(own_server.address, kind)
    page = hers.page
    hers.press(page.locator("summary", has_text="More").first)
    hers.press(page.get_by_role("link", name="To go with a sweater"))
    hers.press(page.get_by_role("link", name="grey yoke pullover"))
    hers.press(page.get_by_role("link", name="hat with a stranded band"))
    page.wait_for_url("**/match/fit**")
    values = [one.get_attribute("value") for one in page.locator("fieldset.tiles").nth(1).locator("input").all()]
    chosen = page.locator("fieldset.tiles").nth(1).locator("input:checked").get_attribute("value")
    other = next(one for one in values if one != chosen)
    with page.expect_response("**/match/fit**"):
        hers.press(page.locator("fieldset.tiles").nth(1).locator(f'input[value="{other}"]'))
    page.wait_for_url("**lot*contrast**")
    page.reload()
    expect(page.locator("fieldset.tiles").nth(1).locator("input:checked")).to_have_count(1)
    begun = page.locator("form[action='/match/begin']")
    if begun.locator("input[type=checkbox]").count():
        hers.press(begun.locator("input[type=checkbox]").first)
    hers.press(begun.get_by_role("button").first)
    page.wait_for_url("**/work/**")
    assert len(done_lately(9, bin=store).values["actions"]) == 2


@pytest.fixture
def soon_content(store: Path) -> Iterator[Served]:
    """The real server on the copy `store`, which takes the first set that it finds rather than the best."""
    with serving(store, soon_content=True) as served:
        yield served


@pytest.mark.parametrize("kind", [pytest.param(one, marks=long) for one in (CLICKS, TOUCH, KEYS)])
def test_something_for_each_of_her_people(
    soon_content: Served, store: Path, hand: Callable[[str, str], Hand], kind: str
):
    hers = hand(f"{soon_content.address}/several", kind)
    page = hers.page
    hers.press(page.get_by_role("button", name="Something for each person"))
    begin = page.get_by_role("button", name="Begin all of it")
    begin.wait_for(timeout=120_000)
    hers.press(begin)
    expect(page.locator(".message.done").first).to_be_visible(timeout=60_000)
    with open_store(store) as there:
        people = {row["person"] for row in there.select("SELECT person FROM people")}
        works = there.select("SELECT name FROM works WHERE state = 'begun'")
    assert len(works) >= len(people)


READ = ("/", "/bin", "/lot/petrol", "/garments", "/people", "/match", "/motifs", "/several", "/pile", "/print")


def test_a_browser_without_scripts_reads_and_weighs(own_server: Served, browsing: Callable[..., Page]):
    page = browsing(own_server.address, script=False)
    for address in READ:
        page.goto(own_server.address + address)
        expect(page.get_by_role("heading", level=1)).to_be_visible()
    page.goto(f"{own_server.address}/lot/petrol")
    page.get_by_label("The scale says").fill("30 g")
    page.locator("form[action^='/weigh/'] button").click()
    expect(page.locator(".message.done").first).to_contain_text("30 g")
    page.get_by_role("button", name="Take it back").click()
    expect(page.locator(".message.done").first).to_contain_text("Taken back")
