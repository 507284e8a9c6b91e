"""Write down how far a piece on the needles is, and what its lots weigh there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path

from matcher.actions.desk import Desk, desk_of
from matcher.actions.keeping.done import Done, claims_fitted, lot_row, opened, read_weight
from matcher.actions.place import Place
from matcher.actions.progress.lasting import Lasts, lasts
from matcher.actions.progress.piece import OnNeedles, needles_of, on_needles, place_words
from matcher.actions.progress.whole_set import set_lasts
from matcher.errors import BadInput
from matcher.knitting.pattern.place import after_course, after_section
from matcher.materials.reading.names import fold
from matcher.reasons.quantities import Mass
from matcher.reasons.reason import Action, Field, Words, counted, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.database.act import Act
from matcher.store.database.claims import claims_of, fit_claims
from matcher.store.database.rows import Rows

GRACE_G = 1.0  # so much more than before may be the scale's


def row(
    work: str,
    course: int | None = None,
    *,
    done: str | None = None,
    piece: int | None = None,
    steps: int | None = None,
    weighed: Mapping[str, str] | None = None,
    bin: Place = None,
    catalog: Path | str | None = None,
) -> Done:
    """Write down how far a piece on the needles is, and tell what each colour still has to give.

    Parameters
    ----------
    work : its name or number. course : the round or row that is done, as its pattern numbers it. done : the section
        that is done instead, such as "crown". piece : which of several alike, such as the second mitt; left out, the
        one that she is at. steps : so many steps of the whole pattern are done, in place of all these; for whoever
        goes through them one by one. weighed : lot -> what it weighs now.

    With neither course nor section she is where she was. Raises NotFound and BadInput; nothing is changed then.
    """
    if course is not None and done is not None:
        raise BadInput(reason("both a round and a section are named"), Field("done"), reason("name one of them"))
    catalogue = desk_of(bin if isinstance(bin, Desk) else None, catalog).catalogue
    with opened(bin) as store, store.action("row") as act:
        found = on_needles(store, work, catalogue)
        stage = _reached(found, course, done, piece) if steps is None else _counted(found, steps)
        act.update("works", found.row["id"], {"stage": stage})
        notes: list[Words] = []
        for name, mass in (weighed or {}).items():
            notes += _weigh(act, found, stage, name, mass)
        where = reason("{work}: {place}", work=found.name, place=place_words(found.stages, stage))
        act.words = where
        if weighed:
            _others_rest(act, found, catalogue)
        told = lasts(store, found, stage, catalogue)
        if weighed:
            claim_rest(act, found, told)
        whole = set_lasts(store, found.row["of_set"], catalogue)
    said = (reason("{where}.", where=where), *told.words(catalogue.ranking.sure_at_least))
    said += (whole.words,) if whole else ()
    values = {"work": found.row["id"], "name": found.name, "steps_done": stage, "steps": len(found.stages)}
    values = {**values, **told.as_dict(), "set": whole.as_dict() if whole else None}
    return Done(said, values, tuple(notes), told.sure < catalogue.ranking.sure_at_least)


def _counted(found: OnNeedles, steps: int) -> int:
    """So many steps. Raises BadInput for more than there are."""
    if not 0 <= steps <= len(found.stages):
        most = counted(len(found.stages), "it has {n} step", "it has {n} steps")
        raise BadInput(reason("the pattern has no step {number}", number=steps), found.name, most)
    return steps


def _reached(found: OnNeedles, course: int | None, done: str | None, piece: int | None) -> int:
    """How many steps are done. Raises BadInput for what the pattern does not have."""
    stages, copies = found.stages, found.stages[-1].copy
    now = found.stage
    copy = piece if piece is not None else stages[min(now, len(stages) - 1)].copy
    if not 1 <= copy <= copies:
        has = counted(copies, "{work} is {n} piece", "{work} is {n} pieces", work=found.name)
        raise BadInput(reason("there is no piece {piece}", piece=copy), Field("piece"), has)
    if course is None and done is None:
        if piece is None:
            return now
        return next(place for place, one in enumerate(stages) if one.copy == copy)
    if done is not None:
        after = after_section(stages, done, copy)
        if after is None:
            names = tuple(dict.fromkeys(one.section for one in stages if one.copy == copy))
            todo = reason("its sections are {sections}", sections=listed(names))
            raise BadInput(reason('there is no section "{name}"', name=done), Field("done"), todo)
        return after
    assert course is not None
    after = after_course(stages, course, copy, now)
    if after is None:
        most = max(one.number for one in stages if one.copy == copy)
        one_of_them = "its last one is {last}: give a number from 1 to it, or a section ({done})"
        todo = reason(one_of_them, last=most, done=Field("done"))
        raise BadInput(reason("the pattern has no round {number}", number=course), found.name, todo)
    return after


def weighed_midway(act: Act, lot: str, grams: float, work: int) -> tuple[tuple[Words, ...], bool]:
    """A lot of a piece on the needles was weighed and written down: what follows for that piece, in sentences; and
    whether its yarn may run out."""
    catalogue = desk_of(None).catalogue
    try:
        found = needles_of(act.store, act.store.row("works", work) or {}, catalogue)
    except BadInput:  # the catalogue no longer has its accessory: its pattern cannot be told, the weight still counts
        return claims_fitted(act, lot, grams), False
    _seen(act, found, found.stage, lot, grams)
    _others_rest(act, found, catalogue)
    told = lasts(act.store, found, found.stage, catalogue)
    claim_rest(act, found, told)
    where = reason("{work}: {place}.", work=found.name, place=place_words(found.stages, found.stage))
    asked = catalogue.ranking.sure_at_least
    return (where, *told.words(asked)), told.sure < asked


def of_sets(store: Rows, numbers: Iterable[int]) -> tuple[Words, ...]:
    """How the sets of these numbers stand, a sentence each."""
    catalogue = desk_of(None).catalogue
    found = (set_lasts(store, number, catalogue) for number in numbers)
    return tuple(one.words for one in found if one is not None)


def _weigh(act: Act, found: OnNeedles, stage: int, name: str, mass: str) -> tuple[Words, ...]:
    """Write a weight down, and that it was found at this step. Raises NotFound and BadInput."""
    lot = lot_row(act.store, name)
    weight = read_weight(mass, Field("weigh", lot["lot"]), lot)
    if weight.grams <= 0:
        todo = reason("{finish} it, or weigh again", finish=Action("finish"))
        raise BadInput(reason("nothing would be left of {lot}", lot=lot["lot"]), Field("weigh"), todo)
    act.update("lots", lot["lot"], {"grams": weight.cell, "weighed_on": act.today})
    before = _seen(act, found, stage, lot["lot"], weight.grams)
    if weight.grams <= before + GRACE_G:
        return weight.notes
    said = "{lot} weighs {now}, but {then} when it was last weighed: is one of them a slip?"
    return (*weight.notes, reason(said, lot=lot["lot"], now=Mass(weight.grams), then=Mass(before)))


def _seen(act: Act, found: OnNeedles, stage: int, lot: str, grams: float) -> float:
    """Keep at which step a lot weighed this; returns what it weighed before [g]. Raises BadInput for more than it had
    at the cast-on."""
    own = [one for one in claims_of(act.store, lot) if one["work"] == found.row["id"]]
    if not own:
        what = reason("nothing of {lot} is set aside for {work}", lot=lot, work=found.name)
        raise BadInput(
            what, Field("weigh"), reason("its lots are {lots}", lots=listed(found.recipe.lots, "and", " and "))
        )
    before = min(one["from_g"] for one in own)
    if grams > before + GRACE_G:
        what = reason("{lot} weighs {now}, but it was {then} before", lot=lot, now=Mass(grams), then=Mass(before))
        raise BadInput(what, Field("weigh"), reason("weigh it again"))
    for one in claims_of(act.store, lot):
        # Another piece that takes of it has used its part too, as far as it is.
        of = act.store.row("works", one["work"]) or {}
        at = stage if one["work"] == found.row["id"] else of["stage"]
        act.update("claims", one["id"], {"seen_stage": at, "seen_g": grams})
    return min(float(one["seen_g"] or before) for one in own)


def _others_rest(act: Act, found: OnNeedles, catalogue: Catalogue) -> None:
    """Of the lots of a piece other pieces claim only their rest too, where these were weighed since they began."""
    lots = [lot_row(act.store, name)["lot"] for name in found.recipe.lots]
    works = {one["work"] for lot in lots for one in claims_of(act.store, lot)} - {found.row["id"]}
    for work in sorted(works):
        with suppress(BadInput):  # its pattern can no longer be told: its claims stay
            other = needles_of(act.store, act.store.row("works", work) or {}, catalogue)
            claim_rest(act, other, lasts(act.store, other, other.stage, catalogue))


def claim_rest(act: Act, found: OnNeedles, told: Lasts) -> None:
    """What was weighed gives only the rest from now on: the part that is knitted is no longer claimed."""
    every = act.store.select("SELECT * FROM claims WHERE work = ?", found.row["id"])
    for strand in (one for one in told.strands if one.weighed):
        metres, lots = strand.lasting.needs_m * strand.strand.count, {fold(lot) for lot in strand.strand.lots}
        claims = [one for one in every if one["role"] == strand.role and fold(one["lot"]) in lots]
        whole = sum(one["predicted_m"] for one in claims)
        for one in claims:
            part = one["predicted_m"] / whole if whole else 1.0 / len(claims)
            act.update("claims", one["id"], {"metres": metres * part})
    for name in found.recipe.lots:
        row = lot_row(act.store, name)
        fit_claims(act, row["lot"], row["mass_g"])
