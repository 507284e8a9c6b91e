"""Any order of actions on a store does what a plain model in Python does, and undo brings back the exact state before."""

from __future__ import annotations

import copy
import math
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from memory_disk import quick_disk

from matcher.actions.keeping.begin import begin
from matcher.actions.keeping.cells import add, change, garment
from matcher.actions.keeping.lots import join, mended, move, split, weigh
from matcher.actions.keeping.store import undo
from matcher.actions.keeping.works import abandon, finish
from matcher.actions.needs import needs
from matcher.errors import MatcherError
from matcher.store.database.rows import KEYS
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of

TEX = 400.0  # 50 g of 125 m
TAIL_M = 0.15  # catalog/standards/measuring.csv
NAMES = [f"lot {letter}" for letter in "abcdef"]
GRAMS = st.integers(1, 400).map(lambda tenths: tenths / 2)
PLACES = st.sampled_from(["", "box", "top shelf", "tin; under the bed"])


class Refused(Exception):
    """The model's own word for what the program must refuse."""


class Model:
    """What a store should hold, without a store: dictionaries of lots, garments, works, and rows of what was used."""

    def __init__(self) -> None:
        self.lots: dict[str, dict[str, Any]] = {}
        self.garments: dict[str, str] = {}
        self.works: list[dict[str, Any]] = []
        self.used: list[tuple[str, float]] = []

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


class Keeping(RuleBasedStateMachine):
    """The same actions on a store and on the model."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory(dir=quick_disk())
        self.path = Path(self.folder.name) / "bin.sqlite"
        open_store(self.path, create=True).close()
        self.model = Model()
        self.past: list[tuple[Model, dict[str, Any]]] = []
        table = needs("egg-cosy", swatch="22 st x 30 rows").rows[0]
        self.need_m = table["roles"][0]["metres"]

    @initialize()
    def something_is_there(self) -> None:
        self.garments("worn")
        for number, name in enumerate(NAMES[:4]):
            self.adding(name, 60.0 + number, "vest" if number % 2 else "", "7", "12" if number > 1 else "")

    def one(self, data: st.DataObject) -> str:
        """The name of a lot, most often of one that is there."""
        return data.draw(st.sampled_from([*sorted(self.model.lots), NAMES[-1]]))

    def teardown(self) -> None:
        self.folder.cleanup()

    def everything(self) -> dict[str, list[dict[str, Any]]]:
        with open_store(self.path) as store:
            return {table: store.rows(table) for table in (*KEYS, "actions", "journal")}

    def both(self, on_store, on_model) -> Any:
        """The action on both; what the model refuses the store must refuse, and be as it was."""
        before, model = self.everything(), copy.deepcopy(self.model)
        try:
            on_model(self.model)
        except Refused:
            self.model = model
            with pytest.raises(MatcherError):
                on_store()
            assert self.everything() == before
            return None
        done = on_store()
        if len(self.everything()["actions"]) > len(before["actions"]):
            self.past.append((model, before))
        return done

    @rule(name=st.sampled_from(NAMES), grams=GRAMS, owner=st.sampled_from(["", "vest"]),
          dye_lot=st.sampled_from(["7", "8"]), reserve=st.sampled_from(["", "0", "12"]))  # fmt: skip
    def adding(self, name: str, grams: float, owner: str, dye_lot: str, reserve: str) -> None:
        cells = {
            "grams": f"{grams:g} g",
            "colour": "#1f2a4a",
            "yarn": "plain",
            "ball_grams": "50",
            "ball_metres": "125",
        }
        cells |= {"garment": owner, "dye_lot": dye_lot, "reserve": reserve}
        self.both(
            lambda: add(name, cells, bin=self.path), lambda model: model.add(name, grams, owner, dye_lot, reserve)
        )

    @rule(status=st.sampled_from(["worn", "given", "gone"]))
    def garments(self, status: str) -> None:
        self.both(lambda: garment("vest", status, bin=self.path), lambda model: model.garments.update({"vest": status}))

    @rule(data=st.data(), grams=st.one_of(GRAMS, GRAMS, GRAMS, st.just(0.0)))
    def weighing(self, data: st.DataObject, grams: float) -> None:
        name = self.one(data)
        done = self.both(lambda: weigh(name, f"{grams:g}", bin=self.path), lambda model: model.weigh(name, grams))
        assert done is None or done.values["after_g"] == grams

    @rule(data=st.data(), place=PLACES)
    def moving(self, data: st.DataObject, place: str) -> None:
        name = self.one(data)
        self.both(lambda: move(name, place, bin=self.path), lambda model: model.lot(name).update(place=place))

    @rule(data=st.data(), dye_lot=st.sampled_from(["7", "7", "8"]))
    def changing(self, data: st.DataObject, dye_lot: str) -> None:
        name = self.one(data)
        self.both(
            lambda: change(name, {"dye_lot": dye_lot}, bin=self.path),
            lambda model: model.lot(name).update(dye_lot=dye_lot),
        )

    @rule(data=st.data(), new=st.sampled_from(NAMES))
    def renaming(self, data: st.DataObject, new: str) -> None:
        old = self.one(data)
        self.both(lambda: change(old, {}, name=new, bin=self.path), lambda model: model.rename(old, new))

    @rule(data=st.data(), grams=st.integers(1, 120).map(lambda halves: halves / 2))
    def splitting(self, data: st.DataObject, grams: float) -> None:
        name = self.one(data)
        self.both(lambda: split(name, f"{grams:g}g", bin=self.path), lambda model: model.split(name, grams))

    @rule(data=st.data(), number=st.integers(2, 3))
    def joining(self, data: st.DataObject, number: int) -> None:
        names = [self.one(data) for _ in range(number)]
        different = list(dict.fromkeys(names))
        self.both(lambda: join(names, bin=self.path), lambda model: model.join(different))

    @rule(data=st.data(), metres=st.integers(1, 60))
    def mending(self, data: st.DataObject, metres: int) -> None:
        name = self.one(data)
        self.both(
            lambda: mended("vest", name, f"{metres} m", bin=self.path),
            lambda model: model.mended("vest", name, float(metres)),
        )

    @rule(data=st.data())
    def beginning(self, data: st.DataObject) -> None:
        name = self.one(data)
        if name not in self.model.lots:
            return
        model, before = copy.deepcopy(self.model), self.everything()
        unclaimed = max(0.0, model.length_m(name) - sum(one["metres"] for one in model.claims(name)))
        done = begin("egg-cosy", [name], swatch="22 st x 30 rows", anyway=True, bin=self.path)
        (claim,) = self.everything()["claims"][len(before["claims"]) :]
        assert claim["lot"] == name
        assert claim["predicted_m"] == pytest.approx(self.need_m)
        # With a history the need follows it; without, it is the one that `needs` shows.
        need = claim["predicted_m"] if not before["used"] else None
        if need is not None:
            assert claim["metres"] == pytest.approx(min(need, unclaimed), abs=1e-6)
        assert claim["metres"] <= unclaimed + 1e-6
        self.model.works.append(
            {
                "name": done.values["name"],
                "state": "begun",
                "claims": [{"lot": name, "metres": claim["metres"], "from_g": self.model.lots[name]["g"]}],
            }
        )
        self.past.append((model, before))

    def on_needles(self) -> list[dict[str, Any]]:
        return [work for work in self.model.works if work["state"] == "begun"]

    @precondition(lambda self: self.on_needles())
    @rule(data=st.data(), part=st.sampled_from([0.0, 0.3, 0.8, 0.95, 1.0, 1.2]))
    def finishing(self, data: st.DataObject, part: float) -> None:
        place = data.draw(st.integers(0, len(self.on_needles()) - 1))
        work = self.on_needles()[place]
        name, lot = work["name"], work["claims"][0]["lot"]
        left = round(part * work["claims"][0]["from_g"], 1)
        self.both(
            lambda: finish(name, {lot: f"{left:g}"}, bin=self.path),
            lambda model: model.finish(self.on_needles()[place], left),
        )

    @precondition(lambda self: self.on_needles())
    @rule(data=st.data())
    def abandoning(self, data: st.DataObject) -> None:
        place = data.draw(st.integers(0, len(self.on_needles()) - 1))
        name = self.on_needles()[place]["name"]
        self.both(
            lambda: abandon(name, bin=self.path),
            lambda model: self.on_needles()[place].update(state="abandoned", claims=[]),
        )

    @precondition(lambda self: self.past)
    @rule(data=st.data())
    def undoing(self, data: st.DataObject) -> None:
        number = data.draw(st.integers(1, min(4, len(self.past))))
        undo(number, bin=self.path)
        self.model, before = self.past[-number]
        self.model = copy.deepcopy(self.model)
        del self.past[-number:]
        assert self.everything() == before

    @invariant()
    def store_and_model_agree(self) -> None:
        with open_store(self.path) as store:
            assert faults_of(store) == ()
        held = self.everything()
        lots = {row["lot"]: row for row in held["lots"]}
        assert lots.keys() == self.model.lots.keys()
        for name, wanted in self.model.lots.items():
            assert lots[name]["mass_g"] == pytest.approx(wanted["g"], abs=1e-6)
            for column in ("garment", "dye_lot", "reserve", "pieces", "place", "note"):
                assert lots[name][column] == wanted[column], (name, column)
        assert {row["garment"]: row["status"] for row in held["garments"]} == self.model.garments
        assert [(row["name"], row["state"]) for row in held["works"]] == [
            (work["name"], work["state"]) for work in self.model.works
        ]
        claims = sorted((row["lot"], row["metres"], row["from_g"]) for row in held["claims"])
        wanted_claims = sorted(
            (one["lot"], one["metres"], one["from_g"]) for work in self.model.works for one in work["claims"]
        )
        assert len(claims) == len(wanted_claims)
        for found, wanted_claim in zip(claims, wanted_claims, strict=True):
            assert found[0] == wanted_claim[0]
            assert found[1:] == pytest.approx(wanted_claim[1:], abs=1e-5)
        assert [(row["lot"], pytest.approx(row["used_g"], abs=1e-5)) for row in held["used"]] == self.model.used


TestKeeping = Keeping.TestCase
TestKeeping.settings = settings(
    max_examples=30, stateful_step_count=30, deadline=None, suppress_health_check=list(HealthCheck)
)
