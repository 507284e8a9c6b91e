"""Strategies for small bins that make trouble: like lots, two dye lots, many-coloured yarn, reserves, all weights."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from hypothesis import strategies as st

from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.colour import KNOWN, Colour
from matcher.materials.fibre import Blend
from matcher.materials.lots import MENDING, Alteration, Bin, Garment, Lot
from matcher.materials.yarn import Yarn, length_on_hand, tex_from_ball, tex_from_class
from matcher.store.catalogue.catalogue import Catalogue, load_catalogue

WHOLE = load_catalogue()
CLASSES = {one.number: one for one in WHOLE.classes if one.number <= 6}
PLAN = Alteration("lengthen body 5 cm", "body", 5.0)
_FIBRES = {fibre.name: fibre for fibre in WHOLE.fibres}
_BLENDS = (
    Blend(),
    Blend(((_FIBRES["wool"], 1.0),)),
    Blend(((_FIBRES["superwash wool"], 1.0),)),
    Blend(((_FIBRES["cotton"], 1.0),)),
    Blend(((_FIBRES["wool"], 0.7), (_FIBRES["mohair"], 0.3))),
)
_GRAMS = (4, 13, 27, 34, 50, 67, 84, 100, 148)
# The steps of lightness are odd on purpose, so that no pair lies exactly on the edge of a verdict.
_LIGHT = st.integers(0, 105).map(lambda step: 8.0 + 0.83 * step)
_LIKE = st.sampled_from([0.0, 0.0, 0.9, -3.1])


def _lab(light: float, a: float, b: float) -> Lab:
    return light, a, b


_GREY = st.builds(_lab, _LIGHT, _LIKE, _LIKE)
_ANY = st.builds(_lab, _LIGHT, st.integers(-6, 6).map(lambda step: 7.3 * step), st.integers(-6, 6).map(float))
_SOLID = st.one_of(_GREY, _ANY).map(lambda lab: Colour("solid", ((lab, 1.0),)))


@st.composite
def _many_coloured(draw: st.DrawFn) -> Colour:
    labs = draw(st.lists(st.one_of(_GREY, _ANY), min_size=2, max_size=3, unique=True))
    shares = draw(st.sampled_from([(0.5, 0.3, 0.2), (0.85, 0.08, 0.07), (0.34, 0.33, 0.33)]))[: len(labs)]
    parts = tuple((lab, share / sum(shares)) for lab, share in zip(labs, shares, strict=True))
    return Colour(draw(st.sampled_from(["heather", "variegated"])), parts)


DARK, CREAM = (Colour("solid", (((light, 3.7, -9.1), 1.0),)) for light in (21.3, 90.9))
# How far off what a word says may be; odd, as above.
_SDS = st.tuples(*(st.sampled_from([2.3, 7.1, 11.9]) for _ in range(3)))


@st.composite
def _guessed(draw: st.DrawFn) -> Colour:
    """Colours given by words, all of them or some of those of a yarn."""
    colour = draw(st.one_of(_SOLID, _SOLID, _many_coloured()))
    sds = [draw(_SDS) if place == 0 or draw(st.booleans()) else KNOWN for place in range(len(colour.parts))]
    return replace(colour, sds=tuple(sds))


_CERTAIN = st.one_of(_SOLID, _SOLID, _SOLID, _many_coloured())
COLOURS = st.one_of(_CERTAIN, _CERTAIN, _guessed())


@st.composite
def yarns(draw: st.DrawFn, classes: tuple[int, ...]) -> tuple[Yarn, float | None]:
    """A yarn and the grams of its full ball, None without a label."""
    known = CLASSES[draw(st.sampled_from(classes))]
    name = draw(st.sampled_from(["soft", "firm", ""]))
    blend, wash = draw(st.sampled_from(_BLENDS)), draw(st.sampled_from(["hand", "machine", "unknown"]))
    if draw(st.integers(0, 5)) == 0:
        return Yarn(name, tex_from_class(known.number, WHOLE.classes), "class", known.number, blend, wash), None
    tex = known.tex_min + draw(st.integers(0, 8)) / 8 * (known.tex_max - known.tex_min)
    estimate = tex_from_ball(50.0, 50_000.0 / tex, WHOLE.measuring)
    return Yarn(name, estimate, "ball band", known.number, blend, wash), 50.0


@st.composite
def garments(draw: st.DrawFn) -> dict[str, Garment]:
    """Up to three garments, worn, given or gone."""
    found = {}
    for name in ("first", "second", "third")[: draw(st.integers(0, 3))]:
        found[name] = Garment(
            name,
            draw(st.sampled_from(["pullover", "yoke pullover", "child pullover", "vest", "something"])),
            draw(st.sampled_from(["worn", "given", "gone"])),
            "",
            draw(st.sampled_from([None, 62.0, 104.0])),
            draw(st.sampled_from([None, 22.0])),
            draw(st.sampled_from([None, 30.0])),
            draw(st.sampled_from([(), (), (PLAN,)])),
            "",
            "",
            draw(st.sampled_from(["", *MENDING])),
        )
    return found


@st.composite
def bins(draw: st.DrawFn, most: int, classes: tuple[int, ...], least: int = 1) -> Bin:
    """A bin of a few yarns and colours, so that lots are often alike."""
    owners = draw(st.one_of(st.just({}), garments()))
    kinds = draw(st.lists(yarns(classes), min_size=1, max_size=4))
    colours = [
        DARK,
        CREAM,
        *draw(st.lists(draw(st.sampled_from([COLOURS, COLOURS, _guessed()])), min_size=1, max_size=5)),
    ]
    if draw(st.integers(0, 3)) == 0:
        colours = [replace(one, sds=((7.1, 6.3, 5.9),)) if one in (DARK, CREAM) else one for one in colours]
    lots = []
    for place in range(draw(st.integers(least, most))):
        yarn, ball_g = draw(st.sampled_from(kinds))
        colour = draw(st.sampled_from(colours))
        grams = float(draw(st.sampled_from(_GRAMS)))
        pieces = draw(st.sampled_from([1, 1, 1, 2, 3]))
        lots.append(
            Lot(
                name=f"lot {place:02d}",
                garment=draw(st.sampled_from(["", *owners])),
                yarn=yarn,
                colour=colour,
                colour_name=draw(st.sampled_from(["", "", "grey"])),
                mass_g=grams,
                pieces=pieces,
                ball_g=ball_g,
                dye_lot=draw(st.sampled_from(["", "1", "2"])),
                label="yes" if ball_g else "no",
                reserve_m=draw(st.sampled_from([None, None, None, None, None, None, 0.0, 12.0, 400.0])),
                place="",
                note="",
                role=draw(st.sampled_from(["", "", "main", "contrast 1"])),
                length=length_on_hand(grams, yarn.tex, pieces, yarn.blend, WHOLE.measuring),
            )
        )
    return Bin(tuple(lots), owners)


Entries = dict[str, tuple[str, ...]]  # accessories by key, with the sizes that are left of each


@st.composite
def entries(draw: st.DrawFn, classes: tuple[int, ...], roles: int, ways: int = 2) -> Entries:
    """A few accessories for such yarn, at least one in several roles, each in one or two sizes."""
    filled = {key: sum(not role.bring for role in one.roles) for key, one in WHOLE.accessories.items()}
    suiting = [
        key for key, one in WHOLE.accessories.items() if set(one.classes) & set(classes) and filled[key] <= roles
    ]
    several = [key for key in suiting if filled[key] >= min(2, roles)]
    keys = {draw(st.sampled_from(several or suiting)), *draw(st.lists(st.sampled_from(suiting), max_size=3))}
    sizes = {key: WHOLE.accessories[key].sizes for key in sorted(keys)}
    return {
        key: tuple(sorted(draw(st.sets(st.sampled_from(known), min_size=1, max_size=ways)), key=known.index))
        for key, known in sizes.items()
    }


def cut(entries: Entries) -> Catalogue:
    """The catalogue with nothing but these."""
    return replace(
        WHOLE, accessories={key: replace(WHOLE.accessories[key], sizes=sizes) for key, sizes in entries.items()}
    )


def rich(seed: int, lots: int, roles: int, together: bool) -> tuple[Bin, Entries]:
    """A bin from which much can be made, of two yarns, and entries of just so many roles (fewer if there are none)."""
    pick = Random(seed)
    base = pick.choice([0, 1, 2] if together else [2, 3, 4])
    kinds = []
    for name in ("soft", "firm"):
        known = CLASSES[base + pick.choice([0, 0, 1])]
        tex = tex_from_ball(50.0, 50_000.0 / pick.uniform(known.tex_min, known.tex_max), WHOLE.measuring)
        kinds.append(Yarn(name, tex, "ball band", known.number, pick.choice(_BLENDS), "hand"))
    owner = Garment("first", "yoke pullover", pick.choice(["worn", "given", "gone"]), "", None, None, None, (), "", "")
    colours = [Colour("solid", ((_random_lab(pick), 1.0),)) for _ in range(lots)]
    colours += [
        Colour(kind, ((_random_lab(pick), 0.7), (_random_lab(pick), 0.3))) for kind in ("heather", "variegated")
    ]
    # In a third of the bins some colours are words, in another third all of them.
    guesses = pick.choice([0.0, 0.4, 1.0])
    colours = [
        replace(one, sds=tuple((pick.uniform(4, 14), pick.uniform(4, 12), pick.uniform(4, 12)) for _ in one.parts))
        if pick.random() < guesses
        else one
        for one in colours
    ]
    made = []
    for place in range(lots):
        yarn, grams = pick.choice(kinds), pick.uniform(3, 100)
        length = length_on_hand(grams, yarn.tex, 1, yarn.blend, WHOLE.measuring)
        garment = pick.choice(["", "", "first"])
        made.append(
            Lot(
                f"lot {place:02d}",
                garment,
                yarn,
                pick.choice(colours),
                "",
                grams,
                1,
                50.0,
                pick.choice(["", "7"]),
                "yes",
                None,
                "",
                "",
                pick.choice(["", "main", "contrast 1"]),
                length,
            )
        )
    reached = {base, base + 1, *((base + 2, base + 3) if together else ())}
    suiting = [
        key
        for key, one in WHOLE.accessories.items()
        if set(one.classes) & reached and sum(not role.bring for role in one.roles) == roles
    ]
    keys = sorted(pick.sample(suiting, min(3, len(suiting))))
    return Bin(tuple(made), {"first": owner}), {key: (pick.choice(WHOLE.accessories[key].sizes),) for key in keys}


def _random_lab(pick: Random) -> Lab:
    return pick.uniform(10, 95), pick.gauss(0, 18), pick.gauss(0, 18)


def with_reserve(lot: Lot, metres: float) -> Lot:
    """The lot with a reserve set by hand [m]."""
    return replace(lot, reserve_m=metres)
