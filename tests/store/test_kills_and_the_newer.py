"""Killed at any moment of what people, wishes, decisions, swatches, photographs and messy sheets write: all or nothing,
held to a plain model."""

from __future__ import annotations

import copy
import csv
import random
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from small_process import in_a_small_process
from test_kills_and_the_model import CELLS, everything, killed

from matcher.actions.colours.take import take_colours
from matcher.actions.keeping.cells import add
from matcher.actions.keeping.intake import intake
from matcher.actions.keeping.look import answer, look
from matcher.actions.keeping.people import person
from matcher.actions.keeping.store import undo
from matcher.actions.keeping.triage import triage
from matcher.actions.keeping.wishes import wishes
from matcher.actions.learning.swatch import swatch
from matcher.matching.triage import ADVICE
from matcher.materials.colours.colour import parse_colour
from matcher.store.catalogue.catalogue import load_catalogue

KILLS = 90
CONTRAST = load_catalogue().contrast
Model = dict[str, dict[str, Any]]


def held(path: Path) -> Model:
    """The store in the model's terms."""
    rows = everything(path)
    return {
        "lots": {row["lot"]: row["colour"] for row in rows["lots"]},
        "people": {row["person"]: row["size"] for row in rows["people"]},
        "wishes": {row["wish"]: row["wanted"] for row in rows["wishes"]},
        "decisions": {row["lot"]: row["advice"] for row in rows["decisions"]},
        "swatches": {str(row["id"]): row["stitches"] for row in rows["swatches"]},
        "answers": {row["cell"]: row["taken"] for row in rows["readings"]},
        "written": {f"{row['name']} {row['heading']}": row["cell"] for row in rows["written"]},
    }


class Story:
    """What comes next, and what the model says of it."""

    def __init__(self, folder: Path) -> None:
        self.path, self.folder, self.chance = folder / "bin.sqlite", folder, random.Random(12)
        for number in range(3):
            add(f"lot {number}", {**CELLS, "grams": "60"}, bin=self.path)

    def next(self, model: Model) -> tuple[str, Callable[[], object], Callable[[Model], object]]:
        chance, path, number = self.chance, self.path, self.chance.randrange(100_000)
        lot = chance.choice([f"lot {one}" for one in range(3)])
        kind = chance.choice(["person", "forget", "wishes", "decide", "swatch", "take", "intake", "answer"])
        if kind == "person":
            size = chance.choice(["adult small", "adult medium"])
            return (
                kind,
                lambda: person(f"Ann {number}", {"size": size}, bin=path),
                lambda model: model["people"].update({f"Ann {number}": size}),
            )
        if kind == "forget" and model["people"]:
            name = chance.choice(sorted(model["people"]))
            return kind, lambda: person(name, forget=True, bin=path), lambda model: model["people"].pop(name)
        if kind == "wishes":
            wanted = "metric" if model["wishes"].get("units") == "imperial" else "imperial"
            return kind, lambda: wishes({"units": wanted}, bin=path), lambda model: model["wishes"].update(units=wanted)
        if kind == "decide":
            advice = next(one for one in ADVICE[:2] if one != model["decisions"].get(lot))
            return (
                kind,
                lambda: triage(path, lot=lot, decide=advice),
                lambda model: model["decisions"].update({lot: advice}),
            )
        if kind == "take":
            code = f"#{number:06x}"
            colour = parse_colour(code, {})
            return (
                kind,
                lambda: take_colours({1: colour}, [(1, lot)], path, CONTRAST),
                lambda model: model["lots"].update({lot: code}),
            )
        if kind in ("intake", "answer"):
            return self.sheets(kind, number)
        stitches = 20 + number % 20
        return (
            "swatch",
            lambda: swatch(lot, stitches=stitches, rows=30, grams=3.0, bin=path),
            lambda model: model["swatches"].update(
                {str(1 + max(map(int, model["swatches"]), default=0)): float(stitches)}
            ),
        )

    def sheets(self, kind: str, number: int) -> tuple[str, Callable[[], object], Callable[[Model], object]]:
        """Two lots of a messy sheet, with an answer or taken in; each sheet is a new one."""
        letters = "".join(chr(ord("a") + int(digit)) for digit in str(number))  # no figure that could be read
        place, path = self.folder / f"sheet {number}.csv", self.path
        names, amount = (f"{number} a", f"{number} b"), f"who knows {letters}" if kind == "answer" else "30 g"
        with place.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(
                [
                    ["My wool, all of it"],
                    ["Name", "Grams left", "Colour", "Weight class", "Price"],
                    *([name, amount, "#1f2a4a", "3", f"{number}"] for name in names[: 1 if kind == "answer" else 2]),
                ]
            )
        if kind == "intake":

            def taken(model: Model) -> None:
                for name in names:
                    model["lots"][name] = "#1f2a4a"
                    hers = {"Name": name, "Grams left": "30 g", "Weight class": "3", "Price": str(number)}
                    model["written"].update({f"{name} {heading}": cell for heading, cell in hers.items()})

            return kind, lambda: intake(place, bin=path, yes=True), taken
        seen = look(place, bin=path, passed=look(place, bin=path).questions)  # columns are asked about first
        question = next(one for one in seen.questions if one.cell == amount)
        return kind, lambda: answer(seen, question, "41 g"), lambda model: model["answers"].update({amount: "41 g"})


@in_a_small_process
def test_kills_over_what_is_newer_leave_all_or_nothing(tmp_path: Path):
    story = Story(tmp_path)
    triage(story.path, lot="lot 0", decide="keep")  # the catalogue is read once, before any fork
    undo(1, bin=story.path)
    model, count, reach = held(story.path), Counter[tuple[str, str]](), dict[str, float]()
    for _ in range(KILLS):
        kind, act, on_model = story.next(model)
        through = killed(act, story.chance.uniform(0.0, reach.get(kind, 0.02)))
        reach[kind] = reach.get(kind, 0.02) * (0.75 if through else 1.33)
        found, after = held(story.path), copy.deepcopy(model)
        on_model(after)
        assert found in (model, after), (kind, found, model)
        assert found == after or not through, (kind, found, after)
        count[kind, "all" if found == after else "nothing"] += 1
        model = found
    assert {kind for kind, _ in count} == {
        "person", "forget", "wishes", "decide", "swatch", "take", "intake", "answer",
    }  # fmt: skip
    for what in ("all", "nothing"):
        assert sum(number for (_, one), number in count.items() if one == what) > KILLS // 6
    print(dict(count))
