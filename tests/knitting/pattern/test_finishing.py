"""The last sentences of a pattern stand in the order in which they are done."""

from __future__ import annotations

import pytest
from printed_page import read_page
from test_all_patterns import ENTRIES, FABRIC, fitted_and_page

from matcher.knitting.fabric import mid_gauge
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import load_catalogue

CLASSES = load_catalogue().classes


def finishing(key: str) -> list[str]:
    one = next(one for one in ENTRIES if one.key == key)
    gauge = mid_gauge(one.classes[0], FABRIC, CLASSES, one.firmness)
    return read_page(fitted_and_page((one, one.sizes[-1], gauge), Style())[1]).notes["Finishing"]


@pytest.mark.parametrize("key", ["pincushion", "hair-tie"])
def test_what_is_stuffed_or_gathered_is_blocked_before(key: str):
    first, *rest = finishing(key)
    assert first.startswith("Wash and block")
    assert not any("block" in line for line in rest)


def test_a_hat_is_blocked_last():
    assert finishing("hat-striped")[-1].startswith("Wash and block")
