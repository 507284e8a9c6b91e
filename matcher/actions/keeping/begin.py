"""Begin an accessory: work out what each role takes, and claim that many metres of the lots named for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from matcher.actions.desk import OFFER_AGAIN, Desk, desk_of, shelf_of
from matcher.actions.keeping.claiming import claim
from matcher.actions.keeping.done import Done, lot_row, opened
from matcher.actions.keeping.enough import doubts, sure_that
from matcher.actions.learning.history import history_in
from matcher.actions.names import typed_name
from matcher.actions.pattern.files import read_pattern
from matcher.actions.pattern.fitting import fitted_of_recipe, needs_of_recipe
from matcher.actions.pattern.order import Order, named_order, recipe_order, settled_already
from matcher.actions.pattern.role_lots import RoleLots, named_strands
from matcher.actions.place import Place
from matcher.actions.ranking.last_list import SUGGEST, last_list, number_meant
from matcher.actions.roles import cautions_of
from matcher.actions.whom.sized import check_skin
from matcher.errors import BadInput
from matcher.knitting.calibration import calibrated
from matcher.knitting.fabric import Gauge, gauge_of_tex
from matcher.matching.pools import Pool
from matcher.materials.lots import Bin, Lot
from matcher.materials.reading.names import fold
from matcher.materials.uncertain import Estimate
from matcher.reasons.quantities import Amount, GaugeFigures, Length
from matcher.reasons.reason import Field, Term, Words, listed, reason
from matcher.store.database.bin import bin_of_rows
from matcher.store.database.rows import Rows
from matcher.store.recipes import Recipe


@dataclass(frozen=True)
class InStore:
    """The lots of an open store, by their names."""

    store: Rows

    def known(self, name: str) -> str | None:
        row = self.store.named("lots", name)
        return None if row is None else str(row["lot"])

    def found(self, name: str) -> str:
        return str(lot_row(self.store, name)["lot"])


_ANYWAY = Field("anyway")
_NAME_ANOTHER = reason("name another lot with it, or {anyway} sets aside what there is", anyway=_ANYWAY)
_OTHER_WAY = reason("choose one of the other ways, or {anyway} sets aside what there is", anyway=_ANYWAY)
_LIST_AGAIN = reason(
    "{suggest} makes another list, or {anyway} sets aside what there is", suggest=SUGGEST, anyway=_ANYWAY
)


def begin(
    accessory: str = "",
    lots: Sequence[str] = (),
    *,
    size: str | None = None,
    whom: str | None = None,
    swatch: str | None = None,
    pattern: Path | str | None = None,
    recipe: Recipe | None = None,
    name: str | None = None,
    anyway: bool = False,
    mending: str | None = None,
    bin: Place = None,
    catalog: Path | str | None = None,
) -> Done:
    """Put an accessory on the needles: its lots are claimed, so that nothing else is offered them.

    Parameters
    ----------
    accessory : its name or key; or a number of the last list of suggestions, which says size, gauge and lots itself.
    lots : one a role, "main=navy" or in the order of the roles; "navy + navy 2" one after the other,
        "fog & navy" held together, "2 x fog" doubled. They go before those of a suggestion or a pattern.
    whom : who it is for: their size or measures, and nothing on their skin that does not suit it.
    swatch : "22 st x 30 rows" in 10 cm; without it the gauge is the one usual for the first role's yarn.
    pattern : a file that `pattern` wrote, in place of an accessory. recipe : likewise, as `partner` gives it.
    name : of this work, the accessory's if left out. anyway : claim what there is, also where it is too little
        or reserved.
    mending : which repairs to keep yarn for where a garment's own row leaves it open, one of `MENDING`.

    Raises NotFound and BadInput; nothing is claimed then.
    """
    number, otherwise = number_meant(accessory), _NAME_ANOTHER if recipe is None else _OTHER_WAY
    if pattern is not None:
        recipe = read_pattern(pattern)
    if bool(accessory.strip()) == (recipe is not None):
        what = reason("two things are named to begin") if recipe else reason("nothing is named to begin")
        todo = reason("name an accessory, the number of a suggestion, or a pattern ({field})", field=Field("pattern"))
        raise BadInput(what, "", todo)
    told: list[Words] = []
    with opened(bin) as store, store.action("begin") as act:
        if number is not None:
            shown = last_list(store.path)
            recipe, mending = shown.recipe(number), mending or shown.mending
            otherwise = _LIST_AGAIN
        desk = desk_of(bin if isinstance(bin, Desk) else None, catalog, mending)
        whole = bin_of_rows(store, desk.catalogue) if number is not None or whom is not None or recipe else Bin(())
        if number is not None and not lots:
            told += shown.changed(whole, number)
        if recipe is not None:
            settled_already({"size": size, "for": whom, "swatch": swatch})
            order = recipe_order(recipe, whole, desk.catalogue)
        else:
            order = named_order(accessory, size, whom, swatch, whole, desk.catalogue, told)
        entry, catalogue = order.entry, order.catalogue
        strands = named_strands(order.roles, entry.name, lots, InStore(store), order.known)
        there, free = _around(store, desk, (lot for role in strands.values() for one in role for lot in one.lots))
        chosen = [
            RoleLots(role, tuple((tuple(there[fold(lot)] for lot in one.lots), one.count) for one in several))
            for role, several in strands.items()
        ]
        if not anyway:
            for one in order.people:
                check_skin(one, entry, [lot for role in chosen for lot in role.lots])
        made = order.recipe(_gauge(order, chosen), strands)
        gauge, wanted = made.gauge, made.size
        if not anyway:
            fitted_of_recipe(made, entry, catalogue)  # whether it can be knitted at this gauge
        plain = needs_of_recipe(made, entry, catalogue)
        learnt = history_in(store, catalogue).learnt
        needs = calibrated(plain, entry, learnt, from_swatch=gauge.from_swatch_rows)
        takes = {need.role for need in needs}  # a motif that was fitted may leave a role of the accessory out
        chosen = [one for one in chosen if one.role in takes]
        title = _title(store, typed_name(name, "piece") if name else entry.name)
        values = {
            "accessory": entry.key,
            "name": title,
            "size": wanted,
            "state": "begun",
            "begun_on": act.today,
            "stitches_10cm": gauge.stitches_10cm,
            "rows_10cm": gauge.rows_10cm,
            "recipe": made.text(),
        }
        work = act.insert("works", values)
        claims, given = claim(act, work, chosen, plain, needs, free, anyway, otherwise)
        sized: Words = reason("{work}, {size}", work=title, size=Term(wanted)) if wanted else title
        act.words = reason("begin {work}", work=sized)
    called = sized if len(entry.sizes) > 1 else title
    figures = GaugeFigures(gauge.stitches_10cm, gauge.rows_10cm)
    said: list[Words] = [reason("{work} is begun: {gauge}.", work=called, gauge=figures)]
    tex = {lot.name: lot.yarn.tex.mean for one in chosen for lot in one.lots}
    said += [
        reason(
            "{role}: {amount}, give or take {sd}, of {lot} set aside; {free} still free.",
            role=Term(one["role"]),
            amount=Amount(one["metres"], tex[one["lot"]]),
            sd=Length(one["sd_m"]),
            lot=one["lot"],
            free=Amount(one["free_m"], tex[one["lot"]]),
        )
        for one in claims
    ]
    brought = [Term(role.name) for role in entry.roles if role.bring]
    sure = sure_that(given)
    notes: list[Words] = [*told, *doubts(sure, entry, gauge, catalogue)]
    if brought:
        notes.append(reason("You bring the yarn for {roles} yourself.", roles=listed(brought)))
    notes += cautions_of(entry, wanted, [_pool(lot) for one in chosen for lot in one.lots], catalogue)
    rounded = [{**one, **{key: round(one[key], 2) for key in ("metres", "sd_m", "free_m")}} for one in claims]
    done = {"work": work, "name": title, "accessory": entry.key, "size": wanted}
    return Done(tuple(said), {**done, "sure": round(sure, 4), "claims": rounded}, tuple(notes))


def _around(store: Rows, desk: Desk, lots: Iterable[str]) -> tuple[dict[str, Lot], Mapping[str, Estimate]]:
    """Lots by folded name, and metres free of each: their garments' other lots bear on what is reserved.

    Raises NotFound for one that is not there, BadInput for one that she decided to keep.
    """
    rows = [lot_row(store, lot) for lot in lots]
    names = {row["folded"] for row in rows} | {
        other["folded"]
        for owner in {row["of_garment"] for row in rows if row["of_garment"]}
        for other in store.select("SELECT folded FROM lots WHERE of_garment = ?", owner)
    }
    bin_: Bin = bin_of_rows(store, desk.catalogue, names)
    shelf = shelf_of(bin_, desk.catalogue, mending=desk.mending)
    there = {fold(lot.name): lot for lot in bin_.lots}
    for name in (there[row["folded"]].name for row in rows):
        if name in shelf.kept:
            what = reason("{lot} is {kept}", lot=name, kept=shelf.kept[name])
            raise BadInput(what, Field("lots"), reason("{again} offers it again", again=OFFER_AGAIN))
    return there, shelf.free


def _gauge(order: Order, chosen: Sequence[RoleLots]) -> Gauge:
    if order.gauge is not None:
        return order.gauge
    if not chosen:
        todo = reason('write it as "22 st x 30 rows" (in 10 cm)')
        raise BadInput(reason("the gauge isn't known"), Field("swatch"), todo)
    return gauge_of_tex(chosen[0].tex, order.catalogue.fabric, order.entry.firmness)


def _title(store: Rows, name: str) -> str:
    taken = {row["name"] for row in store.select("SELECT name FROM works WHERE state = 'begun'")}
    number, title = 1, name
    while title in taken:
        number += 1
        title = f"{name} {number}"
    return title


def _pool(lot: Lot) -> Pool:
    return Pool((lot,), lot.length, lot.length, 0.0)
