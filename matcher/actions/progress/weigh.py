"""Write down what a lot weighs now; in the middle of a piece, with what that says of it."""

from __future__ import annotations

from matcher.actions.keeping.done import (
    Done,
    claims_fitted,
    lot_row,
    opened,
    read_weight,
    refuse_slip,
    set_aside,
    weight_change,
    weight_doubts,
)
from matcher.actions.place import Place
from matcher.errors import BadInput
from matcher.reasons.quantities import Mass
from matcher.reasons.reason import Action, Field, Words, reason
from matcher.store.database.act import Act
from matcher.store.database.claims import claims_of


def weigh(lot: str, mass: str, *, bin: Place = None) -> Done:
    """Write down what a lot weighs now; 0 takes it out of the bin.

    Parameters
    ----------
    lot : its name or its code; mass : as the sheets read it, such as "41 g" or "1.5 oz".

    Raises NotFound for a lot that is not there, BadInput for a weight that is none.
    """
    with opened(bin) as store, store.action("weigh") as act:
        row = lot_row(store, lot)
        weight = read_weight(mass, Field("weight"), row)
        grams = weight.grams
        name, before = row["lot"], row["mass_g"]
        refuse_slip(row, grams)
        act.words = reason("weigh {lot}: {before} to {after}", lot=name, before=Mass(before), after=Mass(grams))
        said: tuple[Words, ...]
        short = False
        if grams == 0:
            _use_up(act, name)
            said = (reason("Nothing is left of {lot}, so it is out of the bin.", lot=name),)
        else:
            act.update("lots", name, {"grams": weight.cell, "weighed_on": act.today})
            weighs = reason("{lot}: {change}.", lot=name, change=weight_change(before, grams))
            follows, short = _follows(act, name, grams)
            said = (weighs, *follows)
        values = {"lot": name, "before_g": round(before, 2), "after_g": round(grams, 2)}
        return Done(said, values, (*weight.notes, *weight_doubts(row, grams)), short)


def _follows(act: Act, lot: str, grams: float) -> tuple[tuple[Words, ...], bool]:
    """What a weighing says of what is on the needles, and whether some of it may run out of yarn."""
    numbers = dict.fromkeys(one["work"] for one in claims_of(act.store, lot))
    works = [row for row in (act.store.row("works", number) for number in numbers) if row is not None]
    begun = [row for row in works if row["stage"] and row["recipe"]]
    said: tuple[Words, ...] = ()
    short = False
    if begun:
        from matcher.actions.progress.row import (
            weighed_midway,  # brings the patterns, which weighing alone doesn't need
        )

        for row in begun:
            more, runs_out = weighed_midway(act, lot, grams, row["id"])
            said, short = (*said, *more), short or runs_out
    else:
        said = claims_fitted(act, lot, grams)
    sets = dict.fromkeys(row["of_set"] for row in works if row["of_set"])
    if sets:
        from matcher.actions.progress.row import of_sets

        said += of_sets(act.store, tuple(sets))
    return said, short


def _use_up(act: Act, name: str) -> None:
    works = dict.fromkeys(one["work_name"] for one in claims_of(act.store, name))
    if works:
        todo = reason("finish or abandon that first: {finish}", finish=Action("finish"))
        raise BadInput(set_aside(name, works), name, todo)
    act.delete("lots", name)
