"""How a piece is blocked: the most delicate yarn rules, and nobody soaks what isn't known."""

from __future__ import annotations

import pytest

from matcher.materials.blocking import blocking_rule, care_of
from matcher.materials.fibre import Blend, parse_blend
from matcher.store.catalogue.catalogue import Catalogue


@pytest.mark.parametrize(
    ("blends", "group"),
    [
        (["100% wool"], "wool"),
        (["wool", "superwash wool"], "superwash"),
        (["80% wool 20% nylon"], "wool"),
        (["wool", "acrylic"], "synthetics"),
        (["90% wool 10% acrylic"], "wool"),
        (["80% wool 20% acrylic"], "synthetics"),
        (["70% alpaca 30% wool"], "alpaca"),
        (["mohair/silk"], "silk"),
        (["cotton"], "plant"),
        (["cotton", "wool"], "wool"),
        (["nylon"], "other"),
        (["wool", ""], "not known"),
        ([], "not known"),
    ],
)
def test_the_most_delicate_yarn_rules(blends: list[str], group: str, catalogue: Catalogue):
    read = [parse_blend(text, catalogue.fibres) for text in blends]
    assert blocking_rule(read, catalogue.blocking).group == group


def test_every_fibre_has_its_row(catalogue: Catalogue):
    for fibre in catalogue.fibres:
        assert blocking_rule([Blend(((fibre, 1.0),))], catalogue.blocking).group != "not known", fibre.name


@pytest.mark.parametrize(
    ("blends", "washes", "said"),
    [
        (["75% wool 25% nylon"], ["machine"], "ten minutes"),
        (["75% wool 25% nylon"], ["unknown"], "doesn't felt"),
        (["wool", "wool"], ["machine", "hand"], "doesn't felt"),
        (["silk"], ["machine"], "without rubbing or wringing"),
    ],
)
def test_wool_that_may_go_into_the_machine_does_not_felt(
    blends: list[str], washes: list[str], said: str, catalogue: Catalogue
):
    read = [parse_blend(text, catalogue.fibres) for text in blends]
    assert said in str(care_of(read, washes, catalogue.blocking)[0])


def test_blocking_and_washing_are_two_sentences(catalogue: Catalogue):
    blocked, washed = care_of([parse_blend("wool", catalogue.fibres)], ["machine", "hand"], catalogue.blocking)
    assert "twenty minutes" in str(blocked)
    assert str(washed) == "from then on wash by hand, cool: follow the gentlest label"
