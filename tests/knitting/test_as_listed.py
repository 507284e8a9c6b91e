"""Every entry in whole stitches and rounds: its own measures, its own motifs, everything even."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.errors import BadInput
from matcher.knitting.accessory import KINDS, SHAPES, Accessory, Dimension, Role, Zone
from matcher.knitting.fabric import Gauge, gauges_of_class
from matcher.knitting.fit.as_listed import as_listed
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.motifs.parts import ground_of, shown
from matcher.knitting.needs import needs_of
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FABRIC, SIZES, RULES = CATALOGUE.fabric, CATALOGUE.sizes, CATALOGUE.fitting
RIB, PLAIN_COLUMNS = 4, 2


def listed(entry: Accessory, size: str, gauge: Gauge, motifs: dict[str, Motif] | None = None) -> Fitted:
    return as_listed(entry, size, gauge, SIZES, motifs or CATALOGUE.motifs, FABRIC, RULES)


def hat(size: str = "adult medium", stitches: float = 22.0) -> Fitted:
    return listed(CATALOGUE.accessories["hat-stranded-all-over"], size, Gauge.from_stitches(stitches, FABRIC))


def parts_of(fitted: Fitted) -> list[tuple[FittedPart, int]]:
    return [*((part, fitted.pieces) for part in fitted.parts), *fitted.extra]


def in_cm(dimension: Dimension | None, size: str) -> float:
    assert dimension is not None
    return dimension.in_cm(SIZES, size)


def check(entry: Accessory, size: str, gauge: Gauge, fitted: Fitted, motifs: dict[str, Motif]) -> None:
    """What holds of every fit: all is whole, nothing of the entry is missing, and rounds come out even."""
    rows: dict[str, int] = {}
    for part, pieces in parts_of(fitted):
        zone = next(one for one in entry.zones if one.name == part.zone)
        rows[zone.name] = rows.get(zone.name, 0) + part.rounds * pieces
        assert part.shape == zone.shape or (entry.kind == "mitts" and (zone.shape, part.shape) == ("tube", "crown"))
        assert part.rounds > 0
        assert len(part.counts) == part.rounds
        assert min(part.counts) >= 1
        assert (part.role is None) == bool(part.rows)
        assert part.role is None or part.role in entry.role_names
        if part.rows:
            assert len(part.rows) == part.rounds
            assert {fitted.marks[mark] for row in part.rows for mark in row} <= set(entry.role_names)
        if part.rows and zone.motif and (part.shape == "tube" or part.shape == "flat"):
            (width,) = {len(row) for row in part.rows}
            assert motifs[zone.motif].width <= width <= motifs[zone.motif].width + PLAIN_COLUMNS
            # Rounds all in one colour have no repeat that could be cut.
            assert part.first % width == 0 or len({mark for row in part.rows for mark in row}) == 1
        if FABRIC.ribbed(part.structure) and zone.stitches is None and zone.shape != "triangle":
            assert part.first % RIB == 0
        if part.shape == "frustum" and zone.stitches is None:
            assert part.first % 2 == 0
    # A motif leaves plain rounds to what lies beside it, so whole columns are compared, not each zone by itself.
    expected = 0
    # Rows of a flap come in twos, and those of a heel's turn and gusset are told by its stitches.
    told = [zone.name for zone in entry.zones if fitted.heel_at and zone.shape in ("flat", "triangle")]
    for zone in entry.zones:
        if zone.name in told:
            continue
        structure = FABRIC.structure(zone.structure)
        high = zone.rows
        if high is None:
            rate = gauge.rows_10cm * FABRIC.courses(zone.structure) / 10
            high = in_cm(zone.height, size) * rate
            whole = 2 * max(1, round(high / 2)) if structure.purled == "rows" else max(1, round(high))
        else:
            whole = high
        expected += whole * zone.count
    assert sum(number for name, number in rows.items() if name not in told) == expected


EVERY = [
    pytest.param(entry, size, gauge, id=f"{entry.key}-{size}-{gauge.stitches_10cm:g}")
    for entry in CATALOGUE.accessories.values()
    for size in entry.sizes
    for number in entry.classes
    for gauge in gauges_of_class(number, FABRIC, CATALOGUE.classes, entry.firmness)
]


@pytest.mark.parametrize("entry", CATALOGUE.accessories.values(), ids=lambda one: one.key)
def test_every_entry_in_every_size_at_the_usual_gauges(entry: Accessory):
    """Widths within half a repeat, heights as the zones' rounds, and metres within what the rounding explains."""
    for size in entry.sizes:
        for number in entry.classes:
            for gauge in gauges_of_class(number, FABRIC, CATALOGUE.classes, entry.firmness):
                fitted = listed(entry, size, gauge)
                check(entry, size, gauge, fitted, dict(CATALOGUE.motifs))
                _widths(entry, size, gauge, fitted)
                _metres(entry, size, gauge, fitted)


def _widths(entry: Accessory, size: str, gauge: Gauge, fitted: Fitted) -> None:
    seen: dict[tuple[float, bool], set[int]] = {}
    for part, _ in parts_of(fitted):
        zone = next(one for one in entry.zones if one.name == part.zone)
        wanted = in_cm(zone.around, size) * gauge.stitches_10cm / 10
        wide = max(part.first, part.last)
        repeat = len(part.rows[0]) if part.rows else 1
        step = math.lcm(
            *(len(one.rows[0]) if one.rows else 1 for one, _ in parts_of(fitted) if one.first == part.first)
        )
        step = math.lcm(step, repeat, RIB if any(FABRIC.ribbed(one.structure) for one in entry.zones) else 2)
        # Under a crown of rib the stitches come out even in its sections, of which there may be eight.
        if any(one.shape == "crown" and FABRIC.ribbed(one.structure) for one in entry.zones):
            step = math.lcm(step, 8)
        # A triangle has an odd number, and so has what stands on it; a gusset has one less than its thumb, an even one.
        odd = part.shape == "triangle" or (fitted.taken_up and part.shape == "flat")
        allowed = (2.0 if entry.kind == "mitts" else 1.5) if odd else step / 2
        assert abs(wide - wanted) <= allowed + 1e-6, (part.zone, wide, wanted)
        alike = (round(wanted, 6), FABRIC.ribbed(zone.structure) and _apart(entry, fitted))
        seen.setdefault(alike, set()).add(wide)
    # Zones that measure the same have the same stitches; a rib has its own where the motif cannot follow it.
    # A triangle gains two at a time, and a gusset has one stitch fewer than its thumb.
    triangles = any(zone.shape == "triangle" for zone in entry.zones)
    assert all(max(one) - min(one) <= triangles for one in seen.values()), seen


def _apart(entry: Accessory, fitted: Fitted) -> bool:
    """Whether no common number of rib and motif lies within the ease without plain columns."""
    rule = RULES.get(entry.kind, RULES["small"])
    widest = next((len(part.rows[0]) for part in fitted.parts if part.rows), 1) - fitted.plain_columns
    wanted, target = fitted.gauge.stitches_10cm / 10, fitted.around_cm - fitted.ease_cm
    main = next(zone for zone in entry.zones if zone.motif or zone is entry.zones[-1])
    if main.around is None:
        return False
    best = in_cm(main.around, fitted.size) * wanted
    low, high = (
        best - target * wanted * rule.ease_below_percent / 100,
        best + target * wanted * rule.ease_above_percent / 100,
    )
    step = math.lcm(widest, RIB)
    return not any(low <= step * times <= high for times in range(1, 200))


def _metres(entry: Accessory, size: str, gauge: Gauge, fitted: Fitted) -> None:
    """Loops and floats: as many times more or fewer as the parts are wider or narrower and as plain columns dilute the
    motif. A role that a band has lost to its height is promised all the same, and hands have a thumb's check besides.
    """
    fits = {one.role: one.length_m - one.edge_m - one.tail_m for one in needs_of_fitted(fitted, FABRIC)}
    entry_s = needs_of(entry, size, gauge, SIZES, CATALOGUE.motifs, FABRIC)
    wider = [
        max(part.first, part.last) / (in_cm(zone.around, size) * gauge.stitches_10cm / 10)
        for part, _ in parts_of(fitted)
        for zone in entry.zones
        if zone.name == part.zone and zone.shape != "triangle"
    ]
    low, high = 0.95 * min([*wider, 1.0]), 1.05 * max([*wider, 1.0])
    listed_m = {one.role: one.length_m - one.edge_m - one.tail_m for one in entry_s}
    assert low <= sum(fits.values()) / sum(listed_m.values()) <= high
    for role, metres in fits.items():
        if entry.kind == "mitts" or _lost(entry, size, gauge, role):
            continue
        repeat = fitted.repeat - fitted.plain_columns
        assert low * repeat / fitted.repeat <= metres / listed_m[role] <= high * fitted.repeat / repeat, role


def _lost(entry: Accessory, size: str, gauge: Gauge, role: str) -> bool:
    """Whether a zone in a motif is too low to show a role of it."""
    for zone in entry.zones:
        if zone.motif and role in CATALOGUE.motifs[zone.motif].role_names and zone.shape == "tube":
            motif = CATALOGUE.motifs[zone.motif]
            rounds = round(in_cm(zone.height, size) * gauge.rows_10cm / 10)
            if role not in {
                motif.roles[mark]
                for row in shown(motif.grid, ground_of(motif), rounds, entry.kind == "yoke").rows
                for mark in row
            }:
                return True
    return False


def test_a_hat_by_hand():
    """56.7 cm less 4 % at 22 stitches: 119.7; the rib takes 4 and the lattice 6, so 120 in 20 repeats.

    Body 0.55 of 16.3 cm, 28.8 rounds in 10 cm: 26, so 25 that read alike from both ends and one plain below.
    """
    fitted = hat()
    assert (fitted.stitches, fitted.repeat, fitted.repeats, fitted.plain_columns) == (120, 6, 20, 0)
    assert [(str(part.part), part.zone, part.shape, part.first, part.last, part.rounds) for part in fitted.parts] == [
        ("brim", "brim", "tube", 120, 120, 16),
        ("plain below body", "body", "tube", 120, 120, 1),
        ("body", "body", "tube", 120, 120, 25),
        ("crown", "crown", "crown", 120, 8, 21),
    ]
    body = fitted.parts[2]
    assert body.rows == body.rows[::-1]
    assert fitted.parts[3].counts[:3] == (112, 112, 104)


def test_what_has_no_motif_has_no_marks():
    fitted = listed(CATALOGUE.accessories["hat-slouch"], "adult medium", Gauge.from_stitches(22, FABRIC))
    assert (fitted.marks, fitted.repeat, fitted.motif_rows) == ({}, 1, 0)
    brim, body, crown = fitted.parts
    assert (brim.first % 4, body.first, crown.first) == (0, 137, 137)
    assert brim.first < body.first


def test_edges_stand_below_and_above():
    fitted = listed(CATALOGUE.accessories["wrist-warmers-stranded"], "adult medium", Gauge.from_stitches(24, FABRIC))
    assert [part.zone for part in fitted.parts if part.structure == "rib"] == ["edges", "edges"]
    assert (fitted.parts[0].zone, fitted.parts[-1].zone, fitted.pieces) == ("edges", "edges", 2)


def test_mittens_have_their_thumbs_besides():
    """The gusset grows from one stitch by two at a time; the thumb has one more than the gusset, from over the gap."""
    fitted = listed(CATALOGUE.accessories["mittens-stranded"], "adult medium", Gauge.from_stitches(24, FABRIC))
    assert [part.zone for part in fitted.parts if not part.added] == ["cuffs", "hands", "tips"]
    (gusset, two), (thumb, also) = fitted.extra
    assert (two, also, gusset.shape, thumb.shape) == (2, 2, "triangle", "crown")
    assert (gusset.first, gusset.last) == (1, thumb.first - 1)
    assert thumb.first % 2 == 0


def test_a_yoke_has_two_motifs_and_falls_step_by_step():
    fitted = listed(CATALOGUE.accessories["yoke-three-colours"], "adult medium", Gauge.from_stitches(22, FABRIC))
    counts = [part.first for part in fitted.parts if not part.added]
    assert counts == sorted(counts, reverse=True)
    assert [part.zone for part in fitted.parts if part.rows] == [
        "yoke below the first decreases", "band above the first decreases", "band above the second decreases",
    ]  # fmt: skip
    assert fitted.extra == ()
    assert set(fitted.marks.values()) == {"main", "contrast 1", "contrast 2"}
    assert len(set(fitted.marks.values())) == len(fitted.marks)


@pytest.mark.parametrize(
    ("key", "column", "beside"),
    [
        ("coaster", [("square", "flat")], []),
        ("bunting", [("flags", "triangle")], [("string", "flat")]),
        ("kerchief", [("triangle", "triangle")], []),
        ("cowl-garter", [("strip", "flat")], []),
        ("pouch-tiny", [("bag", "tube")], [("base", "flat"), ("cord", "tube")]),
    ],
)
def test_where_no_tube_stands_each_zone_is_a_part_by_itself(key: str, column: list, beside: list):
    entry = CATALOGUE.accessories[key]
    fitted = listed(entry, entry.sizes[0], Gauge.from_stitches(20, FABRIC))
    assert [(part.zone, part.shape) for part in fitted.parts] == column
    assert [(part.zone, part.shape) for part, _ in fitted.extra] == beside
    assert all(part.rounds % 2 == 0 for part, _ in parts_of(fitted) if part.structure == "garter")


def test_marks_that_mean_two_things_are_kept_apart():
    """In one motif x is the first contrast, in the other the second."""
    one = Motif("one", "one", ("x.", ".x"), {".": "main", "x": "contrast 1"})
    two = Motif("two", "two", ("x.", ".x"), {".": "main", "x": "contrast 2"})
    tube = Zone("low", "tube", "stranded", around=Dimension(cm=50), height=Dimension(cm=5), motif="one")
    entry = Accessory(
        "own", "own", "cowl", ("adult medium",), (3,), tuple(map(Role, ("main", "contrast 1", "contrast 2"))),
        (tube, replace(tube, name="high", motif="two")),
    )  # fmt: skip
    fitted = listed(entry, "adult medium", Gauge.from_stitches(20, FABRIC), {"one": one, "two": two})
    assert set(fitted.rounds()[0][1]) == {"main", "contrast 1"}
    assert set(fitted.rounds()[-1][1]) == {"main", "contrast 2"}


def test_seven_stitches_round_a_hat_are_refused():
    """56.7 cm less 4 % are 54.4 cm; 1.3 stitches in 10 cm make 7."""
    with pytest.raises(BadInput) as caught:
        hat(stitches=1.3)
    assert str(caught.value) == (
        "stranded hat, pattern all over is only 7 stitches round at this gauge (swatch): take thinner yarn or a larger size"
    )


def test_a_motif_wider_than_the_round_is_refused():
    wide = Motif("lattice", "a wide one", ("x" + "." * 39,), {".": "main", "x": "contrast 1"})
    entry = CATALOGUE.accessories["hat-stranded-all-over"]
    with pytest.raises(BadInput, match="one repeat of a wide one is 40 stitches, and body has 27 at this gauge"):
        listed(entry, "adult medium", Gauge.from_stitches(5, FABRIC), {"lattice": wide})


@st.composite
def entries(draw: st.DrawFn) -> tuple[Accessory, dict[str, Motif]]:
    """An entry of her own, of any zones, with motifs of any size."""
    roles = ("main", "contrast 1", "contrast 2")
    motifs = {}
    for key in "ab":
        wide = draw(st.integers(1, 16))
        grid = tuple(draw(st.lists(st.text(".xo", min_size=wide, max_size=wide), min_size=1, max_size=14)))
        motifs[key] = Motif(key, key, grid, dict(zip(".xo", draw(st.permutations(roles)), strict=True)))
    widths = draw(st.lists(st.floats(6, 120), min_size=1, max_size=3))
    zones = []
    for number in range(draw(st.integers(1, 6))):
        shape = draw(st.sampled_from(SHAPES))
        around = Dimension(cm=draw(st.sampled_from(widths)))
        motif = draw(st.sampled_from([None, None, "a", "b"]))
        zones.append(
            Zone(
                f"zone {number}",
                shape,
                "stranded" if motif else draw(st.sampled_from(["stocking", "rib", "garter"])),
                count=draw(st.sampled_from([1, 1, 2, 4])),
                around=None if shape == "piece" else around,
                around_end=Dimension(cm=draw(st.floats(2, 60))) if shape == "frustum" else None,
                height=Dimension(cm=draw(st.floats(0.5, 40))),
                role=None if motif else draw(st.sampled_from(roles)),
                motif=motif,
                stitches=draw(st.integers(4, 200)) if shape == "piece" else None,
            )
        )
    kind = draw(st.sampled_from(KINDS))
    return Accessory("own", "own", kind, ("one size",), (3,), tuple(map(Role, roles)), tuple(zones)), motifs


@settings(deadline=None, max_examples=500)
@given(entries(), st.sampled_from([10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 32, 34]))
def test_entries_of_her_own(one: tuple[Accessory, dict[str, Motif]], stitches: int):
    entry, motifs = one
    gauge = Gauge.from_stitches(stitches, FABRIC)
    try:
        fitted = listed(entry, "one size", gauge, motifs)
    except BadInput as refused:
        if "gusset" in str(refused):
            return
        # A round of fewer than 8 stitches, or a repeat wider than the piece.
        widths = [motifs[zone.motif].width + PLAIN_COLUMNS for zone in entry.zones if zone.motif]
        rounds = [zone.stitches or in_cm(zone.around, "one size") * stitches / 10 for zone in entry.zones]
        assert min(rounds) < 7.5 or min(rounds) < 2 * RIB * max(widths)
        return
    check(entry, "one size", gauge, fitted, motifs)
    assert needs_of_fitted(fitted, FABRIC)
    assert fitted.rounds()
