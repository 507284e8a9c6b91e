"""Patterns' files from anywhere: whatever stands in one, it is begun or refused in one sentence, and nothing breaks."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as some
from typer.testing import Result

from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.fitted import CastOn
from matcher.knitting.motifs.motif import Motif
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.recipes import Body, Recipe, Strand

CATALOGUE = load_catalogue()
MOTIF = Motif("mine", "mine", ("..x", ".x.", "xx."), {".": "main", "x": "contrast 1"})
BODIES = [None, Body({"head": 56.0, "head_arc": 36.0}, "adult"), Body({}, "nobody"), Body({"hand": 2.0}, "baby")]


def test_a_file_is_begun_or_refused(tmp_path: Path, run: Callable[..., Result]) -> None:
    store, file = tmp_path / "bin.sqlite", tmp_path / "pattern.json"
    assert run("intake", "demo", "--bin", store).exit_code == 0
    finished: list[bool] = []  # of each that was begun, whether its pattern was shown to the end

    @settings(max_examples=40, deadline=None)
    @given(
        accessory=some.sampled_from(sorted(CATALOGUE.accessories)),
        size=some.sampled_from([*CATALOGUE.sizes.names, "somebody (measured)"]),
        stitches=some.floats(1.0, 150.0),
        rows=some.floats(1.0, 150.0),
        body=some.sampled_from(BODIES),
        repeats=some.sampled_from([None, 1, 2, 40, 900]),
        columns=some.integers(0, 3),
        roles=some.sampled_from(
            [["main"], ["main", "contrast 1"], ["main", "contrast 1", "contrast 2"], ["sleeve"], []]
        ),
    )
    def begin(
        accessory: str,
        size: str,
        stitches: float,
        rows: float,
        body: Body | None,
        repeats: int | None,
        columns: int,
        roles: list[str],
    ) -> None:
        cast_on = None if repeats is None else CastOn(repeats * (3 + columns), repeats, columns)
        recipe = Recipe(
            accessory,
            size,
            Gauge(stitches, rows, 10.0 / stitches, True),
            {role: (Strand(("navy",)),) for role in roles},
            (),
            body,
            (MOTIF,) if cast_on else (),
            cast_on,
        )
        file.write_text(json.dumps({"recipe": recipe.as_dict()}), encoding="utf-8")
        begun = run("begin", "--pattern", file, "--bin", store)
        assert begun.exit_code in (0, 2), begun.output
        if begun.exit_code == 0:
            try:
                shown = run("show", CATALOGUE.accessories[accessory].name, "--what", "work", "--bin", store)
            finally:  # so that it fails again as it did
                assert run("undo", "--bin", store).exit_code == 0
            assert shown.exit_code == 0
            finished.append("Finishing" in shown.stdout)
        else:
            assert begun.stderr.count("matcher: ") == 1

    begin()
    assert sum(finished) > 3, "else nothing was tried"
