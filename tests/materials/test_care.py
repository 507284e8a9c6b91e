"""Wash words, and the gentlest care of several yarns."""

from __future__ import annotations

import pytest

from matcher.materials.care import care_words, gentlest, heard_wash, label_words
from matcher.materials.reading.heard import Heard


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
    assert heard_wash(text) == Heard(wash)


@pytest.mark.parametrize(
    ("text", "wash", "sure"),
    [
        ("machine ok", "machine", True),
        ("handwash only", "hand", True),
        ("hand wash cool, dry flat", "hand", True),
        ("superwash, 30 degrees", "machine", True),
        ("30°C", "machine", True),
        ("wool cycle", "machine", True),
        ("handwash cycle", "machine", True),
        ("gentle machine wash 30", "machine", True),
        ("do not machine wash", "hand", True),
        ("never in the machine", "hand", True),
        ("don't put it in a machine", "hand", True),
        ("not superwash", "hand", False),
        ("machine or hand", "hand", False),
        ("machine?", "machine", False),
    ],
)
def test_what_a_label_says_in_other_words(text: str, wash: str, sure: bool):
    heard = heard_wash(text)
    assert (heard.value, heard.sure) == (wash, sure)
    assert heard.taken


@pytest.mark.parametrize("text", ["label lost", "no idea", "n/a", "-", "not sure"])
def test_a_label_that_says_nothing(text: str):
    assert heard_wash(text) == Heard("unknown")


def test_other_words_are_refused():
    with pytest.raises(ValueError, match="hand, machine or unknown"):
        heard_wash("boil")


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
