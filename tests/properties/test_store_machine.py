"""Any order of actions on a store does what a plain model in Python does, and undo brings back the exact state before."""

from __future__ import annotations

import copy
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from memory_disk import quick_disk
from plain_model import Model, Refused, assert_alike

from matcher.actions.beginning.begin import begin
from matcher.actions.keeping.cells import add, change, garment
from matcher.actions.keeping.lots import join, mended, move, split
from matcher.actions.keeping.people import person
from matcher.actions.keeping.store import undo
from matcher.actions.keeping.wishes import wishes
from matcher.actions.needs import needs
from matcher.actions.progress.weigh import weigh
from matcher.actions.progress.works import abandon, finish
from matcher.errors import MatcherError
from matcher.store.database.rows import KEYS
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of

NAMES = [f"lot {letter}" for letter in "abcdef"]
GRAMS = st.integers(1, 400).map(lambda tenths: tenths / 2)
PLACES = st.sampled_from(["", "box", "top shelf", "tin; under the bed"])


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

    @rule(name=st.sampled_from(["Ada", "Bea"]), size=st.sampled_from(["5 years", "adult large", "M"]))
    def somebody(self, name: str, size: str) -> None:
        self.both(lambda: person(name, {"size": size}, bin=self.path), lambda model: model.people.update({name: size}))

    @rule(name=st.sampled_from(["Ada", "Bea"]))
    def forgetting(self, name: str) -> None:
        self.both(lambda: person(name, forget=True, bin=self.path), lambda model: model.forget(name))

    @rule(wish=st.sampled_from(["units", "eyes"]), wanted=st.sampled_from(["", "mixed", "red"]))
    def wishing(self, wish: str, wanted: str) -> None:
        wanted = {"mixed": {"eyes": "blue"}, "red": {"units": "imperial"}}.get(wanted, {}).get(wish, wanted)
        self.both(lambda: wishes({wish: wanted}, bin=self.path), lambda model: model.wish(wish, wanted))

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
        assert_alike(self.everything(), self.model)


TestKeeping = Keeping.TestCase
# Fifteen rows of thirty actions, others on every run by hand: each action is tried dozens of times.
TestKeeping.settings = settings(
    max_examples=15, stateful_step_count=30, deadline=None, suppress_health_check=list(HealthCheck)
)
