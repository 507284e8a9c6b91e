"""A fit in a knitter's words: the cast-on, each part from the bottom up, what became of the motif.

Each is said without a capital and a full stop, which `Style.sentence` gives it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from matcher.actions.roles import Contrast
from matcher.knitting.fabric import PLAIN, FabricConstants
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.motifs.motif import Motif
from matcher.matching.pools import Pool
from matcher.matching.recolour.exchanges import Exchange
from matcher.materials.lots import Garment
from matcher.reasons.quantities import Chance, Measure, Share
from matcher.reasons.reason import Column, Term, Words, counted, listed, reason

# So many stitches are drawn together at a crown or a tip; more are grafted or bound off.
_FEW = 16
# What a fit goes round; the measure of the neck is taken at its base.
_BODIES = {"neck_base": "neck"}
_PLACED = {
    "trimmed": "the motif fits whole, without its plain edge rows ({rows} of its {all} rows)",
    "part": "the motif is taller than the room for it: {rows} of its {all} rows, alike from below and from above",
    "bands": "the motif is taller than the room for it: {rows} of its {all} rows, cut between two plain rows",
    "middle": "the motif is taller than the room for it: {rows} of its {all} rows, from its middle",
}


def part_words(fit: Fitted, fabric: FabricConstants) -> tuple[Words, ...]:
    """What to knit, part by part."""
    first = fit.parts[0]
    role = Term(first.role) if first.role else reason("the colours of the motif")
    found: list[Words] = [reason("cast on {stitches} stitches in {role}", stitches=fit.cast_on, role=role)]
    at, before = fit.cast_on, 0
    for part in fit.parts:
        if part.first > at:
            found.append(reason("in the next round increase evenly to {stitches} stitches", stitches=part.first))
        elif part.first < at:
            found.append(reason("in the next round decrease evenly to {stitches} stitches", stitches=part.first))
        at = part.last
        found.append(_one(part, before + 1, fabric))
        before += part.rounds
    last = fit.parts[-1]
    if last.decreases and last.last <= _FEW:
        found.append(reason("draw the yarn through the last {stitches} stitches and pull it tight", stitches=last.last))
    for part, pieces in fit.extra:
        across = (
            counted(part.first, "{n} stitch", "{n} stitches")
            if part.first == part.last
            else reason("from {first} to {last} stitches", first=part.first, last=part.last)
        )
        found.append(
            reason(
                "besides: {part}, {pieces} in all, {across} in {rows}, {colours}",
                part=part.part,
                pieces=pieces,
                across=across,
                rows=counted(part.rounds, "{n} row", "{n} rows"),
                colours=_colours(part, fabric),
            )
        )
    if fit.pieces == 2:
        found.append(reason("knit two alike"))
    elif fit.pieces > 2:
        found.append(reason("knit {pieces} alike", pieces=fit.pieces))
    return tuple(found)


def _one(part: FittedPart, start: int, fabric: FabricConstants) -> Words:
    rounds = counted(part.rounds, "{n} round", "{n} rounds")
    how = _how(part, fabric)
    said: Words = reason("{part}: {rounds}", part=part.part, rounds=rounds)
    if how is not None:
        said = reason("{part}: {rounds} {how}", part=part.part, rounds=rounds, how=how)
    if part.role is not None:
        said = reason("{said}, {role}", said=said, role=Term(part.role))
    if not part.decreases:
        return said
    return reason(
        "{said}; from round {start} on, from {first} to {last} stitches: {how}",
        said=said,
        start=start,
        first=part.first,
        last=part.last,
        how=decrease_words(part),
    )


def _colours(part: FittedPart, fabric: FabricConstants) -> Words:
    """What a part besides is knitted in: its role, or else what its rows show."""
    if part.role is not None:
        return Term(part.role)
    if part.shape == "triangle":
        # A gusset grows between rounds of the motif, too narrow to show it.
        return reason("in the colours of the rounds beside them")
    return _how(part, fabric) or reason("in the motif")


def _how(part: FittedPart, fabric: FabricConstants) -> Words | None:
    """How its rounds are knitted; nothing where its name says that they are plain."""
    structure = fabric.structure(part.structure)
    if structure.stranded:
        return reason("in the motif")
    if part.rows:
        return reason("in the stripes of the motif")
    if structure.name == PLAIN:
        return None if part.added else reason("plain")
    if fabric.ribbed(part.structure) and part.first % 4 == 0:
        return reason("in 2 x 2 {structure}", structure=Term(structure.words))
    return reason("in {structure}", structure=Term(structure.words))


def decrease_words(part: FittedPart) -> Words:
    """How many decreases in how many of its rounds: as many in each as stitches stay at last, where that will do."""
    gone = part.first - part.last
    each = part.last if part.last in range(4, 13) else 4
    while gone > each * part.rounds:
        each *= 2
    times, rest = divmod(gone, each)
    if not times:
        return counted(rest, "decrease {n} stitch in one of the rounds", "decrease {n} stitches in one of the rounds")
    evenly = "decrease {each} stitches evenly in {times} of the {rounds} rounds"
    said: Words = reason(evenly, each=each, times=times, rounds=part.rounds)
    return reason("{said} and {rest} in one other", said=said, rest=rest) if rest else said


def fit_words(fit: Fitted) -> tuple[Words, ...]:
    """How it sits: repeats, circumference, ease."""
    repeat = [counted(fit.repeat - fit.plain_columns, "{n} stitch", "{n} stitches")]
    if fit.plain_columns:
        repeat.append(counted(fit.plain_columns, "{n} plain stitch", "{n} plain stitches"))
    said: list[Words] = [
        reason(
            "{repeats} of {repeat}: {around} around, {ease}",
            repeats=counted(fit.repeats, "{n} repeat", "{n} repeats"),
            repeat=listed(repeat, "and"),
            around=Measure(fit.around_cm),
            ease=_ease(fit),
        )
    ]
    if fit.off_by_cm > 0:
        said.append(reason("that is {off} outside the ease it is meant to have", off=Measure(fit.off_by_cm)))
    return tuple(said)


def _ease(fit: Fitted) -> Words:
    around = reason("what it goes round")
    if fit.goes_round:
        around = reason("the {body}", body=Term(_BODIES.get(fit.goes_round, fit.goes_round)))
    if abs(fit.ease_cm) < 0.05:
        return reason("as large as {around}", around=around)
    if fit.ease_cm < 0:
        return reason("{ease} smaller than {around}", ease=Measure(-fit.ease_cm), around=around)
    return reason("{ease} larger than {around}", ease=Measure(fit.ease_cm), around=around)


def placed_words(fit: Fitted, motif: Motif) -> Words:
    """What of the motif is knitted."""
    if fit.placed == "whole":
        times = fit.motif_rows // motif.height
        return counted(times, "the motif fits whole", "the motif fits whole {n} times, one above the other")
    return reason(_PLACED[fit.placed], rows=fit.motif_rows, all=motif.height)


def way_words(way: Exchange) -> Words:
    """A way out, how sure it is, and how much of the contrast is left."""
    said: Words = reason(
        "{way}: chance {sure}, contrast {contrast}",
        way=way.words,
        sure=Chance(way.sure),
        contrast=Share(way.reading),
    )
    if not way.order_kept:
        said = reason("{said}, light and dark change places", said=said)
    return listed((said, *way.warnings), between="; ")


def contrast_words(contrasts: Sequence[tuple[Contrast, int]]) -> tuple[Words, ...]:
    """How each two roles that touch read, and how much of what touches they are."""
    whole = sum(sides for _, sides in contrasts)
    return tuple(
        reason(
            "{first} and {second}, {share} of what touches: {verdict} ({looks})",
            first=Term(one.roles[0]),
            second=Term(one.roles[1]),
            share=Share(sides / whole),
            verdict=Term(one.judged.verdict),
            looks=one.judged.plainly,
        )
        for one, sides in contrasts
    )


def shared_words(guessed: Sequence[str], pools: Mapping[str, Pool | None], owner: Garment) -> list[Words]:
    """What is said of how the leftovers were given to the roles, in whole sentences."""
    words: list[Words] = []
    given = [
        reason("{role} {lot}", role=Term(role), lot=pool.name)
        for role in guessed
        if (pool := pools.get(role)) is not None
    ]
    if given:
        words.append(
            reason(
                "The lots of {garment} don't say which role they had, so this is a guess by length and lightness: "
                "{given}. Fill in the lots' column {column} to settle it.",
                garment=owner.name,
                given=listed(given),
                column=Column("role"),
            )
        )
    missing = [Term(role) for role, pool in pools.items() if pool is None]
    if missing:
        words.append(
            reason("Nothing from {garment} is left for {roles}.", garment=owner.name, roles=listed(missing, "and"))
        )
    return words
