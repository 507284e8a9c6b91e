"""The last sentences of a pattern stand in the order in which they are done."""

from __future__ import annotations

import pytest
from listed import CATALOGUE, listed, middle, page
from printed_page import read_page


def finishing(key: str) -> list[str]:
    one = CATALOGUE.accessories[key]
    return read_page(page(listed(one, gauge=middle(one, one.classes[0])))).notes["Finishing"]


@pytest.mark.parametrize("key", ["pincushion", "hair-tie"])
def test_what_is_stuffed_or_gathered_is_blocked_before(key: str):
    first, *rest = finishing(key)
    assert first.startswith("Wash and block")
    assert not any("block" in line for line in rest)


def test_a_hat_is_blocked_last():
    assert finishing("hat-striped")[-1].startswith("Wash and block")
