"""A hat, a cowl and mitts to match a sweater: its motif, its leftovers, none of them promised twice."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from typer.testing import Result

from matcher.actions.desk import Desk, desk_of
from matcher.actions.partner.partner import partner
from matcher.actions.pattern.fitting import fitted_of_recipe, needs_of_recipe
from matcher.actions.ranking.pictures import card_of
from matcher.actions.sets import sharings
from matcher.actions.sets.plan import plan_set
from matcher.actions.sets.result import Sets
from matcher.actions.sets.told import how_good
from matcher.errors import BadInput, NotFound
from matcher.materials.lots import Lot
from matcher.materials.uncertain import Estimate
from matcher.store.recipes import parse_recipe

DEMO = Path(__file__).resolve().parents[2] / "demo"
NAVY, GREY = "navy yoke pullover", "grey yoke pullover"
KINDS = ["hat", "cowl", "mitts"]


@cache
def demo() -> Desk:
    return desk_of(None)


def with_lots(**metres: float) -> Desk:
    """The demo with so many metres of some lots."""

    def changed(lot: Lot) -> Lot:
        new = metres.get(lot.name)
        if new is None:
            return lot
        return replace(lot, length=Estimate(new, lot.length.sd), mass_g=new * lot.yarn.tex.mean / 1000.0)

    return demo().with_(bin=replace(demo().bin, lots=tuple(map(changed, demo().bin.lots))))


@cache
def three() -> tuple[Desk, Sets]:
    """The three from a sweater that left enough of its main colour."""
    desk = with_lots(navy=420.0)
    return desk, plan_set(desk, match=NAVY)


def test_the_three_are_of_the_garments_motif_and_of_its_lots_alone() -> None:
    desk, found = three()
    assert [one.kind for one in found.best] == KINDS
    assert not found.not_possible
    motif = desk.catalogue.motifs[desk.bin.garments[NAVY].motif]
    for one in found.best:
        put_in = one.found.variant.put_in
        assert put_in is not None
        assert put_in.motif == motif
        rows = [row for part in put_in.fitted.parts for row in part.rows]
        assert rows
        assert all(row[: motif.width] in motif.grid for row in rows)
        assert one.people == ("me",)
    left = {lot.name for lot in desk.bin.lots if lot.garment == NAVY}
    assert {use.lot.name for use in found.best.lots} <= left


def test_every_reserve_is_kept_and_all_is_as_sure_as_asked() -> None:
    desk, found = three()
    for use in found.best.lots:
        assert use.reserve_m == pytest.approx(use.lot.unclaimed_m - desk.shelf.free[use.lot.name].mean)
        assert use.left_m >= -1e-9
        assert use.used_m <= desk.shelf.free[use.lot.name].mean + 1e-6
    assert found.best.sure >= found.sure_at_least
    assert simulated(desk, found) == pytest.approx(found.best.sure, abs=0.01)


def simulated(desk: Desk, found: Sets, draws: int = 200_000) -> float:
    """How often the yarn lasts for all: one tension for everything, an error of its own for each need and each pool."""
    draw = np.random.default_rng(7).standard_normal
    tension, asked = draw(draws), dict[str, np.ndarray]()
    for one in found.best:
        for role in one.roles:
            need = role.need
            takes = need.length_m * np.exp(need.shared_sd * tension + need.own_sd * draw(draws))
            asked[role.lots[0].name] = asked.get(role.lots[0].name, np.zeros(draws)) + takes
    lasts = np.ones(draws, dtype=bool)
    for pool in desk.shelf.pools:
        if pool.name in asked:
            spread = np.sqrt(np.log1p((pool.free.sd / pool.free.mean) ** 2))
            lasts &= pool.free.mean * np.exp(spread * draw(draws)) >= asked[pool.name]
    return float(lasts.mean())


def test_metres_are_those_of_a_partner_in_the_same_fit() -> None:
    desk, found = three()
    for one in found.best:
        put_in = one.found.variant.put_in
        assert put_in is not None
        key, like = one.found.variant.accessory.key, put_in.cast_on
        fits = partner(desk, garment=NAVY, accessory=key).fits
        place = next(
            at
            for at, fit in enumerate(fits, 1)
            if (fit.stitches, fit.repeats, fit.plain_columns) == (like.stitches, like.repeats, like.plain_columns)
        )
        made = partner(desk, garment=NAVY, accessory=key, fit=place)
        assert {role.role: role.need_m for role in one.roles} == {role.role: role.need_m for role in made.roles}


def test_a_thing_is_begun_and_drawn_in_that_very_fit() -> None:
    desk, found = three()
    catalogue = desk.catalogue
    for one, recipe in zip(found.best, found.best.recipes, strict=True):
        put_in = one.found.variant.put_in
        assert put_in is not None
        again = parse_recipe(recipe.text())
        entry = catalogue.accessories[recipe.accessory]
        assert fitted_of_recipe(again, entry, catalogue).parts == put_in.fitted.parts
        stitches = {need.role: need.stitches for need in needs_of_recipe(again, entry, catalogue)}
        assert stitches == {role.role: role.need.stitches for role in one.roles}
        assert card_of(one, (), catalogue).picture is not None


def test_what_is_said_of_it_holds_for_what_was_tried() -> None:
    _, found = three()
    assert found.best.proved
    assert str(how_good(found.best, found.aim)) == "the best of the fits that were tried"
    assert any("is chosen among" in str(note) for note in found.notes)


def test_colours_lie_as_in_the_sweater_where_they_can() -> None:
    desk, found = three()
    own: Mapping[str, str] = {lot.role: lot.name for lot in desk.bin.lots if lot.garment == NAVY}
    assert all(role.lots[0].name == own[role.role] for one in found.best for role in one.roles)


def test_what_cannot_be_is_told_with_its_figure_and_what_could_be() -> None:
    found = plan_set(demo(), match=GREY)
    assert [one.kind for one in found.best] == ["hat", "mitts"]
    (cowl,) = found.not_possible
    assert str(cowl.want) == "a cowl to match your grey yoke pullover"
    why = str(cowl.why)
    assert "88 in 100 sure" in why
    assert "of mid grey + mid grey, full ball, and 183 m are free" in why
    assert "with other yarns of the bin it can be the ribbed cowl, adult medium (main navy," in why


def test_what_the_others_leave_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sharings, "_WAYS", 2)  # it takes seconds to look all of them through
    (cowl,) = plan_set(demo(), match=NAVY).not_possible
    assert "by itself it could be" in str(cowl.why)
    assert "of navy, and the others leave" in str(cowl.why)


def test_without_any_time_there_is_a_first_answer() -> None:
    found = plan_set(demo(), match=GREY, time_limit=0)
    assert [one.kind for one in found.best] == ["mitts"]
    hat, cowl = found.not_possible
    assert "the others leave 56 m" in str(hat.why)  # beside mitts that take too much, which nothing had time to change
    assert "183 m are free" in str(cowl.why)


def test_wishes_hold_beside_it() -> None:
    desk = three()[0]
    found = plan_set(desk, match=NAVY, keep="rust", whom="my godson")
    assert not found.best.things  # three colours are left, and the motif takes four
    few = "it takes 4 colours, and of navy yoke pullover only 3 may be used"
    assert all(few in str(one.why) for one in found.not_possible[:2])
    assert "that a motif could run round" in str(found.not_possible[2].why)  # no mitts for eight years
    hers = plan_set(desk, match=NAVY, whom="my sister", sure=0.9, each_different=True, must="mustard", alternatives=1)
    assert all(one.people == ("my sister",) and one.size == "adult small" for one in hers.best)
    assert any(use.lot.name == "mustard" for use in hers.best.lots)
    assert hers.best.sure >= 0.9


def test_it_goes_beside_other_wants() -> None:
    desk = three()[0]
    found = plan_set(desk, match=NAVY, want="1 headband for adults")
    assert [one.kind for one in found.best] == ["headband", *KINDS]
    assert found.best.things[0].found.variant.put_in is None


def test_what_must_not_meet_does_not_even_where_the_sweater_has_it() -> None:
    desk = three()[0]
    apart = desk.with_(wishes=replace(desk.wishes, apart=(("navy", "rust"),)))
    found = plan_set(apart, match=NAVY)
    assert not found.best.things
    assert "the yarns of navy yoke pullover are too unlike for one fabric" in str(found.not_possible[0].why)


def test_a_motif_of_her_own_is_begun_as_it_was_planned(
    tmp_path: Path, run: Callable[..., Result], run_json: Callable[..., dict[str, Any]]
) -> None:
    folder = tmp_path / "bin"
    shutil.copytree(DEMO, folder)
    sheet = (folder / "garments.csv").read_text(encoding="utf-8")
    (folder / "garments.csv").write_text(sheet.replace("yoke-three", "crosses.txt"), encoding="utf-8")
    # Another motif than the catalogue's of that key.
    (folder / "crosses.txt").write_text(
        "name: mine\nroles: . main, x contrast 1\nrows: bottom to top\n\n......\n.xx...\n.xx...\n......\n",
        encoding="utf-8",
    )
    told = run_json("set", folder, "--match", GREY, "--out", tmp_path / "out")
    assert run("intake", folder, "--bin", tmp_path / "bin.sqlite").exit_code == 0
    begun = run_json("begin", "--set", tmp_path / "out", "--bin", tmp_path / "bin.sqlite")["works"]
    assert [one["accessory"] for one in begun] == [one["key"] for one in told["accessories"]]
    for work, thing in zip(begun, told["accessories"], strict=True):
        assert thing["recipe"]["motifs"][0]["key"] != "crosses"
        needs = {role["role"]: role["need_m"] for role in thing["roles"]}
        claimed = {role: sum(one["metres"] for one in work["claims"] if one["role"] == role) for role in needs}
        assert claimed == pytest.approx(needs, abs=0.05)


@pytest.mark.parametrize(
    ("garment", "said"),
    [("moss cardigan", "moss cardigan has no motif written down"), ("bare", "nothing that bare left is free")],
)
def test_a_garment_without_motif_or_leftovers_is_one_sentence(garment: str, said: str) -> None:
    bin = demo().bin
    bare = replace(bin.garments[NAVY], name="bare")
    desk = demo().with_(bin=replace(bin, garments={**bin.garments, "bare": bare}))
    with pytest.raises(BadInput) as fault:
        plan_set(desk, match=garment)
    assert str(fault.value.what) == said


def test_a_garment_that_is_not_there_and_two_people() -> None:
    with pytest.raises(NotFound):
        plan_set(demo(), match="nothing of the kind")
    with pytest.raises(BadInput, match="is for one person"):
        plan_set(demo(), match=NAVY, whom=("me", "my sister"))
