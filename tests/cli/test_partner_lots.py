"""The lots of a partner as she names them, role by role, and the yarns that are offered for each."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from matcher.actions.desk import Desk
from matcher.actions.partner.partner import partner
from matcher.errors import BadInput

HAT = ("--garment", "grey yoke pullover", "--accessory", "hat-stranded-band")
Told = Callable[..., dict[str, Any]]


def lots_of(found: dict[str, Any]) -> dict[str, list[str]]:
    return {role["role"]: role["lots"] for role in found["roles"]}


def test_a_role_is_knitted_in_the_lot_that_is_named_and_the_others_stay(run_json: Told, demo: Path) -> None:
    usual = run_json("partner", demo, *HAT)
    found = run_json("partner", demo, *HAT, "--lots", "contrast 1=navy")
    assert lots_of(found) == {**lots_of(usual), "contrast 1": ["navy"]}
    assert [one["need_m"] for one in found["roles"]] == [one["need_m"] for one in usual["roles"]]
    of_main = next(one for one in found["contrasts"] if one["roles"] == ["main", "contrast 1"])
    assert of_main != next(one for one in usual["contrasts"] if one["roles"] == ["main", "contrast 1"])


def test_a_leftover_that_is_named_for_another_role_leaves_its_own(run_json: Told, demo: Path) -> None:
    usual = run_json("partner", demo, *HAT)
    (petrol,) = lots_of(usual)["contrast 2"]
    found = run_json("partner", demo, *HAT, "--lots", f"contrast 1={petrol}")
    assert lots_of(found)["contrast 1"] == [petrol]
    assert lots_of(found)["contrast 2"] == []
    assert found["sure"] == 0


@pytest.mark.parametrize(
    ("lots", "said"),
    [
        (("main=navy", "contrast 1=navy"), "named for main and for contrast 1"),
        (("main=2 x navy",), "in one yarn"),
        (("main=navy + cream",), "in one yarn"),
        (("sleeve=navy",), "no role"),
    ],
)
def test_what_cannot_be_is_refused(demo: Path, lots: tuple[str, ...], said: str) -> None:
    with pytest.raises(BadInput, match=said):
        partner(demo, garment="grey yoke pullover", accessory="hat-stranded-band", lots=lots)


def test_lots_are_named_or_all_shared_out_anew(demo: Path) -> None:
    asked = {"garment": "grey yoke pullover", "accessory": "hat-stranded-band"}
    with pytest.raises(BadInput, match="one or the other"):
        partner(demo, **asked, lots=["navy"], recolour=True)


def test_what_is_offered_for_a_role_can_be_named_for_it(demo: Path) -> None:
    desk = Desk(demo)
    asked: dict[str, Any] = {"garment": "grey yoke pullover", "accessory": "hat-stranded-band"}
    found = partner(desk, **asked, offer=6)
    assert [one.role for one in found.offered] == [one.role for one in found.roles]
    for role, needed in zip(found.offered, found.roles, strict=True):
        assert 0 < len(role.choices) <= 6
        assert [one.pool.name for one in role.choices if one.role == role.role] == [needed.lots[0].name]
        for choice in role.choices:
            assert choice.pool.free.mean >= needed.need_m
            if not choice.role:
                again = partner(desk, **asked, lots=[f"{role.role}={choice.pool.name}"])
                taken = next(one for one in again.roles if one.role == role.role)
                assert taken.lots == choice.pool.lots
    many = partner(desk, **asked, offer=1000)
    for few, all_ in zip(found.offered, many.offered, strict=True):
        assert len(few.choices) + few.more == len(all_.choices)
