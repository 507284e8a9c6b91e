"""The knitter made of code herself: what she knits from a page written by hand, and that she finds what is wrong in one."""

from __future__ import annotations

import pytest
from knitter import knit
from likeness import mirrored
from printed_page import Stuck

HEAD = """\
Small mitts
===========
Size: small
Gauge: 22 stitches and 29 rows in 10 cm of stockinette
Yarn:
  MC: main, 12 m
  CC1: contrast 1, 3 m

Abbreviations
-------------
k: knit
p: purl

Signs of the charts
-------------------
Read a chart from the bottom up, and each row from right to left, as it is knitted.
  .  MC, knit
  #  CC1, knit

Chart A: 4 stitches, 2 rows
---------------------------

    |. # # .| 2
    |. . . #| 1

"""
RIGHT = """\
Right mitt
==========

Cuff
----
Cast on 16 stitches with MC.
Join to a round: see that the edge isn't twisted, and place a marker, where each
    round begins.
Rounds 1 and 2: with MC, (k2, p2) 4 times.

Hand
----
Rounds 3 and 4: chart A, rows 1 and 2, 4 times round.
Rounds 5 and 6: repeat rounds 3 and 4, once more.
Round 7: with MC, k1, m1r, k2, m1l, k13: 18 stitches.
Round 8: with MC, k1, put 4 stitches on hold for the thumb, co2, k13: 16
    stitches.
Round 9: with MC, knit.
Bind off all 16 stitches with MC loosely, so that the edge stretches.

Thumb
-----
Take the stitches on hold for the thumb back on the needle: 4 stitches.
Pick up and knit 2 stitches with MC along the gap: 6 stitches.
Rounds 1 to 3: with MC, knit.
Cut the yarn, draw the end through the 6 stitches, twice, and pull it tight.

"""
ALIKE = RIGHT.replace("Right mitt\n==========", "Left mitt\n=========")
# The thumb of the left hand stands at the other end of its rounds.
LEFT = ALIKE.replace("k1, m1r, k2, m1l, k13:", "k13, m1r, k2, m1l, k1:").replace(
    "k1, put 4 stitches on hold for the thumb, co2, k13:", "k13, put 4 stitches on hold for the thumb, co2, k1:"
)
END = """\
Finishing
---------
Weave in the ends.
"""
MITTS = HEAD + RIGHT + LEFT + END


def test_what_she_knits():
    right, left = knit(MITTS)
    assert [course.after for course in right.courses] == [16] * 6 + [18, 16, 16, 6, 6, 6]
    assert right.edges == {"MC": 16 + 16 + 2}
    first = right.courses[2]
    assert (first.loops, first.floats) == ({"MC": 12, "CC1": 4}, {"MC": 4, "CC1": 12})
    assert first.longest_floats == {"CC1": 3, "MC": 1}
    assert "".join(one for one, _ in right.courses[0].shows) == "kkpp" * 4
    assert [colour for _, colour in right.courses[3].shows[:4]] == ["MC", "CC1", "CC1", "MC"]
    assert mirrored(right, left)


FAULTS = {
    "a count is off by one": ("k13: 18 stitches.", "k13: 19 stitches.", "18 stitches are on the needle, not 19"),
    "a count is missing": ("m1l, k13: 18 stitches.", "m1l, k13.", "nobody says so"),
    "a bind-off is missing": (
        "Bind off all 16 stitches with MC loosely, so that the edge stretches.\n",
        "",
        "22 stitches are on the needle, not 6|on the needle",
    ),
    "a bind-off of other stitches": ("Bind off all 16", "Bind off all 17", "16 stitches are on the needle, not 17"),
    "a chart row is narrower": ("|. . . #| 1", "|. . .| 1", "5|stitches wide"),
    "a chart row is left out": ("    |. . . #| 1\n", "", "1 rows|numbered"),
    "a chart's rows are numbered twice": ("#| 1", "#| 2", "row 1 is numbered 2"),
    "a sign is not explained": ("|. # # .|", "|. x x .|", "no word about the sign"),
    "a chart that isn't there": ("chart A, rows", "chart B, rows", "there is no chart B"),
    "a chart goes round too rarely": ("rows 1 and 2, 4 times round", "rows 1 and 2, 3 times round", "are left at the end"),
    "a number is skipped": ("Round 7: with MC, k1,", "Round 8: with MC, k1,", "the number after 6 is 7"),
    "more rounds than said": ("Rounds 5 and 6: repeat", "Rounds 5 to 7: repeat", "ends at 6, not at 7"),
    "rounds that were never knitted are repeated": ("repeat rounds 3 and 4", "repeat rounds 7 and 8", "to repeat"),
    "no join": ("Join to a round: see that the edge isn't twisted, and place a marker, where each\n    round begins.\n", "", "joined"),
    "the thumb is forgotten": (RIGHT[RIGHT.index("Thumb\n-") :], "", "on hold for thumb"),
    "another holder": ("on hold for the thumb back", "on hold for the heel back", "nothing waits for the heel"),
    "no colour": ("Rounds 1 and 2: with MC, (k2", "Rounds 1 and 2: (k2", "in which colour"),
    "an abbreviation nobody knows": ("(k2, p2)", "(k2, q2)", "cannot be read"),
    "brackets": ("(k2, p2) 4 times", "(k2, p2 4 times", "brackets"),
    "rib that doesn't go round": ("(k2, p2) 4 times", "(k2, p2) 5 times", "more is worked"),
    "a round ends early": ("k2, m1l, k13: 18", "k2, m1l, k12: 17", "1 of 16 stitches are left"),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_a_planted_fault_is_found(fault: str):
    right, wrong, heard = FAULTS[fault]
    assert right in MITTS
    with pytest.raises(Stuck, match=heard):
        knit(MITTS.replace(right, wrong, 1))


def test_two_right_thumbs_are_no_pair():
    first, second = knit(HEAD + RIGHT + ALIKE + END)
    assert not mirrored(first, second)


def test_a_thumb_that_leans_the_wrong_way_is_no_pair():
    first, second = knit(HEAD + RIGHT + LEFT.replace("k13, m1r, k2, m1l", "k13, m1l, k2, m1r") + END)
    assert not mirrored(first, second)


ROWS = """\
Heel
====
Gauge: 22 stitches

Abbreviations
-------------
k: knit

Heel
----
Cast on 6 stitches.
Row 1 (right side): k4, turn.
Row 2 (wrong side): sl1, p1, turn.
Row 3 (right side): sl1, k2tog, k1, turn: 5 stitches.
Row 4 (wrong side): sl1, p4.
Row 5 (right side): knit.
Row 6 (wrong side): purl.
Cast off all 5 stitches.
"""


def test_rows_that_turn_leave_the_rest():
    (off,) = knit(ROWS)
    assert [course.after for course in off.courses] == [6, 6, 5, 5, 5, 5]
    assert [course.wrong_side for course in off.courses] == [False, True] * 3
    assert {one for one, _ in off.courses[5].shows} == {"k"}


def test_a_row_of_the_other_side_is_found():
    with pytest.raises(Stuck, match="not of the wrong side"):
        knit(ROWS.replace("Row 3 (right side)", "Row 3 (wrong side)"))
