"""What goes on on all cores at once gives what it would one by one."""

from __future__ import annotations

import threading
from functools import partial

import pytest

from matcher.matching.rounds.at_once import at_once


def test_in_their_order_whichever_is_done_first() -> None:
    gates = [threading.Event() for _ in range(2)]

    def work(number: int) -> int:
        # The first waits for the second, so that it's done last; one core has a thread and no such order.
        if number == 1:
            gates[1].set()
        elif number == 0:
            gates[1].wait(5)
        return number * number

    assert list(at_once(partial(work, number) for number in range(20))) == [number * number for number in range(20)]


def test_what_is_not_begun_is_let_go() -> None:
    begun: list[int] = []
    gate = threading.Event()

    def work(number: int) -> int:
        begun.append(number)
        if number:
            gate.wait(0.2)
        return number

    every = at_once([partial(work, number) for number in range(200)])
    assert next(every) == 0
    every.close()
    assert len(begun) < 200


def test_what_goes_wrong_is_told() -> None:
    def wrong() -> int:
        raise ValueError("no such thing")

    with pytest.raises(ValueError, match="no such thing"):
        list(at_once([lambda: 1, wrong]))
