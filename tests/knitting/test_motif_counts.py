"""What is counted on a motif row by row, against slow walks, a separate convolution, and grids counted by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.ndimage import convolve

from matcher.knitting.motifs.counts import balance, count_rows, shared_edges, smallest_repeat
from matcher.knitting.motifs.motif import Motif
from matcher.materials.colours.colour import Colour, parse_colour

MARKS = {".": "main", "x": "contrast 1", "o": "contrast 2", "+": "contrast 3"}


def motif_of(*rows: str) -> Motif:
    used = {mark: role for mark, role in MARKS.items() if any(mark in row for row in rows)}
    return Motif("any", "any", rows, used)


@st.composite
def motifs(draw: st.DrawFn) -> Motif:
    width, height = draw(st.integers(1, 12)), draw(st.integers(1, 9))
    row = st.text(alphabet="".join(MARKS), min_size=width, max_size=width)
    return motif_of(*draw(st.lists(row, min_size=height, max_size=height)))


def longest_by_walking(names: list[str], role: str) -> int:
    """Start at a stitch of the role, walk once round the repeat, count what lies between its stitches."""
    start = names.index(role)
    longest = run = 0
    for step in range(1, len(names) + 1):
        if names[(start + step) % len(names)] == role:
            longest, run = max(longest, run), 0
        else:
            run += 1
    return longest


@settings(deadline=None, max_examples=60)
@given(motifs())
def test_rows_equal_a_slow_walk_stitch_by_stitch(motif: Motif) -> None:
    rows = count_rows(motif)
    assert [row.row for row in rows] == list(range(1, motif.height + 1))
    for row, marks in zip(rows, motif.grid, strict=True):
        names = [MARKS[mark] for mark in marks]
        assert row.stitches == {role: names.count(role) for role in MARKS.values() if role in names}
        assert row.longest_floats == {role: longest_by_walking(names, role) for role in row.stitches}
        assert row.colours == len(set(names))


@settings(deadline=None, max_examples=60)
@given(motifs())
def test_rows_add_up_to_the_whole_motif(motif: Motif) -> None:
    rows = count_rows(motif)
    for role in motif.role_names:
        assert sum(row.stitches.get(role, 0) for row in rows) == motif.stitches[role]
        assert max(row.longest_floats.get(role, 0) for row in rows) == motif.longest_float[role]


@settings(deadline=None, max_examples=60)
@given(motifs())
def test_shared_edges_equal_a_convolution(motif: Motif) -> None:
    """Each role as a plane of ones: a shift by one stitch, folded round the edge, counts where two planes meet."""
    planes = {
        role: np.array([[int(MARKS[mark] == role) for mark in row] for row in motif.grid]) for role in MARKS.values()
    }
    beside, above = np.array([[1, 0, 1]]), np.array([[1], [0], [1]])
    expected = {}
    names = list(motif.role_names)
    for at, a in enumerate(names):
        for b in names[at + 1 :]:
            counts = tuple(
                int((convolve(planes[a], kernel, mode="wrap") * planes[b]).sum()) for kernel in (beside, above)
            )
            if sum(counts):
                expected[frozenset((a, b))] = counts
    found = {frozenset(one.roles): (one.beside, one.above) for one in shared_edges(motif)}
    assert found == expected
    assert {frozenset(one.roles): one.edges for one in shared_edges(motif)} == motif.edges


@settings(deadline=None, max_examples=60)
@given(motifs(), st.integers(1, 4), st.integers(1, 4))
def test_repeats_set_together_are_told_apart_again(motif: Motif, across: int, up: int) -> None:
    together = motif_of(*[row * across for row in motif.grid] * up)
    assert smallest_repeat(together) == smallest_repeat(motif)
    width, height = smallest_repeat(motif)
    block = tuple(row[:width] for row in motif.grid[:height])
    assert tuple(row * (motif.width // width) for row in block) * (motif.height // height) == motif.grid
    assert smallest_repeat(motif_of(*block)) == (width, height)


@pytest.mark.parametrize(
    ("rows", "repeat"),
    [
        (("x.x.",), (2, 1)),
        (("x...",), (4, 1)),
        (("x.", ".x", "x.", ".x"), (2, 2)),
        (("x.x", ".x."), (3, 2)),  # three stitches hold no two: the edge would show
        (("..", ".."), (1, 1)),
        (("x.x.x.", "x..x.."), (6, 2)),
    ],
)
def test_repeats_counted_by_hand(rows: tuple[str, ...], repeat: tuple[int, int]) -> None:
    assert smallest_repeat(motif_of(*rows)) == repeat


def grey(lightness: float) -> Colour:
    return parse_colour(f"lab({lightness}, 0, 0)", {})


def test_light_and_dark_counted_by_hand() -> None:
    """12 stitches: 9 of L* 80, 3 of L* 40; the mean is 70, three quarters are lighter, by 40."""
    found = balance(motif_of("...x", "...x", "...x"), {"main": grey(80), "contrast 1": grey(40)})
    assert (found.mean_l, found.lighter_share, found.apart_l) == pytest.approx((70, 0.75, 40))


def test_a_variegated_yarn_is_light_and_dark_by_its_shares() -> None:
    both = parse_colour("lab(90,0,0) 25%, lab(10,0,0) 75%", {})
    found = balance(motif_of("..xx"), {"main": grey(50), "contrast 1": both})
    # Of 4 stitches two are 50, half a one 90, one and a half 10: mean 40, lighter are 50 (two) and 90 (half).
    assert found.mean_l == pytest.approx(40)
    assert found.lighter_share == pytest.approx(2.5 / 4)
    assert found.apart_l == pytest.approx((2 * 50 + 0.5 * 90) / 2.5 - 10)


def test_one_lightness_is_no_contrast_of_light_and_dark() -> None:
    found = balance(motif_of("..xx"), {"main": parse_colour("lab(50, 40, 0)", {}), "contrast 1": grey(50)})
    assert (found.lighter_share, found.apart_l) == (0, 0)


@settings(deadline=None, max_examples=60)
@given(motifs(), st.lists(st.floats(0, 100), min_size=4, max_size=4))
def test_light_and_dark_balance_about_their_mean(motif: Motif, lightness: list[float]) -> None:
    """Whatever the lighter stitches lie above the mean, the others lie below it: it is a mean."""
    found = balance(motif, {role: grey(round(one, 3)) for role, one in zip(MARKS.values(), lightness, strict=True)})
    assert 0 <= found.lighter_share < 1
    assert found.apart_l >= 0
    assert (found.apart_l > 0) == (found.lighter_share > 0)
