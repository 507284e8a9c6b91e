"""She casts off to a tension in stocking stitch, or binds off to a gauge in stockinette: no page mixes the two."""

from __future__ import annotations

import re

import pytest
from test_all_patterns import ENTRIES, FABRIC, fitted_and_page

from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import mid_gauge
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import load_catalogue

CLASSES = load_catalogue().classes
AMERICAN = r"\b(bind\w* off|bound off|bind-off|gauges?|stockinette)\b"
BRITISH = r"\b(cast\w* off|casting off|cast-off|tensions?|stocking[- ]stitch|stocking)\b"


@pytest.mark.parametrize("one", ENTRIES, ids=lambda one: one.key)
@pytest.mark.parametrize(
    ("british", "hers", "others"), [(True, BRITISH, AMERICAN), (False, AMERICAN, BRITISH)], ids=["british", "american"]
)
def test_no_page_holds_a_word_of_the_other_side(one: Accessory, british: bool, hers: str, others: str):
    gauge = mid_gauge(one.classes[0], FABRIC, CLASSES, one.firmness)
    _, page = fitted_and_page((one, one.sizes[-1], gauge), Style(british=british))
    assert not re.findall(others, page, re.I)
    assert re.search(hers, page, re.I)
