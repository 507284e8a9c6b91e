"""What is counted on a motif, against slow walks and against separate numpy counts."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.errors import CatalogueError
from matcher.knitting.motifs.motif import OWN_TALLEST, OWN_WIDEST, Motif, parse_motif

MARKS = {".": "main", "x": "contrast 1", "o": "contrast 2"}


@st.composite
def motifs(draw: st.DrawFn) -> Motif:
    width, height = draw(st.integers(1, 9)), draw(st.integers(1, 7))
    row = st.text(alphabet="".join(MARKS), min_size=width, max_size=width)
    return Motif("any", "any", tuple(draw(st.lists(row, min_size=height, max_size=height))), MARKS)


def slow_floats(motif: Motif, role: str) -> tuple[int, int]:
    """Walk each row stitch by stitch, once round, and count what the role passes between its stitches."""
    passed = longest = 0
    for row in motif.grid:
        names = [MARKS[mark] for mark in row]
        if role not in names:
            continue
        start = names.index(role)
        run = 0
        for step in range(1, len(names) + 1):
            if names[(start + step) % len(names)] == role:
                passed += run
                longest = max(longest, run)
                run = 0
            else:
                run += 1
    return passed, longest


@given(motifs())
def test_floats_equal_a_slow_walk(motif: Motif) -> None:
    for role in motif.role_names:
        assert (motif.floats[role], motif.longest_float[role]) == slow_floats(motif, role)


@given(motifs())
def test_edges_equal_a_numpy_count(motif: Motif) -> None:
    names = list(MARKS.values())
    grid = np.array([[names.index(MARKS[mark]) for mark in row] for row in motif.grid])
    counted: dict[frozenset[str], int] = {}
    for axis in (0, 1):
        neighbour = np.roll(grid, -1, axis=axis)
        for a in range(3):
            for b in range(a + 1, 3):
                both = ((grid == a) & (neighbour == b)) | ((grid == b) & (neighbour == a))
                key = frozenset((names[a], names[b]))
                counted[key] = counted.get(key, 0) + int(both.sum())
    assert motif.edges == {key: count for key, count in counted.items() if count}


@given(motifs())
def test_shares_sum_to_one_and_stitches_to_the_grid(motif: Motif) -> None:
    assert sum(motif.stitches.values()) == motif.width * motif.height
    assert sum(motif.shares.values()) == pytest.approx(1)
    # Every stitch of a row with n colours has n - 1 floats behind it.
    behind = sum((colours - 1) * motif.width for colours in motif.colours_a_row)
    assert sum(motif.floats.values()) == behind


TEXT = """name: little steps
roles: . main, x contrast 1
source: project
how_obtained: choice
licence: MIT
rows: bottom to top

...x
..xx
"""


def test_reads_a_file_bottom_row_first() -> None:
    motif = parse_motif(TEXT, "motifs/steps.txt", "steps")
    assert motif.grid == ("...x", "..xx")
    assert motif.stitches == {"main": 5, "contrast 1": 3}
    assert motif.floats == {"main": 3, "contrast 1": 5}
    assert motif.longest_float == {"main": 2, "contrast 1": 3}
    assert (motif.name, motif.source, motif.licence) == ("little steps", "project", "MIT")


@pytest.mark.parametrize(
    ("change", "key", "reason"),
    [
        (("..xx", "..x"), "line 9", "3 stitches and the bottom row 4"),
        (("...x", "..?x"), "line 8, stitch 3", "'?' isn't one of the roles"),
        (("name: little steps\n", ""), "name", "needs a line"),
        (("roles: . main, x contrast 1\n", ""), "roles", "needs a line"),
        ((". main, x contrast 1", ". main, . contrast 1"), "roles", "named twice"),
        ((". main, x contrast 1", "main, x contrast 1"), "roles", "expected one character"),
        ((". main, x contrast 1", ". main, x contrast 1, o contrast 2"), "roles", "has no stitch"),
        (("...x\n..xx\n", ""), "grid", "no grid"),
        (("bottom to top", "left to right"), "rows", "bottom to top"),
        (("licence: MIT", "licence"), "line 5", "expected `name: value`"),
        (("licence: MIT", "name: MIT"), "line 5", "stands twice"),
        (("...x\n..xx\n", "." * 65 + "\n" + "x" * 65 + "\n"), "grid", "at most 64"),
    ],
)
def test_faults_name_row_and_stitch(change: tuple[str, str], key: str, reason: str) -> None:
    with pytest.raises(CatalogueError) as caught:
        parse_motif(TEXT.replace(*change), "motifs/steps.txt", "steps")
    assert (caught.value.file, caught.value.key) == ("motifs/steps.txt", key)
    assert reason in str(caught.value.reason)


def test_her_own_grids_may_be_larger() -> None:
    wide = TEXT.replace("...x\n..xx\n", "." * 399 + "x\n")
    assert parse_motif(wide, "mine.txt", most=(OWN_WIDEST, OWN_TALLEST)).width == 400
    tall = TEXT.replace("..xx\n", "..xx\n" * 400)
    with pytest.raises(CatalogueError, match="4 stitches by 401 rows; at most 400 by 400"):
        parse_motif(tall, "mine.txt", most=(OWN_WIDEST, OWN_TALLEST))


def test_a_grid_as_it_looks_is_turned_round_and_spaces_are_let_be():
    drawn = "name: hook\nroles: . main, x contrast 1\nrows: top to bottom\n\n. x x .\n. x . .\n. . . .\n"
    turned = "name: hook\nroles: . main, x contrast 1\nrows: bottom to top\n\n....\n.x..\n.xx.\n"
    assert parse_motif(drawn, "hook.txt").grid == parse_motif(turned, "hook.txt").grid == ("....", ".x..", ".xx.")
