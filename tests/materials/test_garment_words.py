"""What became of a garment, and its kind, against a table written apart."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.materials.garment_words import GIVEN, GONE, STATUSES, WORN, heard_status, kind_among
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import Unreadable
from matcher.store.catalogue.catalogue import load_catalogue

KINDS = load_catalogue().garment_kinds


@pytest.mark.parametrize("status", STATUSES)
def test_a_tidy_word_has_nothing_made_of_it(status: str):
    assert heard_status(status) == heard_status(f" {status.upper()} ") == Heard(status)


@pytest.mark.parametrize(
    ("cell", "status", "sure"),
    [
        ("still worn", WORN, True),
        ("in the wash pile", WORN, True),
        ("worn daily", WORN, True),
        ("needs mending", WORN, True),
        ("yes", WORN, False),
        ("yes, in the loft", WORN, False),
        ("given to my sister", GIVEN, True),
        ("gifted 2019", GIVEN, True),
        ("lent to Ann", GIVEN, True),
        ("Anna has it", GIVEN, True),
        ("no - given to sister", GIVEN, True),
        ("for my mum", GIVEN, False),
        ("lives at Hal's", GIVEN, False),
        ("lives with Hal", GIVEN, False),
        ("at mum's", GIVEN, False),
        ("given?", GIVEN, False),
        ("no", GIVEN, False),
        ("not worn", GIVEN, False),
        ("no longer worn", GIVEN, False),
        ("outgrown, charity shop", GONE, True),
        ("lost", GONE, True),
        ("unravelled", GONE, True),
        ("frogged", GONE, True),
        ("given to a friend, then lost", GONE, True),
        ("worn out", GONE, True),
        ("outgrown", GONE, False),
        ("felted", GONE, False),
        ("felted in the wash :(", GONE, False),
        ("shrunk in the wash", GONE, True),
        ("moth-eaten", GONE, False),
        ("unraveld", GONE, False),
        ("gone at the elbows", WORN, False),
        ("lost a button", WORN, False),
        ("cuffs worn out", WORN, False),
        ("needs new cuffs", WORN, False),
        ("cuffs gone, binned", GONE, True),
        ("to be frogged", WORN, False),
        ("nearly worn out", WORN, False),
        ("not sold", WORN, False),
        ("hasn't been given away", WORN, False),
        ("for the charity shop", WORN, False),
        ("will be given to Jo", WORN, False),
        ("no longer mine", GIVEN, False),
        ("passed to my sister", GIVEN, True),
        ("moth holes but wearable", WORN, True),
        ("for best", WORN, True),
        ("hibernating", WORN, False),
    ],
)
def test_a_cell_against_the_table(cell: str, status: str, sure: bool):
    heard = heard_status(cell)
    assert (heard.value, heard.sure) == (status, sure)
    assert str(heard.taken).startswith(status)


@pytest.mark.parametrize("cell", ["?", "unknown", "blue", "finished 2019"])
def test_what_says_nothing_of_it_is_refused(cell: str):
    with pytest.raises(Unreadable, match="worn, given or gone"):
        heard_status(cell)


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str):
    try:
        assert heard_status(text).value in STATUSES
    except Unreadable:
        return


@pytest.mark.parametrize(
    ("cell", "kind", "sure"),
    [
        ("jumper", "jumper", True),
        ("Yoke jumper", "yoke jumper", True),
        ("gansey", "gansey", True),
        ("slipover", "slipover", True),
        ("tank top", "tank top", True),
        ("waistcoat", "waistcoat", True),
        ("raglan", "raglan", True),
        ("raglan cardigan", "cardigan", True),
        ("hoodie", "hoodie", True),
        ("dress", "dress", True),
        ("poncho", "poncho", True),
        ("V-neck vest", "vest", True),
        ("short-sleeved pullover", "pullover", True),
        ("Fair Isle yoke sweater", "yoke sweater", True),
        ("child's jumper", "child's jumper", True),
        ("two cardigans", "cardigan", True),
        ("jumpr", "jumper", False),
        ("cardigon", "cardigan", False),
        ("green wastcoat", "waistcoat", False),
        ("hat", "", False),
        ("", "", False),
    ],
)
def test_a_kind_against_the_table(cell: str, kind: str, sure: bool):
    assert kind_among(cell, KINDS) == (kind, sure)


def test_all_kinds_lead_to_themselves():
    for kind in KINDS:
        assert kind_among(kind, KINDS) == (kind, True)
