"""Wash words, and the gentlest care of several yarns."""

from __future__ import annotations

import pytest

from matcher.materials.care import care_words, gentlest, label_words, parse_wash


@pytest.mark.parametrize(
    ("text", "wash"),
    [
        ("hand", "hand"),
        ("Hand-wash only", "hand"),
        ("MACHINE washable", "machine"),
        ("", "unknown"),
        ("?", "unknown"),
    ],
)
def test_wash_words(text: str, wash: str):
    assert parse_wash(text) == wash


def test_other_words_are_refused():
    with pytest.raises(ValueError, match="hand, machine or unknown"):
        parse_wash("boil")


@pytest.mark.parametrize(
    ("washes", "wash"),
    [
        (["hand", "machine"], "hand"),
        (["hand", "unknown"], "hand"),
        (["machine", "machine"], "machine"),
        (["machine", "unknown"], "unknown"),
        ([], "unknown"),
    ],
)
def test_the_gentlest_rules(washes: list[str], wash: str):
    assert gentlest(washes) == wash
    assert "wash" in str(label_words(wash))
    assert "wash" in str(care_words(washes))
