"""Colours as people write them, and what a stitch of the yarn shows.

The colours themselves stand against outside sources in `tests/published/`.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.materials.colours.cielab import hex_from_lab, linear_from_lab
from matcher.materials.colours.colour import KNOWN, Colour, marled, parse_colour, whole_percents
from matcher.materials.colours.words import ColourWords, Modifier
from matcher.store.catalogue.catalogue import Catalogue

SD = (9.0, 6.0, 7.0)
WORDS = ColourWords(
    {"moss green": ("#6b7f4a", SD), "cream": ("#efe6d0", SD), "grey": ("#9a9da0", SD), "blue": ("#4060a0", SD)},
    {"heather": Modifier(0.0, 0.0, 1.0, 5.0, 4.0), "dark": Modifier(0.3, 0.0, 0.8, 6.0, 5.0)},
)
CODES = st.integers(0, 0xFFFFFF).map(lambda code: f"#{code:06x}")


def read(text: str) -> Colour:
    return parse_colour(text, WORDS)


@given(CODES)
def test_every_code_is_read_and_written_back(code: str):
    assert read(code).codes() == (code,)
    assert read(code.removeprefix("#").upper()) == read(code)
    assert read(read(code).words()) == read(code)


@pytest.mark.parametrize("text", ["moss green", " Moss Green ", "MOSS-GREEN", "moss_green", "moss  green", "#6b7f4a"])
def test_a_word_stands_for_a_colour_however_it_is_written(text: str):
    assert read(text).codes() == ("#6b7f4a",)
    assert read(text).guessed == (text != "#6b7f4a")
    assert read(text).stitch_sds() == ((SD,) if read(text).guessed else (KNOWN,))
    assert read(text).words() == " ".join(text.split())


@pytest.mark.parametrize(
    "text", ["#6b7f4a", "lab(52, -8, 25)", "#6b7f4a 60%, #efe6d0 40%", "heather #000 50%, #fff 50%"]
)
def test_codes_and_figures_are_no_guess(text: str):
    assert not read(text).guessed
    assert read(text).sds == ()


def test_a_guess_is_not_the_same_as_the_colour_it_stands_for():
    assert read("cream") != read("#efe6d0")
    assert read("cream") == read("Cream")


def test_of_several_colours_only_those_given_by_words_are_guesses():
    found = read("#6b7f4a 60%, cream 40%")
    assert found.guessed
    assert found.sds == (KNOWN, SD)
    assert marled([(read("cream"), 100.0), (read("#6b7f4a"), 100.0)]).sds == (SD, KNOWN)


def test_the_doubts_of_a_heathers_fibres_partly_cancel():
    """Each errs by itself: sqrt(0.6^2 + 0.4^2) = 0.72 of one."""
    (sd,) = read("heather moss green 60%, cream 40%").stitch_sds()
    assert sd == pytest.approx(tuple(np.hypot(0.6, 0.4) * one for one in SD))


@pytest.mark.parametrize(
    ("text", "light", "sd_l"),
    [
        ("blue", 1.0, 9.0),
        ("dark blue", 0.7, np.hypot(0.7 * 9.0, 6.0)),
        ("blue, dark", None, None),
        ("dk blue", 0.7, np.hypot(0.7 * 9.0, 6.0)),
        ("Dk. blue", 0.7, np.hypot(0.7 * 9.0, 6.0)),
        ("blue (dark)", 0.7, np.hypot(0.7 * 9.0, 6.0)),
        ("blue heather", 1.0, np.hypot(9.0, 5.0)),
        ("dark blue heather", 0.7, np.hypot(0.7 * np.hypot(9.0, 5.0), 6.0)),
        ("blue?", 1.0, 9.0),
        ("blue 4117", 1.0, 9.0),
        ("fjord blue", 1.0, np.hypot(9.0, 5.0)),
        ("bluish", 1.0, np.hypot(9.0, 5.0)),
        ("blue-ish", 1.0, np.hypot(9.0, 5.0)),
        ("drak blue", None, None),
    ],
)
def test_words_that_are_put_together(text: str, light: float | None, sd_l: float):
    blue = WORDS["blue"]
    if light is None:
        with pytest.raises(ValueError):
            read(text)
        return
    found = read(text)
    assert found.parts[0][0][0] == pytest.approx(light * blue.lab[0])
    assert found.sds[0][0] == pytest.approx(sd_l)


def test_a_colour_between_two_is_less_sure_than_either():
    blue, grey, between = WORDS["blue"], WORDS["grey"], WORDS["blue-grey"]
    assert between.lab == pytest.approx(tuple((one + other) / 2 for one, other in zip(blue.lab, grey.lab, strict=True)))
    assert all(sd >= one for sd, one in zip(between.sd, SD, strict=True))
    tinted = WORDS["bluish grey"]
    assert tinted.lab == pytest.approx(
        tuple((one + 2 * other) / 3 for one, other in zip(blue.lab, grey.lab, strict=True))
    )


@pytest.mark.parametrize(
    "text",
    [
        "cream/blue",
        "cream and blue",
        "cream & blue",
        "cream with blue",
        "cream, blue",
        "cream n blue",
        "cream 'n' blue",
    ],
)
def test_two_colours_of_one_yarn(text: str):
    assert read(text).codes() == ("#efe6d0", "#4060a0")
    assert read(text).kind == "variegated"


@pytest.mark.parametrize(("text", "code"), [("#fff", "#ffffff"), ("#a3C", "#aa33cc"), ("#000", "#000000")])
def test_short_codes(text: str, code: str):
    assert read(text).codes() == (code,)


@pytest.mark.parametrize("text", ["lab(52, -8, 25)", "lab(52 -8 25)", "LAB (52.0,-8.0,25.0)", "lab 52 -8 25"])
def test_cielab_outright(text: str):
    assert read(text) == Colour("solid", (((52.0, -8.0, 25.0), 1.0),))


@pytest.mark.parametrize(
    "text",
    [
        "#6b7f4a 60%, cream 40%",
        "moss green 60 % / cream 40 %",
        "#6b7f4a: 60%; cream: 40%",
        "moss green 60% + cream 40%",
        "variegated moss green 60%, cream 40%",
    ],
)
def test_several_colours_with_their_shares(text: str):
    found = read(text)
    assert found.kind == "variegated"
    assert found.codes() == ("#6b7f4a", "#efe6d0")
    assert [share for _, share in found.parts] == pytest.approx([0.6, 0.4])
    assert found.stitches() == found.parts


@given(
    st.lists(st.tuples(CODES, st.floats(1e-4, 1.0)), min_size=1, max_size=6), st.sampled_from(["variegated", "heather"])
)
def test_what_is_written_can_be_read_back(drawn: list[tuple[str, float]], kind: str):
    """Whatever the shares: they are written in percents that make 100, none 0, each within 1 of the share or 1 itself."""
    total = sum(share for _, share in drawn)
    parts = tuple((read(code).parts[0][0], share / total) for code, share in drawn)
    found = Colour("solid" if len(drawn) == 1 else kind, parts)
    again = read(found.words())
    assert (again.kind, again.codes()) == (found.kind, found.codes())
    assert read(again.words()) == again
    written = [100 * share for _, share in again.parts]
    assert sum(written) == pytest.approx(100)
    raised = sum(share < 0.01 for _, share in parts)
    for percent, (_, share) in zip(written, parts, strict=True):
        assert percent > 0.99
        assert abs(percent - 100 * share) <= 1 + raised


@pytest.mark.parametrize(
    ("shares", "percents"),
    [
        ([1, 1, 1], [34, 33, 33]),
        ([0.335, 0.335, 0.33], [34, 33, 33]),
        ([0.405, 0.305, 0.29], [41, 30, 29]),
        ([0.995, 0.005], [99, 1]),
        ([1, 1, 1, 1, 1, 995], [1, 1, 1, 1, 1, 95]),
    ],
)
def test_percents_are_whole_and_make_100(shares: list[float], percents: list[int]):
    assert whole_percents(shares) == percents


def test_shares_that_are_left_out_are_alike():
    assert [share for _, share in read("moss green, cream, #000").parts] == pytest.approx([1 / 3] * 3)


def test_a_colour_in_cielab_may_stand_among_several():
    found = read("lab(52, -8, 25) 50%, cream 50%")
    assert len(found.parts) == 2
    assert found.parts[0][0] == (52.0, -8.0, 25.0)


def test_a_heather_shows_the_mean_of_its_light():
    """Fibres too fine to be told apart add up in light, not in code: black and white fibres make #bcbcbc."""
    found = read("heather #000000 50%, #ffffff 50%")
    assert found.kind == "heather"
    ((mean, share),) = found.stitches()
    assert share == 1.0
    assert linear_from_lab(np.array(mean)) == pytest.approx([0.5] * 3, abs=1e-9)
    assert hex_from_lab(mean) == "#bcbcbc"  # 0.5 of the light, by the curve of IEC 61966-2-1: 0.735 of 255 is 188


def test_a_colour_word_that_begins_with_heather_is_a_word():
    assert read("heather grey").codes() == ("#9a9da0",)
    assert read("heather grey") == read("grey heather")
    assert read("heather moss green 60%, cream 40%").kind == "heather"


def test_strands_held_together_show_both_colours_by_their_thickness():
    found = marled([(read("#000"), 300.0), (read("#fff 50%, #f00 50%"), 100.0)])
    shares = dict(zip(found.codes(), (share for _, share in found.parts), strict=True))
    assert shares == pytest.approx({"#000000": 0.75, "#ffffff": 0.125, "#ff0000": 0.125})
    assert found.kind == "variegated"
    assert marled([(read("cream"), 200.0), (read("cream"), 200.0)]) == read("cream")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "found nothing, expected a code such as"),
        ("   ", "found nothing, expected a code such as"),
        (",", 'found ",", expected a code such as'),
        ("moss grene", "did you mean moss green?"),
        ("blurple", 'found "blurple", expected a code such as'),
        ("#12345", "expected a code such as"),
        ("#gggggg", "expected a code such as"),
        ("abc", 'found "abc", expected a code'),
        ("lab(101, 0, 0)", "L* from 0 to 100"),
        ("lab(50, 200, 0)", "within 160"),
        ("cream 60%", "60% of one colour"),
        ("cream 60%, moss green 60%", "come to 120%"),
        ("cream 60%, moss green 20%", "come to 80%"),
        ("cream 60%, moss green", "a share for each colour"),
        ("cream 0%, moss green 100%", "shares above 0"),
    ],
)
def test_what_is_no_colour_says_what_was_expected(text: str, says: str):
    with pytest.raises(ValueError) as raised:
        read(text)
    assert says in str(raised.value)


def test_every_colour_word_of_the_catalogue_is_a_guess_of_its_own(catalogue: Catalogue):
    words = catalogue.colour_words
    assert len(words) > 500
    for word in words:
        found = parse_colour(word, words)
        assert found.guessed
        assert found.words() == word
        assert found.stitch_sds() == (words[word].sd,)


@pytest.mark.parametrize(
    ("lighter", "darker"),
    [("white", "cream"), ("cream", "mustard"), ("light grey", "charcoal"), ("charcoal", "black"), ("sky blue", "navy")],
)
def test_colour_words_stand_in_the_order_of_lightness_that_their_names_say(
    lighter: str, darker: str, catalogue: Catalogue
):
    words = catalogue.colour_words
    assert parse_colour(lighter, words).parts[0][0][0] > parse_colour(darker, words).parts[0][0][0] + 1
