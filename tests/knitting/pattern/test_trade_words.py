"""She casts off to a tension in stocking stitch, or binds off to a gauge in stockinette: no page mixes the two."""

from __future__ import annotations

import re

import pytest
from listed import CATALOGUE, listed, middle, page

from matcher.knitting.accessory import Accessory
from matcher.reasons.style import Style

AMERICAN = r"\b(bind\w* off|bound off|bind-off|gauges?|stockinette)\b"
BRITISH = r"\b(cast\w* off|casting off|cast-off|tensions?|stocking[- ]stitch|stocking)\b"


@pytest.mark.parametrize("one", CATALOGUE.accessories.values(), ids=lambda one: one.key)
@pytest.mark.parametrize(
    ("british", "hers", "others"), [(True, BRITISH, AMERICAN), (False, AMERICAN, BRITISH)], ids=["british", "american"]
)
def test_no_page_holds_a_word_of_the_other_side(one: Accessory, british: bool, hers: str, others: str):
    said = page(listed(one, gauge=middle(one, one.classes[0])), Style(british=british))
    assert not re.findall(others, said, re.I)
    assert re.search(hers, said, re.I)
