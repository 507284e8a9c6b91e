"""One work put on the needles in a store that is open: its lots claimed, and what is said of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from matcher.actions.beginning.claiming import claim
from matcher.actions.desk import OFFER_AGAIN, Desk, shelf_of
from matcher.actions.keeping.done import lot_row
from matcher.actions.learning.history import history_in
from matcher.actions.names import typed_name
from matcher.actions.pattern.enough import doubts, sure_that
from matcher.actions.pattern.fitting import fitted_of_recipe, needs_of_recipe
from matcher.actions.pattern.minding import minded_of
from matcher.actions.pattern.order import Order
from matcher.actions.role_lots import RoleLots, Strands
from matcher.actions.whom.sized import check_skin
from matcher.errors import BadInput
from matcher.knitting.calibration import calibrated
from matcher.knitting.fabric import Gauge, gauge_of_tex
from matcher.knitting.pattern.minded import mind_words
from matcher.materials.lots import Bin, Lot
from matcher.materials.reading.names import fold
from matcher.materials.uncertain import Estimate
from matcher.reasons.quantities import Amount, GaugeFigures, Length
from matcher.reasons.reason import Field, Term, Words, listed, reason
from matcher.store.database.act import Act
from matcher.store.database.bin import bin_of_rows
from matcher.store.database.rows import Rows


@dataclass(frozen=True)
class InStore:
    """The lots of an open store, by their names."""

    store: Rows

    def known(self, name: str) -> str | None:
        row = self.store.named("lots", name)
        return None if row is None else str(row["lot"])

    def found(self, name: str) -> str:
        return str(lot_row(self.store, name)["lot"])


@dataclass(frozen=True)
class CastOn:
    """A work that was begun. called: with its size; tex: of each lot, by name."""

    work: int
    title: str
    called: Words
    order: Order
    gauge: Gauge
    sure: float
    claims: Sequence[Mapping[str, Any]]
    tex: Mapping[str, float]
    notes: tuple[Words, ...]

    @property
    def words(self) -> Words:
        """As the list of what was done has it."""
        return reason("{work}, {size}", work=self.title, size=Term(self.order.size)) if self.order.size else self.title

    @property
    def said(self) -> tuple[Words, ...]:
        """That it is begun, and what was set aside for it."""
        figures = GaugeFigures(self.gauge.stitches_10cm, self.gauge.rows_10cm)
        claimed = (
            reason(
                "{role}: {amount}, give or take {sd}, of {lot} set aside; {free} still free.",
                role=Term(one["role"]),
                amount=Amount(one["metres"], self.tex[one["lot"]]),
                sd=Length(one["sd_m"]),
                lot=one["lot"],
                free=Amount(one["free_m"], self.tex[one["lot"]]),
            )
            for one in self.claims
        )
        return (reason("{work} is begun: {gauge}.", work=self.called, gauge=figures), *claimed)

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON."""
        claims = [{**one, **{key: round(one[key], 2) for key in ("metres", "sd_m", "free_m")}} for one in self.claims]
        return {
            "work": self.work,
            "name": self.title,
            "accessory": self.order.entry.key,
            "size": self.order.size,
            "sure": round(self.sure, 4),
            "claims": claims,
        }


def cast_on(
    act: Act, desk: Desk, order: Order, strands: Strands, name: str | None, anyway: bool, otherwise: Words
) -> CastOn:
    """Put a work on the needles. otherwise: what to do where there is too little.

    Raises NotFound and BadInput for what cannot be; the action is then to be given up.
    """
    store, entry, catalogue = act.store, order.entry, order.catalogue
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
    sure = sure_that(given)
    notes: list[Words] = [*doubts(sure, entry, gauge, catalogue)]
    if brought := [Term(role.name) for role in entry.roles if role.bring]:
        notes.append(reason("You bring the yarn for {roles} yourself.", roles=listed(brought)))
    mind = minded_of(made, order, chosen)
    notes += [*map(mind_words, mind.warnings), *mind.cautions]
    tex = {lot.name: lot.yarn.tex.mean for one in chosen for lot in one.lots}
    sized = reason("{work}, {size}", work=title, size=Term(wanted)) if wanted and len(entry.sizes) > 1 else title
    return CastOn(work, title, sized, order, gauge, sure, claims, tex, tuple(notes))


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
