"""Colours side by side: the figures of the command, pictures of both, any colour typed, and what reads well together."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from pathlib import Path

from markup import read
from playwright.sync_api import Page, expect
from server import Served
from visitor import Visitor

from matcher.actions.colours.contrast import contrast
from matcher.actions.colours.lookalikes import lookalikes
from matcher.actions.colours.palette import palette
from matcher.actions.desk import Desk
from matcher.matching.afar import afar_words
from matcher.reasons.quantities import Number
from matcher.web.views import colours
from matcher.web.words import page_style

STYLE = page_style()


def test_two_lots_read_as_the_command_says(demo: Visitor, taken_in: Path):
    found = contrast("navy", "rust", bin=Desk(taken_in)).pairs[0]
    page = demo.look("/colours?lot=navy&lot=rust").text
    words = read(page).words
    assert f"navy and rust: {found.verdict}" in words
    for said in (found.judged.plainly, afar_words(found.afar), found.reason):
        assert STYLE.sentence(said) in words
    for apart, lightness in found.judged.sights.values():
        assert f"<td>{STYLE.say(Number(apart, 1))}</td><td>{STYLE.say(Number(lightness, 1))}</td>" in page


def test_of_several_every_two_are_judged(demo: Visitor, taken_in: Path):
    names = ("navy", "rust", "moss", "cream")
    words = demo.read("/colours?" + "&".join(f"lot={name}" for name in names) + "&eyes=red-green").words
    for pair in contrast(*names, bin=Desk(taken_in), eyes="red-green").pairs:
        assert f"{pair.a.name} and {pair.b.name}: {pair.verdict}" in words


def test_any_colour_is_typed_beside_a_lot(demo: Visitor):
    page = demo.read("/colours?lot=navy&colour=%23e8e0d0&colour=sea green")
    assert "navy and #e8e0d0: clear" in page.words
    assert "guessed" in page.words
    assert page.form("/colours").fields["colour"] in ("#e8e0d0", "sea green")


def test_what_is_no_colour_is_said_and_stays(demo: Visitor):
    answer = demo.visit("/colours?lot=navy&colour=<b>rumble</b>")
    assert answer.status_code == 400
    assert "<b>rumble" not in answer.text
    assert 'value="&lt;b&gt;rumble&lt;/b&gt;"' in answer.text
    assert 'value="navy" checked' in answer.text
    many = "&".join(f"colour=%23{number:06x}" for number in range(1, colours.MOST + 2))
    assert "too many to be laid side by side" in read(demo.visit(f"/colours?{many}").text).words


def test_a_motif_is_of_the_catalogue_and_never_a_file(demo: Visitor, tmp_path: Path):
    secret = tmp_path / "motif.txt"
    secret.write_text("roles: . main, x contrast 1\n\nx.\n..\n")
    plain = demo.look("/colours?lot=navy&lot=cream").text
    assert "single stitches" in plain
    form = demo.read(f"/colours?lot=navy&lot=cream&motif={secret}").form("/colours")
    assert form.fields["motif"] == ""
    assert (
        demo.read("/colours?lot=navy&lot=cream&motif=little-diamonds").form("/colours").fields["motif"]
        == "little-diamonds"
    )


def test_pictures_of_two_colours(demo: Visitor):
    sights = demo.look("/colours/sights.svg?lot=navy&lot=cream&motif=little-diamonds")
    assert sights.headers["content-type"] == "image/svg+xml"
    assert sights.text.count('class="stitch"') >= 5 * 144
    from PIL import Image

    afar = demo.look("/colours/afar.png?lot=navy&colour=cream")
    with Image.open(BytesIO(afar.content)) as picture:
        assert picture.format == "PNG"
    assert demo.visit("/colours/afar.png?lot=navy").status_code == 400


def test_tiles_are_narrowed_and_what_is_chosen_stays(demo: Visitor):
    page = demo.look("/colours?lot=navy&only_colour=red").text
    assert 'value="navy" checked' in page
    assert 'value="red"' in page
    assert 'value="moss"' not in page
    assert 'value="moss"' in demo.look("/colours?only_colour=rumble").text


def test_what_reads_well_together_and_what_looks_alike(demo: Visitor, taken_in: Path):
    desk = Desk(taken_in)
    page = demo.read("/colours/together")
    for one in palette(desk, top=3).pairs[:3]:
        assert " + ".join(pool.name for pool in one.pools) in page.words
    assert demo.look(next(link for link in page.links if link.startswith("/colours?lot="))).status_code == 200
    words = demo.read("/colours/alike").words
    for group in lookalikes(desk).groups:
        for said in group.words:
            assert STYLE.sentence(said) in words


def test_a_tap_lays_them_side_by_side_at_once(served: Served, browsing: Callable[..., Page]):
    page = browsing(f"{served.address}/colours", phone=True)
    page.get_by_label("navy", exact=True).tap()
    page.get_by_label("cream", exact=True).tap()
    expect(page.locator("#told")).to_have_text("cream and navy: clear.")
    expect(page.get_by_role("heading", level=2, name="cream and navy: clear")).to_have_count(1)
    assert "lot=navy" in page.url
    page.reload()
    expect(page.get_by_label("cream", exact=True)).to_be_checked()


def test_without_a_script_the_button_does_it(served: Served, browsing: Callable[..., Page]):
    page = browsing(f"{served.address}/colours", script=False)
    page.get_by_label("navy", exact=True).check()
    page.get_by_label("cream", exact=True).check()
    page.get_by_role("button", name="Lay them side by side").first.click()
    expect(page.get_by_role("heading", level=2, name="cream and navy: clear")).to_have_count(1)
