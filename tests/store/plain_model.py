"""What a store of lots, garments and works should hold after any action, without a store: plain dictionaries."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import pytest

TEX = 400.0  # 50 g of 125 m
TAIL_M = 0.15  # catalog/standards/measuring.csv


class Refused(Exception):
    """The model's own word for what the program must refuse."""


class Model:
    """What a store should hold, without a store: dictionaries of lots, garments, works, and rows of what was used."""

    def __init__(self) -> None:
        self.lots: dict[str, dict[str, Any]] = {}
        self.garments: dict[str, str] = {}
        self.works: list[dict[str, Any]] = []
        self.used: list[tuple[str, float]] = []
        self.people: dict[str, str] = {}  # sizes
        self.wishes: dict[str, str] = {}

    def forget(self, person: str) -> None:
        if self.people.pop(person, None) is None:
            raise Refused

    def wish(self, wish: str, wanted: str) -> None:
        self.wishes = {name: text for name, text in {**self.wishes, wish: wanted}.items() if text}

    def claims(self, lot: str) -> list[dict[str, Any]]:
        return [one for work in self.works for one in work["claims"] if one["lot"] == lot]

    def lot(self, name: str) -> dict[str, Any]:
        if name not in self.lots:
            raise Refused
        return self.lots[name]

    def set_weight(self, name: str, grams: float) -> None:
        self.lot(name)["g"] = grams
        claims = self.claims(name)
        claimed_g = sum(one["metres"] for one in claims) * TEX / 1000
        for one in claims:
            one["from_g"] = max(one["from_g"], grams)
            if claimed_g > grams:
                one["metres"] *= grams / claimed_g

    def took(self, name: str, grams: float, but: dict[str, Any] | None = None) -> None:
        for work in self.works:
            for one in work["claims"]:
                if one["lot"] == name and work is not but:
                    one["from_g"] = max(1e-6, one["from_g"] - grams)

    def add(self, name: str, grams: float, owner: str, dye_lot: str, reserve: str) -> None:
        if name in self.lots or (owner and owner not in self.garments):
            raise Refused
        self.lots[name] = {
            "g": grams, "garment": owner, "dye_lot": dye_lot, "reserve": reserve, "pieces": "", "place": "", "note": "",
        }  # fmt: skip

    def weigh(self, name: str, grams: float) -> None:
        self.lot(name)
        if grams == 0:
            if self.claims(name):
                raise Refused
            del self.lots[name]
        else:
            self.set_weight(name, grams)

    def rename(self, old: str, new: str) -> None:
        self.lot(old)
        if new in self.lots and new != old:
            raise Refused
        self.lots[new] = self.lots.pop(old)
        for one in self.claims(old):
            one["lot"] = new

    def split(self, name: str, grams: float) -> None:
        old = self.lot(name)
        free = old["g"] - sum(one["metres"] for one in self.claims(name)) * TEX / 1000
        if grams >= old["g"] or grams > free + 1e-9:
            raise Refused
        number = 2
        while f"{name} {number}" in self.lots:
            number += 1
        pieces = "1" if old["pieces"] else ""
        reserve = "0" if old["reserve"] else ""
        self.lots[f"{name} {number}"] = {**old, "g": grams, "pieces": pieces, "reserve": reserve}
        if old["pieces"]:
            old["pieces"] = str(max(1, int(old["pieces"]) - 1))
        old["g"] -= grams
        self.took(name, grams)

    def join(self, names: list[str]) -> None:
        rows = [self.lot(name) for name in names]
        if len(set(names)) < 2 or any(self.claims(name) for name in names):
            raise Refused
        if any((row["garment"], row["dye_lot"]) != (rows[0]["garment"], rows[0]["dye_lot"]) for row in rows):
            raise Refused
        by_hand = [float(row["reserve"]) for row in rows if row["reserve"]]
        first = rows[0]
        first["g"] = sum(row["g"] for row in rows)
        first["pieces"] = str(sum(int(row["pieces"] or 1) for row in rows))
        first["reserve"] = f"{sum(by_hand):g}" if by_hand else ""
        first["place"] = next((row["place"] for row in rows if row["place"]), "")
        for name in names[1:]:
            del self.lots[name]

    def mended(self, owner: str, name: str, metres: float) -> None:
        if owner not in self.garments:
            raise Refused
        row, grams = self.lot(name), metres * TEX / 1000
        if round(row["g"] - grams, 3) <= 0:
            raise Refused
        if row["reserve"] and row["garment"] == owner:
            row["reserve"] = f"{max(0.0, float(row['reserve']) - metres):g}"
        self.took(name, grams)
        self.set_weight(name, round(row["g"] - grams, 3))

    def length_m(self, name: str) -> float:
        """Metres on hand by the rule of the README: 1000 x grams / tex, less two tails for each join."""
        row = self.lots[name]
        pieces = int(row["pieces"]) if row["pieces"] else max(1, math.ceil(row["g"] / 50 - 0.05))
        return max(0.0, 1000 * row["g"] / TEX - 2 * TAIL_M * (pieces - 1))

    def finish(self, work: dict[str, Any], left: float) -> None:
        (claim,) = work["claims"]
        name, used = claim["lot"], max(0.0, claim["from_g"] - left)
        shared = len(self.claims(name)) > 1
        if left > claim["from_g"] + 1 or (left == 0 and shared):
            raise Refused
        work["claims"], work["state"] = [], "finished"
        if used > 0 and not shared:
            self.used.append((name, used))
        if left == 0:
            del self.lots[name]
            return
        # What other works take is counted from that much less.
        self.took(name, used)
        self.set_weight(name, left)


def assert_alike(held: Mapping[str, Sequence[Mapping[str, Any]]], model: Model) -> None:
    """A store's rows by table hold what the model holds."""
    assert {row["person"]: row["size"] for row in held.get("people", ())} == model.people
    assert {row["wish"]: row["wanted"] for row in held.get("wishes", ())} == model.wishes
    lots = {row["lot"]: row for row in held["lots"]}
    assert lots.keys() == model.lots.keys()
    for name, wanted in model.lots.items():
        assert lots[name]["mass_g"] == pytest.approx(wanted["g"], abs=1e-6)
        for column in ("garment", "dye_lot", "reserve", "pieces", "place", "note"):
            assert lots[name][column] == wanted[column], (name, column)
    assert {row["garment"]: row["status"] for row in held["garments"]} == model.garments
    assert [(row["name"], row["state"]) for row in held["works"]] == [
        (work["name"], work["state"]) for work in model.works
    ]
    claims = sorted((row["lot"], row["metres"], row["from_g"]) for row in held["claims"])
    wanted_claims = sorted((one["lot"], one["metres"], one["from_g"]) for work in model.works for one in work["claims"])
    assert len(claims) == len(wanted_claims)
    for found, wanted_claim in zip(claims, wanted_claims, strict=True):
        assert found[0] == wanted_claim[0]
        assert found[1:] == pytest.approx(wanted_claim[1:], abs=1e-5)
    assert [(row["lot"], pytest.approx(row["used_g"], abs=1e-5)) for row in held["used"]] == model.used
