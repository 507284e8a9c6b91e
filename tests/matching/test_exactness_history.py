"""The search finds what plain enumeration finds for a knitter whose finished pieces tell how she knits."""

from __future__ import annotations

import agreement
import generated
import pytest
from agreement import Question, agree, examples, questions
from hypothesis import given
from hypothesis import strategies as st

from matcher.knitting.calibration import Calibration, Observation, calibrate, prior_of

PRIOR = prior_of(generated.WHOLE.calibration, generated.WHOLE.fabric)


@st.composite
def histories(draw: st.DrawFn, entries: tuple[str, ...]) -> Calibration:
    """One to five pieces or swatches of a loose or a tight knitter, some of them of entries that are searched."""
    told = [
        Observation(
            draw(st.sampled_from(["first piece", "second piece"])),
            draw(st.sampled_from(sorted(generated.WHOLE.fabric.structures))),
            draw(st.sampled_from(["", *entries])),
            draw(st.integers(-5, 5)) * 0.041,
            draw(st.sampled_from([0.01, 0.04])),
        )
        for _ in range(draw(st.integers(1, 5)))
    ]
    return calibrate(told, PRIOR)


@pytest.mark.parametrize(("most", "roles", "together"), [(10, 3, False), (5, 2, True)], ids=["single", "held together"])
def test_as_she_knits(most: int, roles: int, together: bool) -> None:
    lengths: list[int] = []

    @given(questions(most, roles, together), st.data())
    @examples(10)
    def hold(question: Question, data: st.DataObject) -> None:
        history = data.draw(histories(tuple(question[1])))
        lengths.append(agree(*question, history))

    hold()
    assert sum(length > 0 for length in lengths) >= 3


def test_the_history_is_felt() -> None:
    """The same bin gives another list for a knitter who uses more yarn, so that the test above is not held by chance."""
    differ = 0
    loose = calibrate([Observation("a swatch", "stocking", "", 0.25, 0.01)], PRIOR)
    for seed in range(8):
        bin, entries = generated.rich(seed, 9, 2, False)
        catalogue, wish = generated.cut(entries), agreement.Wishes(sure=0.5, held_together=False)
        usual, hers = (agreement.found_in(bin, catalogue, wish, known) for known in (None, loose))
        differ += [one.score for one in usual] != [one.score for one in hers]
    assert differ >= 3
