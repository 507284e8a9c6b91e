"""Blends as labels write them, and what follows from them."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.materials.fibre import Blend, find_fibre, parse_blend
from matcher.store.catalogue.catalogue import Catalogue, load_catalogue

FIBRES = load_catalogue().fibres


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("wool", "100% wool"),
        ("100% wool", "100% wool"),
        ("80% wool 20% nylon", "80% wool, 20% nylon"),
        ("20% nylon 80% wool", "80% wool, 20% nylon"),
        ("wool 80 / nylon 20", "80% wool, 20% nylon"),
        ("80 % WOOL, 20 % Polyamide", "80% wool, 20% nylon"),
        ("80wool 20nylon", "80% wool, 20% nylon"),
        ("wool 80%; nylon 20%", "80% wool, 20% nylon"),
        ("80% wool and 20% nylon", "80% wool, 20% nylon"),
        ("merino/silk 70/30", "70% merino, 30% silk"),
        ("75% machine-washable wool, 25% nylon", "75% superwash wool, 25% nylon"),
        ("87,5% cotton 12,5% elastane", "87.5% cotton, 12.5% elastane"),
        ("bamboo (viscose)", "100% bamboo viscose"),
        ("33% wool 33% silk 33% linen", "33.3% wool, 33.3% silk, 33.3% linen"),
        ("", "fibre not known"),
        ("unknown", "fibre not known"),
    ],
)
def test_read(text: str, words: str):
    blend = parse_blend(text, FIBRES)
    assert str(blend.words()) == words
    assert not blend.known or sum(share for _, share in blend.parts) == pytest.approx(1)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("80% wool 30% nylon", "110%, over 100%"),
        ("80% wool", "20% is missing"),
        ("80% wol 20% nylon", "did you mean wool"),
        ("80% moon dust 20% wool", "write unknown"),
        ("50% wool 50% pure wool", "wool stands twice"),
        ("wool/nylon", "2 fibres but no shares"),
        ("wool nylon 80", '"wool nylon"'),
        ("80%", "a share without a fibre"),
        ("-80% wool 20% nylon", "negative"),
    ],
)
def test_refused_in_plain_words(text: str, words: str):
    with pytest.raises(ValueError, match=re.escape(words)):
        parse_blend(text, FIBRES)


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str):
    try:
        blend = parse_blend(text, FIBRES)
    except ValueError:
        return
    assert not blend.known or sum(share for _, share in blend.parts) == pytest.approx(1)


def test_superwash_wool_does_not_felt_and_wool_does():
    assert parse_blend("wool", FIBRES).felting_share == 1
    assert parse_blend("superwash wool", FIBRES).felting_share == 0
    assert parse_blend("50% wool 50% acrylic", FIBRES).felting_share == pytest.approx(0.5)
    assert parse_blend("40% wool 60% acrylic", FIBRES).felting_share == pytest.approx(0.4)


def test_what_follows_from_the_shares():
    blend = parse_blend("60% kid mohair 40% silk", FIBRES)
    assert blend.halo_share == pytest.approx(0.6)
    assert blend.inelastic_share == pytest.approx(0.4)
    assert blend.regain_percent == pytest.approx(0.6 * 17 + 0.4 * 11)
    assert blend.animal
    assert not parse_blend("cotton", FIBRES).animal
    assert (Blend().known, Blend().regain_percent, Blend().felting_share) == (False, 0, 0)


def test_every_spelling_leads_to_one_fibre(catalogue: Catalogue):
    spellings = [word.casefold() for fibre in catalogue.fibres for word in {fibre.name, *fibre.words}]
    assert len(spellings) == len(set(spellings))
    for fibre in catalogue.fibres:
        for word in fibre.words:
            assert find_fibre(word, catalogue.fibres) is fibre
            assert parse_blend(word, catalogue.fibres).parts == ((fibre, 1.0),)
