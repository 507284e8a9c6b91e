"""Blends as labels write them, and what follows from them."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.materials.estimate import Estimate
from matcher.materials.fibre import Blend, felts, find_fibre, hairy, heard_blend, inelastic, parse_blend
from matcher.materials.reading.heard import Heard
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
    assert heard_blend(text, FIBRES) == Heard(blend)


@pytest.mark.parametrize(
    ("text", "words", "sure"),
    [
        ("75/25 merino/nylon", "75% merino, 25% nylon", True),
        ("Shetland", "100% wool", True),
        ("BFL/nylon 80/20", "80% wool, 20% nylon", True),
        ("50% merino 50% Tencel", "50% merino, 50% lyocell", True),
        ("merino 40% possum 40% silk 20%", "40% merino, 40% possum, 20% silk", True),
        ("sw merino/nylon 75/25", "75% superwash wool, 25% nylon", True),
        ("mohair/silk", "mohair and silk, shares not known", True),
        ("wool/nylon", "wool and nylon, shares not known", True),
        ("merino silk cashmere", "merino, silk and cashmere, shares not known", True),
        ("wool mix", "wool and other fibres, shares not known", False),
        ("wool blend", "wool and other fibres, shares not known", False),
        ("mostly wool", "wool and other fibres, shares not known", False),
        ("wool?", "100% wool", False),
        ("maybe alpaca", "100% alpaca", False),
        ("superwash?", "100% wool", False),
        ("wool (maybe superwash)", "100% wool", False),
        ("alpacca", "100% alpaca", False),
        ("mereno 75 nylon 25", "75% merino, 25% nylon", False),
        ("70% wool, rest other fibres", "70% wool", True),
        ("70% alpaca 30% other fibres", "70% alpaca", True),
        ("mixed", "fibre not known", True),
        ("unknown mix", "fibre not known", True),
    ],
)
def test_what_a_label_says_in_other_words(text: str, words: str, sure: bool):
    heard = heard_blend(text, FIBRES)
    assert (str(heard.value.words()), heard.sure) == (words, sure)
    if not sure or not heard.value.told:
        assert str(heard.taken) == words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("80% wool 30% nylon", "110%, over 100%"),
        ("80% wool", "20% is missing"),
        ("80% wol 20% nylon", "did you mean wool"),
        ("80% moon dust 20% wool", "write unknown"),
        ("50% wool 50% pure wool", "wool stands twice"),
        ("wool nylon 80", '"wool nylon"'),
        ("wool/nylon 80", "2 fibres but 1 share"),
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
    assert sum(share for _, share in blend.parts) + blend.unknown_share == pytest.approx(1)


def test_superwash_wool_does_not_felt_and_wool_does():
    assert parse_blend("wool", FIBRES).felting_share == 1
    assert parse_blend("superwash wool", FIBRES).felting_share == 0
    assert parse_blend("50% wool 50% acrylic", FIBRES).felting_share == pytest.approx(0.5)
    assert parse_blend("40% wool 60% acrylic", FIBRES).felting_share == pytest.approx(0.4)


def test_what_follows_from_the_shares():
    blend = parse_blend("60% kid mohair 40% silk", FIBRES)
    assert blend.halo_share == pytest.approx(0.6)
    assert blend.inelastic_share == pytest.approx(0.4)
    assert blend.regain(17.0).mean == pytest.approx(0.6 * 17 + 0.4 * 11)
    assert blend.animal
    assert not parse_blend("cotton", FIBRES).animal
    assert (Blend().known, Blend().regain(17.0).mean, Blend().felting_share) == (False, 17, 0)


def test_every_spelling_leads_to_one_fibre(catalogue: Catalogue):
    spellings = [word.casefold() for fibre in catalogue.fibres for word in {fibre.name, *fibre.words}]
    assert len(spellings) == len(set(spellings))
    for fibre in catalogue.fibres:
        for word in fibre.words:
            assert find_fibre(word, catalogue.fibres) is fibre
            assert parse_blend(word, catalogue.fibres).parts == ((fibre, 1.0),)


@pytest.mark.parametrize("text", ["mohair/silk", "wool/nylon/silk", "wool mix", "merino silk cashmere nylon"])
def test_shares_that_are_not_told_against_drawing_them(text: str):
    """Any division is as likely: means, spreads and chances of sums of shares, and the moisture, by 400,000 draws."""
    blend = parse_blend(text, FIBRES)
    assert not blend.told
    number = len(blend.parts) + (blend.unknown_share > 0)
    drawn = np.random.default_rng(7).dirichlet(np.ones(number), 400_000)
    for has in (felts, hairy, inelastic):
        having = drawn[:, [place for place, (fibre, _) in enumerate(blend.parts) if has(fibre)]].sum(axis=1)
        share = blend.share(has)
        assert share.mean == pytest.approx(having.mean(), abs=0.003)
        assert share.sd == pytest.approx(having.std(), abs=0.003)
        for least in (0.2, 0.4, 0.5):
            assert blend.chance(has, least) == pytest.approx((having >= least).mean(), abs=0.005)
    regains = [fibre.regain_percent for fibre, _ in blend.parts] + [17.0] * (blend.unknown_share > 0)
    moisture = drawn @ np.array(regains)
    assert blend.regain(17.0).mean == pytest.approx(moisture.mean(), abs=0.02)
    assert blend.regain(17.0).sd == pytest.approx(moisture.std(), abs=0.02)


def test_shares_that_are_told_have_no_spread():
    blend = parse_blend("60% kid mohair 40% silk", FIBRES)
    assert blend.share(hairy) == Estimate(pytest.approx(0.6), 0.0)
    assert (blend.chance(hairy, 0.6), blend.chance(hairy, 0.61)) == (1.0, 0.0)
    assert blend.regain(17.0).sd == 0
    assert parse_blend("mohair/silk", FIBRES).glossy_share == pytest.approx(1.0)
    assert parse_blend("cotton/silk", FIBRES).glossy_share == pytest.approx(math.sqrt(1 / 3))


def test_merino_is_not_superwash_unless_the_label_says_so():
    assert parse_blend("merino", FIBRES).felting_share == 1
    assert parse_blend("superwash merino", FIBRES).felting_share == 0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("laine", "100% wool"),
        ("85% ull, 15% polyamid", "85% wool, 15% nylon"),
        ("bomuld", "100% cotton"),
        ("alpakka/silke 70/30", "70% alpaca, 30% silk"),
        ("lana merina", "100% merino"),
        ("75% WO 25% PA", "75% wool, 25% nylon"),
        ("pure laine vierge", "100% wool"),
        ("laine mérinos", "100% merino"),
        ("80% laine 20% polyamide", "80% wool, 20% nylon"),
        ("70 % laine et 30 % soie", "70% wool, 30% silk"),
        ("lana", "100% wool"),
        ("Lino", "100% linen"),
        ("lin", "100% linen"),
        ("seta", "100% silk"),
        ("seda", "100% silk"),
        ("coton", "100% cotton"),
        ("cotone", "100% cotton"),
        ("algodón", "100% cotton"),
        ("algodon", "100% cotton"),
        ("alpaga", "100% alpaca"),
        ("Schurwolle", "100% wool"),
        ("75% Wolle 25% Seide", "75% wool, 25% silk"),
        ("55% Leinen und 45% Baumwolle", "55% linen, 45% cotton"),
        ("Alpaka", "100% alpaca"),
        ("cachemire", "100% cashmere"),
        ("acrilico", "100% acrylic"),
    ],
)
def test_fibres_have_their_names_in_french_spanish_italian_and_german(text: str, words: str):
    heard = heard_blend(text, FIBRES)
    assert str(heard.value.words()) == words
    assert heard.sure


def test_each_word_names_one_fibre():
    words = [word for fibre in FIBRES for word in fibre.spellings]
    assert sorted(words) == sorted(set(words))


@pytest.mark.parametrize("text", ["60% laine hemd 40% silk", "60% silk camei 40% wool"])
def test_a_fibre_is_never_guessed_where_a_word_names_another(text: str):
    named = text.split()[1]
    known = str(find_fibre(named, FIBRES).name)
    with pytest.raises(ValueError, match=f"did you mean {known}"):
        parse_blend(text, FIBRES)
