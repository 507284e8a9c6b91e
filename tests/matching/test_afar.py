"""What stays of a motif at a distance: which elements, in which words, in the worse of two ways round."""

from __future__ import annotations

import itertools

import pytest

from matcher.actions.colours.contrast import contrast
from matcher.knitting.motifs.motif import Motif, parse_motif
from matcher.matching.afar import USUAL_GAUGE, Afar, FromAfar, afar_words
from matcher.materials.colours.colour import parse_colour
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
PINK, GREEN = "#e24f92", "#4f9a4a"


def seen(motif: Motif, a: str, b: str, gauge: tuple[float, float] = USUAL_GAUGE) -> tuple[Afar, ...]:
    roles = motif.role_names[:2]
    colours = {role: parse_colour(one, CATALOGUE.colour_words) for role, one in zip(roles, (a, b), strict=True)}
    looked_at = FromAfar(motif, gauge, CATALOGUE.spatial, CATALOGUE.contrast, CATALOGUE.colour_words)
    return looked_at.of(*roles, colours)


def test_across_a_room_the_large_figures_stay_and_the_single_stitches_blur():
    """Two vivid colours of one lightness on a yoke of both: hue holds the diamonds together, and not the stitches."""
    hand, table, room = seen(CATALOGUE.motifs["yoke-two"], GREEN, PINK)
    assert not hand.blurs
    assert not table.blurs
    assert "the figures of 5 by 5 stitches" in map(str, room.stays)
    assert "the single stitches" in map(str, room.blurs)
    assert str(afar_words([hand, table, room])).startswith("in the hand and across a table all of it shows; across ")
    assert str(afar_words([room])).endswith(f"blur into the background and look {room.into}")


@pytest.mark.parametrize("key", ["seeds", "little-diamonds", "yoke-two", "yoke-five", "lattice"])
@pytest.mark.parametrize(("a", "b"), [(GREEN, PINK), ("navy", "cream"), ("teal", "#7f8285"), ("teal", "teal")])
def test_what_blurs_stays_blurred_further_off(key: str, a: str, b: str):
    found = seen(CATALOGUE.motifs[key], a, b)
    for near, far in itertools.pairwise(found):
        assert set(far.stays) <= set(near.stays)
        assert far.delta_e <= near.delta_e
        assert far.delta_l <= near.delta_l
        assert set(near.stays) | set(near.blurs) == set(far.stays) | set(far.blurs)
    assert (a != b) or not found[0].stays


def test_a_finer_gauge_loses_more():
    motif = CATALOGUE.motifs["seeds"]
    bulky, fine = (seen(motif, GREEN, PINK, gauge) for gauge in ((14, 18), (32, 42)))
    for one, other in zip(bulky, fine, strict=True):
        assert one.delta_e > other.delta_e
    assert bulky[1].stays
    assert not fine[2].stays


def test_lightness_stays_where_hue_goes():
    """Single stitches across a room: navy on cream keeps most of its lightness, pink on green hardly any colour."""
    motif = CATALOGUE.motifs["seeds"]
    dark, vivid = seen(motif, "navy", "cream")[2], seen(motif, GREEN, PINK)[2]
    assert dark.stays
    assert vivid.blurs
    assert dark.delta_l > 40
    assert vivid.delta_e < 30


def test_elements_go_by_names():
    rows = "rows: bottom to top\nroles: . main, x contrast 1\n\n"
    drawn = parse_motif(
        f"name: mine\n{rows}x.......\n........\n.xx...x.\n.xx...x.\n........\n..xxx...\n........\n", "mine"
    )
    names = {str(one) for one in (*seen(drawn, "navy", "cream")[0].stays, *seen(drawn, "navy", "cream")[0].blurs)}
    assert names == {
        "the single stitches",
        "the figures of 2 by 2 stitches",
        "the upright lines of 2 stitches",
        "the level lines of 3 stitches",
    }
    striped = parse_motif(f"name: mine\n{rows}xx\n..\n..\n", "mine")
    assert [str(one) for one in seen(striped, "navy", "cream")[0].stays] == ["the lines"]


def test_many_kinds_of_elements_are_not_told_apart():
    rows = "\n".join("x" * number + "." * (12 - number) + "\n" + "." * 12 for number in range(1, 9))
    drawn = parse_motif(f"name: mine\nroles: . main, x contrast 1\nrows: bottom to top\n\n{rows}\n", "mine")
    assert [str(one) for one in seen(drawn, "navy", "cream")[0].stays] == ["the stitches of contrast 1"]


def test_the_verdict_claims_no_distance_that_the_view_denies():
    """Two greys 32 apart are clear, and their single stitches blur across a room: only the view tells distances."""
    found = contrast("#202020", "#686868").pairs[0]
    assert found.verdict == "clear"
    assert found.afar[2].blurs
    assert "across" not in str(found.reason)


def test_two_colours_are_looked_at_the_worse_way_round():
    there, back = (contrast(*pair).pairs[0].afar for pair in ((GREEN, PINK), (PINK, GREEN)))
    assert there == back
    ways = [seen(CATALOGUE.motifs["seeds"], *pair)[2].delta_e for pair in ((GREEN, PINK), (PINK, GREEN))]
    assert there[2].delta_e == pytest.approx(min(ways))
