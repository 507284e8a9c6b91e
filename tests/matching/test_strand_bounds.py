"""What strands and single pools are said to add at most is never less than what an assignment with them scores."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import generated
import numpy as np
import numpy.typing as npt
import pytest

from matcher.actions.desk import Desk
from matcher.matching.pools import Stock, stock_of
from matcher.matching.ranking import closer
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import Choices, joined, marls, pick
from matcher.matching.ranking.closer import closer_bounds
from matcher.matching.ranking.evaluate import evaluate
from matcher.matching.ranking.held import held_in
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.strands import StrandWorth, strands_beside
from matcher.matching.ranking.thin import Thin
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Bin, Garment, Lot
from matcher.materials.yarn import Yarn, length_on_hand, tex_from_ball
from matcher.store.catalogue.catalogue import load_catalogue

Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

CATALOGUE = load_catalogue()
VARIANTS = Desk(Bin(()), CATALOGUE).variants
ENOUGH = 40  # assignments of one block: another block tells more
LIGHT = {"colours": (10, 95), "greys": (30, 48), "hardly": (47, 53)}


def thin_stock(kind: str, pick_: Random, number: int) -> Stock:
    """Lots of thin yarns, most of them from garments, a few of the same yarn or of several colours."""
    owners = {name: Garment(name, "pullover", "gone", "", None, None, None, (), "", "") for name in ("one", "two")}
    lots = []
    for place in range(number):
        tex = tex_from_ball(50.0, pick_.uniform(160, 420), CATALOGUE.measuring)
        yarn = Yarn(pick_.choice(["soft", "firm", f"yarn {place}"]), tex, "ball band", 1, generated.Blend(), "hand")
        light = pick_.choice([14.0, 91.0]) if kind == "hardly" and place < 2 else pick_.uniform(*LIGHT[kind])
        labs = [(light, pick_.gauss(0, 14), pick_.gauss(0, 14)), (pick_.uniform(20, 90), 3.0, 3.0)]
        two = pick_.random() < 0.2
        colour = Colour("variegated", ((labs[0], 0.7), (labs[1], 0.3))) if two else Colour("solid", ((labs[0], 1.0),))
        length = length_on_hand(200.0, tex, 1, yarn.blend, CATALOGUE.measuring)
        home = pick_.choice(["", "one", "one", "two", "two"])
        lot = Lot(f"lot {place:02d}", home, yarn, colour, "", 200.0, 1, 50.0, "1", "yes", 0.0, "", "", "main", length)
        lots.append(lot)
    return stock_of(Desk(Bin(tuple(lots), owners), CATALOGUE).shelf.pools, CATALOGUE.together)


def block_of(kind: str, roles: int, lots: int, pick_: Random, wanted: int = 0) -> Block:
    """One size of something of so many roles, over a bin of so many lots, so many of which are wanted."""
    scope = scope_of(VARIANTS, Wishes(varied=False))
    searcher = searcher_of(thin_stock(kind, pick_, lots), scope, CATALOGUE)
    if wanted:
        searcher = replace(searcher, wanted=frozenset(pick_.sample(range(len(searcher.stock)), wanted)))
    keys = sorted(key for key, several in VARIANTS.items() if several and len(several[0].filled) == roles)
    variant = pick_.choice(VARIANTS[pick_.choice(keys)])
    return Block(searcher, [variant], scope.least[variant.accessory.key])


def could_read(block: Block, threads: Choices, drawn: Indexes) -> Flags:
    """Which of many assignments read well enough in every pair of roles that touch, told of all at once; drawn: (n, roles)."""
    least = np.ones(len(drawn))
    for a, b in block.edges if len(drawn) else ():
        reads = block.searcher.reads(threads, drawn[:, a], threads, drawn[:, b], block.hue_kept(a, b))
        least = np.minimum(least, reads)
    return least >= block.least - 1e-9


@pytest.mark.parametrize("wanted", [0, 1, 2])
@pytest.mark.parametrize("kind", LIGHT)
@pytest.mark.parametrize("roles", [1, 2, 3, 4])
def test_no_assignment_scores_more_than_its_strands_allow(kind: str, roles: int, wanted: int) -> None:
    """Whatever may be used, or where one of some lots must be: in the first role that holds one."""
    pick_ = Random(f"{kind} {roles}")
    rng = np.random.default_rng(roles)
    looked_at = 0
    for _ in range(12):
        block = block_of(kind, roles, 8 + roles, pick_, wanted)
        searcher, stock = block.searcher, block.searcher.stock
        thin = Thin(block)
        of_sizes = {held: thin.of(0, held=held) for held in held_in(block)}
        assert max(one.most for one in of_sizes.values()) <= thin.quick_bounds()[0] + 1e-12
        if len(thin.pools) < 3 or not any(np.isfinite(one.tops).all() for one in of_sizes.values()):
            continue
        mates = searcher.mates(block.window, True)
        together = searcher.w_together * searcher.rules.marl_factor
        bounds, cuts = {}, {}
        for held, of_size in of_sizes.items():
            if np.isfinite(of_size.tops).all():
                bounds[held] = strands_beside(thin, of_size, 0, mates, -np.inf)
                # Under a bar only what could beat it is bounded, and the others score no more than that.
                bar = float(of_size.most) - 0.05
                of_cut = Thin(block).of(0, bar, held)
                cuts[held] = bar, of_cut, strands_beside(thin, of_cut, 0, mates, bar - together)
        every = marls(stock, thin.pools, np.zeros(len(thin.pools)), -np.inf, block.window, searcher.rules)
        threads = joined([block.base, every])
        if not len(every):
            continue
        listed = set(zip(mates.pools[mates.first].tolist(), mates.pools[mates.second].tolist(), strict=True))
        found_here = 0
        drawn = rng.integers(len(threads), size=(100 * roles**2, roles))
        worths = [block.threads(at, threads).worth[0] for at in range(roles)]
        of_strands = rng.integers(roles, size=len(drawn))
        drawn[np.arange(len(drawn)), of_strands] = len(block.base) + rng.integers(len(every), size=len(drawn))
        for at in np.flatnonzero(could_read(block, threads, drawn)):
            if found_here == ENOUGH:
                break
            role, places = int(of_strands[at]), drawn[at].tolist()
            pools = [set(threads.strands[place].tolist()) for place in places]
            if sum(map(len, pools)) > len(set().union(*pools)):
                continue
            held = next((at for at, one in enumerate(pools) if one & (searcher.wanted or set())), None)
            if held is None and wanted:
                continue
            whole = joined([pick(threads, np.array([place])) for place in places])
            found = evaluate(block, 0, whole)
            reads = found.parts["contrast"] >= block.least or not block.edges
            if not reads or found.sure < searcher.chance or not found.parts["together"]:
                continue
            if not all(np.isfinite(worths[at][place]) for at, place in enumerate(places)):
                continue
            found_here += 1
            of_size, (bar, of_cut, cut) = of_sizes[held], cuts[held]
            strands = [(pool, n) for pool, n in found.threads[role] for _ in range(n)]
            related = all((a, b) in listed for a, _ in strands for b, _ in strands if a != b)
            rest = of_size.tops.sum() - of_size.tops[role]

            def mean(
                one: StrandWorth, strands: list[tuple[int, int]] = strands, related: bool = related, thin: Thin = thin
            ) -> float:
                """Over the strands of the thread."""
                at = [int(np.searchsorted(thin.pools, pool)) for pool, _ in strands]
                strange = one.of_strangers if one.plainly[at].any() else one.dimly
                return float(np.mean((one.of_mates if related else strange)[at]))

            assert found.score <= max(bar, min(of_cut.most, mean(cut[role]) + rest + together)) + 1e-9
            assert found.score <= mean(bounds[held][role]) + rest + together + 1e-9
            assert found.score <= of_size.most + 1e-9
        looked_at += found_here
    assert looked_at > (20 if wanted else 40)


def test_threads_that_must_have_some_strand_are_all_that_have_one() -> None:
    pick_ = Random(3)
    for _ in range(6):
        block = block_of("colours", 2, 12, pick_)
        stock, thin, rng = block.searcher.stock, Thin(block).pools, np.random.default_rng(pick_.randrange(99))
        worth, needed = rng.uniform(0.0, 1.0, len(thin)), rng.random(len(thin)) < 0.25
        asked = stock, thin, worth, 0.5, block.window, block.searcher.rules
        every, some = (_told(marls(*asked, must)) for must in (None, needed))
        must_have = set(thin[needed].tolist())
        assert len(some) == len(set(some))
        assert set(some) == {one for one in every if must_have & {pool for pool, _ in one}}


def _told(threads: Choices) -> list[frozenset[tuple[int, float]]]:
    """The pools of each thread, and how many strands of each."""
    every = zip(threads.strands.tolist(), threads.count.tolist(), strict=True)
    return [frozenset((pool, n) for pool, n in zip(pools, count, strict=True) if n > 0) for pools, count in every]


@pytest.mark.parametrize("kind", LIGHT)
@pytest.mark.parametrize("roles", [2, 3, 4, 5])
def test_no_assignment_scores_more_than_the_bounds_of_its_sizes(
    kind: str, roles: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With all pairs of candidates looked at, and as where they are too many."""
    pick_ = Random(f"{kind} {roles} alone")
    rng = np.random.default_rng(roles)
    looked_at = 0
    for _ in range(8):
        seed = pick_.random()
        blocks = {dense: block_of(kind, roles, 9 + roles, Random(seed)) for dense in (0, closer.DENSE)}
        block = blocks[0]

        def closely(bar: float, blocks: dict[int, Block] = blocks) -> float:
            """The lower of both ways."""
            most = []
            for dense, one in blocks.items():
                monkeypatch.setattr(closer, "DENSE", dense)
                most.append(float(closer_bounds(one, bar, np.full(1, np.inf))[0]))
            return min(most)

        searcher, found_here = block.searcher, 0
        bounds = [block.rough_bounds()[0], block.quick_bounds()[0]]
        bounds.append(closely(-np.inf) if bounds[-1] > -np.inf else -np.inf)
        tried = 10 * roles**2 if len(block.base) >= roles else 0
        drawn = rng.permuted(np.tile(np.arange(len(block.base)), (tried, 1)), axis=1)[:, :roles]
        for places in drawn[could_read(block, block.base, drawn)]:
            worth = [merit.worth[0, place] for merit, place in zip(block.merits, places, strict=True)]
            if not np.isfinite(worth).all():
                continue
            found = evaluate(block, 0, pick(block.base, places))
            could = len(found.pools) == roles and found.sure >= searcher.chance and found.parts["together"]
            if could and found.parts["contrast"] >= block.least:
                found_here += 1
                assert found.score <= min(bounds) + 1e-9
                assert found.score <= closely(found.score - 0.02) + 1e-9
            if found_here == ENOUGH:
                break
        looked_at += found_here
    assert looked_at > 10
