"""Look-alikes: the groups against a slow reference, the bounds against CIEDE2000, what tells lots apart."""

from __future__ import annotations

import csv
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.actions.desk import Desk
from matcher.matching.scraps.lookalikes import TAG, groups_of, least_apart, lookalikes_of
from matcher.materials.colours.cielab import lab_from_linear, linear_from_lab
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.difference import ciede2000, ciede2000_of_two
from matcher.materials.fibre import parse_blend
from matcher.materials.lots import Bin, Lot
from matcher.materials.yarn import Yarn, length_on_hand, tex_from_ball, tex_from_class
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
RULES = CATALOGUE.identify
PUBLISHED = Path(__file__).resolve().parents[1] / "published"


def apart(a: Colour, b: Colour) -> float:
    """How far two lots are apart, written plainly, one pair at a time."""

    def one(x, y) -> float:
        return ciede2000_of_two(x, y)

    def mean(colour: Colour):
        return lab_from_linear(sum(share * linear_from_lab(np.array(lab)) for lab, share in colour.parts))

    if len(a.parts) == len(b.parts) == 1:
        return one(a.parts[0][0], b.parts[0][0])
    if len(a.parts) > 1 and len(b.parts) > 1 and a.kind != b.kind:
        return 1e6
    ways = [max(min(one(x, y) for y, _ in q.parts) for x, _ in p.parts) for p, q in ((a, b), (b, a))]
    return max(*ways, one(mean(a), mean(b)))


def slow_groups(colours: list[Colour], limit: float) -> list[tuple[tuple[int, ...], float]]:
    """Complete linkage as the books tell it: join the two nearest groups again and again, while they are near enough."""
    table = {(i, j): apart(colours[i], colours[j]) for i, j in combinations(range(len(colours)), 2)}
    groups = [[place] for place in range(len(colours))]

    def between(p: list[int], q: list[int]) -> float:
        return max(table[min(i, j), max(i, j)] for i in p for j in q)

    while len(groups) > 1:
        nearest, at, other = min((between(groups[i], groups[j]), i, j) for i, j in combinations(range(len(groups)), 2))
        if nearest > limit:
            break
        groups[at] += groups.pop(other)
    return sorted(
        (tuple(sorted(one)), max(table[min(i, j), max(i, j)] for i, j in combinations(one, 2)))
        for one in groups
        if len(one) > 1
    )


def random_colours(rng: np.random.Generator, number: int) -> list[Colour]:
    """Crowded colours, some of several parts, some twice; real numbers, so that no two differences are equal."""
    found = []
    for _ in range(number):
        many = int(rng.choice([1, 1, 1, 2, 3]))
        kind = "solid" if many == 1 else str(rng.choice(["heather", "variegated"]))
        base = np.array([rng.choice([12.0, 50.0, 90.0]), 0.0, 0.0]) + rng.normal(size=3) * [4.0, 4.0, 4.0]
        labs = base + rng.normal(size=(many, 3)) * 2.0
        shares = rng.dirichlet(np.full(many, 5.0))
        found.append(Colour(kind, tuple((tuple(lab), float(share)) for lab, share in zip(labs, shares, strict=True))))
    return found + found[: number // 8]


@pytest.mark.parametrize("seed", range(6))
def test_the_groups_are_those_of_a_slow_reference(seed: int):
    colours = random_colours(np.random.default_rng(seed), 24)
    found, reference = groups_of(colours, RULES.alike_delta_e), slow_groups(colours, RULES.alike_delta_e)
    assert [places for places, _ in found] == [places for places, _ in reference]
    assert [largest for _, largest in found] == pytest.approx([largest for _, largest in reference], abs=3e-4)
    assert len(found) > 2


def test_the_groups_are_those_of_plain_complete_linkage_over_all_pairs():
    """scikit-learn on every pair at once, with no blocks and no windows; solid colours from dark to light."""
    from sklearn.cluster import AgglomerativeClustering

    rng = np.random.default_rng(5)
    labs = np.column_stack([rng.uniform(5, 98, 700), rng.normal(0, 9, 700), rng.normal(0, 9, 700)])
    whole = AgglomerativeClustering(None, metric="precomputed", linkage="complete", distance_threshold=3.7)
    label = whole.fit(ciede2000(labs[:, None], labs)).labels_
    reference = sorted(
        tuple(np.flatnonzero(label == one).tolist()) for one in np.unique(label) if (label == one).sum() > 1
    )
    found = groups_of([Colour("solid", ((tuple(lab), 1.0),)) for lab in labs], 3.7)
    assert [places for places, _ in found] == reference
    assert len(found) > 100


def test_the_order_of_the_colours_changes_no_group():
    rng = np.random.default_rng(9)
    colours = random_colours(rng, 40)
    order = rng.permutation(len(colours))
    turned = groups_of([colours[place] for place in order], RULES.alike_delta_e)
    again = sorted(tuple(sorted(int(order[place]) for place in places)) for places, _ in turned)
    assert again == [places for places, _ in groups_of(colours, RULES.alike_delta_e)]


LABS = st.tuples(st.floats(0, 100), st.floats(-128, 128), st.floats(-128, 128))


@settings(deadline=None, max_examples=200)
@given(LABS, LABS, st.floats(0, 1))
def test_the_quick_figure_is_never_above_ciede2000(a, b, nearer: float):
    one = np.array([a])
    other = one + nearer * (np.array([b]) - one)
    assert least_apart(one, other)[0] <= ciede2000(one, other)[0] + 1e-9


def lot(name: str, **cells) -> Lot:
    """A lot of a DK wool, as its cells say."""
    given = {"light": 40.0, "tex": 400.0, "class": 3, "fibre": "wool", "wash": "hand", "dye_lot": "", "yarn": "plain"}
    given |= cells
    blend = parse_blend(given["fibre"], CATALOGUE.fibres)
    tex = (
        tex_from_ball(50.0, 50_000 / given["tex"], CATALOGUE.measuring)
        if given["tex"]
        else tex_from_class(3, CATALOGUE.classes)
    )
    yarn = Yarn(given["yarn"], tex, "ball band", given["class"], blend, given["wash"])
    colour = Colour("solid", (((given["light"], 3.0, -8.0), 1.0),))
    length = length_on_hand(40.0, yarn.tex, 1, blend, CATALOGUE.measuring)
    return Lot(
        name,
        "",
        yarn,
        colour,
        given.get("called", "grey"),
        40.0,
        1,
        50.0,
        given["dye_lot"],
        "yes",
        None,
        "",
        "",
        "",
        length,
    )


def groups(*lots: Lot):
    return lookalikes_of(Desk(Bin(lots), CATALOGUE).shelf.pools, RULES)


@pytest.mark.parametrize(
    ("a", "b", "told"),
    [
        ({}, {}, (TAG,)),
        ({"tex": 400}, {"tex": 480}, ("tex",)),  # ln 1.2 = 0.18, two errors of a band 0.14
        ({"tex": 400}, {"tex": 430}, (TAG,)),  # 0.07
        ({"tex": 400}, {"tex": 0}, (TAG,)),  # known from the class alone
        ({"fibre": "wool"}, {"fibre": "cotton"}, ("fibre",)),
        ({"fibre": "wool"}, {"fibre": "unknown"}, (TAG,)),
        ({"wash": "hand"}, {"wash": "machine"}, ("wash",)),
        ({"wash": "hand"}, {"wash": "unknown"}, (TAG,)),
        ({"dye_lot": "1"}, {"dye_lot": "2"}, ("dye lot",)),
        ({"dye_lot": "1"}, {}, (TAG,)),
        ({"dye_lot": "1", "fibre": "wool"}, {"dye_lot": "2", "fibre": "cotton"}, ("fibre",)),
    ],
)
def test_what_tells_two_lots_apart(a: dict, b: dict, told: tuple[str, ...]):
    (group,) = groups(lot("a", **a), lot("b", **b))
    assert group.told_apart_by == told
    assert group.untold == (("a", "b") if TAG in told else None)


def test_only_one_class_is_compared_and_lots_that_are_one_are_left_alone():
    assert groups(lot("a"), lot("b", **{"class": 4})) == ()
    assert groups(lot("a", dye_lot="7"), lot("b", dye_lot="7")) == ()  # one yarn, one colour, one dye lot
    assert groups(lot("a", light=40.0), lot("b", light=45.0)) == ()
    (group,) = groups(lot("a", dye_lot="7"), lot("b", dye_lot="7"), lot("c", dye_lot="8", light=41.0))
    assert [one.name for one in group.lots] == ["a", "b", "c"]
    assert group.dye_lots == (("grey (plain)", {"7": ("a", "b"), "8": ("c",)}),)
    assert (
        groups(lot("a", dye_lot="7"), replace(lot("b"), yarn=lot("b", yarn="other").yarn, dye_lot="8"))[0].dye_lots
        == ()
    )


def test_the_limit_is_what_it_says():
    """1.01 + 1.645 sqrt(2) 2 / sqrt(3), by hand."""
    assert pytest.approx(3.696, abs=5e-4) == RULES.alike_delta_e
    assert groups() == ()


def test_the_least_difference_that_is_seen_is_the_published_one():
    """The abstract's 50:50 perceptibility of 40 observers, as tests/published/colour_thresholds.csv has it."""
    with (PUBLISHED / "colour_thresholds.csv").open(encoding="utf-8") as file:
        (row,) = [row for row in csv.DictReader(file) if row["quantity"].endswith("40 observers")]
    assert float(row["value"]) == RULES.perceptible_delta_e
