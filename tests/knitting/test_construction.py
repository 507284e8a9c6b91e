"""Which way a thing is made: what its zones leave no doubt of."""

from __future__ import annotations

from dataclasses import replace

from matcher.knitting.construction import construction_of
from matcher.store.catalogue.catalogue import load_catalogue

ENTRIES = load_catalogue().accessories


def test_a_thumb_makes_a_mitt_and_its_gusset_says_how():
    mitts = ENTRIES["mitts-fingerless"]
    assert construction_of(mitts) == "mitts"
    assert (
        construction_of(replace(mitts, zones=tuple(zone for zone in mitts.zones if zone.shape != "triangle")))
        == "parts"
    )


def test_wrist_warmers_have_no_thumb():
    assert {construction_of(one) for key, one in ENTRIES.items() if key.startswith("wrist-warmers")} == {"tube"}
