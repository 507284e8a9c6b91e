"""All that is known of one thing as facts: a word before each, most needed first; what is not known is left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from matcher.actions.keeping.cells import heading
from matcher.actions.looking.lines import PersonLine
from matcher.actions.looking.past import Event
from matcher.actions.looking.things import (
    Shown,
    ShownAccessory,
    ShownGarment,
    ShownLot,
    ShownPerson,
    ShownWork,
)
from matcher.materials.care import label_words
from matcher.materials.people import ORDINARY
from matcher.reasons.quantities import GaugeFigures, Length, Mass, Measure, StitchGauge, Tex
from matcher.reasons.reason import Action, Term, Words, counted, listed, reason
from matcher.store.written import Written

Fact = tuple[str, Words]  # a word of ours and what it says; "" goes on with the one above


def facts(one: Shown) -> Iterator[Fact]:
    """Each with its word."""
    if isinstance(one, ShownLot):
        yield from _of_lot(one)
    elif isinstance(one, ShownGarment):
        yield from _of_garment(one)
    elif isinstance(one, ShownPerson):
        yield from _of_person(one.line)
    elif isinstance(one, ShownAccessory):
        yield from _of_accessory(one)
    else:
        yield from _of_work(one)


def _both(metres: float, grams: float) -> Words:
    return reason("{length}, {mass}", length=Length(metres), mass=Mass(grams))


def _of_lot(one: ShownLot) -> Iterator[Fact]:
    line, lot = one.line, one.line.lot
    weighs = counted(lot.pieces, "{mass} in {n} piece", "{mass} in {n} pieces", mass=lot.weight)
    there = "{mass}, about {length}, give or take {sd}"
    yield "weighs", reason(there, mass=weighs, length=Length(lot.length.mean), sd=Length(lot.length.sd))
    if lot.weighed_on:
        yield "", reason("weighed on {day}", day=lot.weighed_on)
    yield "yarn", _yarn(one)
    called: Words = listed(map(Term, line.colours), "and")
    if lot.colour.guessed:
        called = reason("{called}, guessed from the word", called=called)
    yield "colour", reason("{hers} ({called})", hers=lot.colour_name, called=called) if lot.colour_name else called
    if lot.garment:
        role = reason("{garment}, {role}", garment=lot.garment, role=Term(lot.role))
        yield "from", role if lot.role else lot.garment
    if lot.place:
        yield "place", lot.place
    if one.reserve is not None and line.kept_m > 0:
        kept = _both(line.kept_m, line.grams(line.kept_m))
        yield "kept", reason("{kept}: {because}", kept=kept, because=one.reserve.because)
    for work in one.works:
        for part in work.parts:
            if part.lot == lot.name:
                took = reason("{took} for {work}", took=_both(part.metres, part.grams), work=work.name)
                yield "needles" if work.state == "begun" else "used", took
    if one.decision is not None:
        yield "decided", reason("{advice} ({day})", advice=Term(one.decision.advice), day=one.decision.made_on)
    yield "free", _both(line.free_m, line.grams(line.free_m))
    if lot.note:
        yield "note", lot.note
    if lot.code:
        yield "tag", lot.code


def _yarn(one: ShownLot) -> Words:
    lot = one.line.lot
    yarn = lot.yarn
    known: list[Words] = [yarn.name] if yarn.name else []
    known.append(reason("class {number}", number=yarn.weight_class))
    if yarn.tex_from == "class":
        known.append(reason("thickness by the class alone"))
    else:
        known.append(reason("{tex}", tex=Tex(yarn.tex.mean)))
    known += [yarn.blend.words(), label_words(yarn.wash)]
    known.append(reason("dye lot {name}", name=lot.dye_lot) if lot.dye_lot else reason("dye lot not known"))
    return listed(known)


def _of_garment(one: ShownGarment) -> Iterator[Fact]:
    garment = one.line.garment
    kind = reason("{kind}, {status}", kind=garment.kind, status=Term(garment.status))
    yield "is", kind if garment.kind else Term(garment.status)
    if garment.wearer:
        yield "wearer", garment.wearer
    if garment.chest_cm:
        yield "chest", reason("{cm}", cm=Measure(garment.chest_cm))
    if garment.stitches_10cm and garment.rows_10cm:
        yield "gauge", reason("{gauge}", gauge=GaugeFigures(garment.stitches_10cm, garment.rows_10cm))
    elif garment.stitches_10cm:
        yield "gauge", reason("{gauge}", gauge=StitchGauge(garment.stitches_10cm))
    if garment.alterations:
        yield "plans", listed((plan.words for plan in garment.alterations), between="; ")
    if garment.motif:
        yield "motif", garment.motif
    yield from _reserve(one)
    for place, line in enumerate(one.line.lots):
        lot = line.lot
        said = "{lot}: {mass}, about {length}; {kept} kept, {free} free"
        kept, free = Length(line.kept_m), Length(line.free_m)
        mass, length = lot.weight, Length(lot.length.mean)
        yield "" if place else "lots", reason(said, lot=lot.name, mass=mass, length=length, kept=kept, free=free)
    if not one.line.lots:
        yield "lots", reason("none in your bin")
    if garment.note:
        yield "note", garment.note


def _reserve(one: ShownGarment) -> Iterator[Fact]:
    if one.line.garment.status == "gone":
        yield "kept", reason("nothing, since it is gone")
        return
    if one.line.kept_m > 0:
        yield "kept", reason("{kept} in all", kept=_both(one.line.kept_m, one.line.kept_g))
    for group in one.reserves:
        because = reason("{yarn}: {because}", yarn=group.called, because=group.because)
        if group.missing_m >= 0.5:
            because = reason("{because}; {missing} of it are missing", because=because, missing=Length(group.missing_m))
        yield "", because


def _of_person(line: PersonLine) -> Iterator[Fact]:
    person = line.person
    if person.size:
        yield "size", Term(person.size)
    for name, cm in person.measures.items():
        yield name, reason("{cm}", cm=Measure(cm))
    if person.unsuited:
        yield "skin", reason("not {fibres}", fibres=listed(map(Term, person.unsuited), "or"))
    if person.eyes != ORDINARY:
        yield "eyes", reason("can't tell apart: {eyes}", eyes=Term(person.eyes))
    if person.likes:
        yield "likes", listed(person.likes, between="; ")
    if person.dislikes:
        yield "not", listed(person.dislikes, between="; ")
    if line.wears:
        yield "wears", listed(line.wears, between="; ")
    if person.note:
        yield "note", person.note


def _of_accessory(one: ShownAccessory) -> Iterator[Fact]:
    entry = one.entry
    if entry.note:
        yield "is", entry.note
    yield "kind", Term(entry.kind)
    yield "sizes", listed(map(Term, entry.sizes))
    yield "yarn", reason("class {numbers}", numbers=listed(map(str, entry.classes), "or"))
    yield "colours", listed(map(Term, entry.role_names))
    yield "fabric", listed(map(Term, one.structures), "and")
    yield "takes", reason("in class {number}:", number=one.weight_class)
    for row in one.rows:
        roles = [
            reason("{role} {took}", role=Term(role["role"]), took=_both(role["metres"], role["grams"]))
            for role in row["roles"]
        ]
        yield "", reason("{size}: {roles}", size=Term(row["size"]), roles=listed(roles, between="; "))
    yield "more", reason("{needs} {key} has every class and the working", needs=Action("needs"), key=entry.key)


def _of_work(one: ShownWork) -> Iterator[Fact]:
    line = one.line
    size = reason("{accessory}, {size}", accessory=Term(one.accessory), size=Term(line.size))
    yield "is", size if line.size else Term(one.accessory)
    yield "begun", line.begun_on
    if line.state != "begun":
        yield line.state, line.ended_on
    if one.reached:
        yield "so far", one.reached
    if one.whole is not None:
        yield "set", one.whole.words
    if all(one.gauge):
        yield "gauge", reason("{gauge}", gauge=GaugeFigures(*one.gauge))
    for part in line.parts:
        took = _both(part.metres, part.grams)
        said = reason("{role}: {took} of {lot}", role=Term(part.role), took=took, lot=part.lot)
        if line.state == "begun":
            yield "takes", said
        else:
            yield "used", reason("{said}; {length} were estimated", said=said, length=Length(part.predicted_m))
    if line.state == "begun":
        yield "done?", reason("weigh what is left: {finish} writes it down", finish=Action("finish"))
    if one.no_pattern:
        yield "pattern", one.no_pattern


def written_words(written: Sequence[Written]) -> Iterator[Words]:
    """Her own cells, and what was made of them."""
    for one in written:
        wrote = reason('"{cell}" under "{heading}"', cell=one.cell, heading=one.heading)
        if not one.heading:
            wrote = reason('"{cell}"', cell=one.cell)
        if not one.column:
            yield reason("{wrote}, which is in no column here", wrote=wrote)
        elif one.taken == one.cell:
            yield reason("{wrote}, taken as {column}", wrote=wrote, column=heading(one.column))
        elif one.taken:
            yield reason("{wrote}, taken as {column} {taken}", wrote=wrote, column=heading(one.column), taken=one.taken)
        else:
            yield reason("{wrote}, taken as nothing", wrote=wrote)


def history_words(history: Sequence[Event]) -> Iterator[Words]:
    """What was done, with the day and the time."""
    for event in history:
        day, _, time = event.done_at.partition("T")
        yield reason("{day} {time}  {what}", day=day, time=time[:5], what=event.what)
