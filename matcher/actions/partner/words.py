"""A fit in a knitter's words: the cast-on, each part from the bottom up, what became of the motif."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from matcher.knitting.fit.cast_ons import Remedy
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.motifs.motif import Motif
from matcher.matching.pools import Pool
from matcher.matching.recolour.exchanges import Exchange
from matcher.materials.lots import Garment
from matcher.materials.reading.units import IN_CM, show_cm

# So many stitches are drawn together at a crown or a tip; more are grafted or bound off.
_FEW = 16


def part_words(fit: Fitted) -> tuple[str, ...]:
    """What to knit, part by part, a sentence each."""
    found = [f"Cast on {fit.cast_on} stitches in {fit.parts[0].role or 'the colours of the motif'}."]
    at, before = fit.cast_on, 0
    for part in fit.parts:
        if part.first != at:
            change = "increase" if part.first > at else "decrease"
            found.append(f"In the next round {change} evenly to {part.first} stitches.")
        at = part.last
        found.append(_one(part, before + 1))
        before += part.rounds
    last = fit.parts[-1]
    if last.decreases and last.last <= _FEW:
        found.append(f"Draw the yarn through the last {last.last} stitches and pull it tight.")
    for part, pieces in fit.extra:
        across = f"{part.first}" if part.first == part.last else f"from {part.first} to {part.last}"
        rows = _rounds(part.rounds, "row")
        found.append(f"Besides: {part.part}, {pieces} in all, {across} stitches in {rows}, {part.role}.")
    if fit.pieces > 1:
        found.append(f"Knit {'two' if fit.pieces == 2 else fit.pieces} alike.")
    return tuple(found)


def _one(part: FittedPart, start: int) -> str:
    rounds = _rounds(part.rounds)
    if part.structure == "rib":
        kind = "in rib" if part.first % 4 else "in 2 x 2 rib"
    else:
        kind = {"garter": "in garter", "stranded": "in the motif"}.get(part.structure, "plain")
    if part.rows and part.structure != "stranded":
        kind = "in the stripes of the motif"
    if part.part.startswith("plain ") and kind == "plain":
        kind = ""
    said = f"{part.part[:1].upper()}{part.part[1:]}: {rounds} {kind}".rstrip()
    if part.role is not None:
        said += f", {part.role}"
    if not part.decreases:
        return f"{said}."
    return f"{said}; from round {start} on decrease from {part.first} to {part.last} stitches: {decrease_words(part)}."


def decrease_words(part: FittedPart) -> str:
    """How many decreases in how many of its rounds: as many in each as stitches stay at last, where that will do."""
    gone = part.first - part.last
    each = part.last if part.last in range(4, 13) else 4
    while gone > each * part.rounds:
        each *= 2
    times, rest = divmod(gone, each)
    said = []
    if times:
        said.append(f"{each} evenly in {times} of the {part.rounds} rounds")
    if rest:
        said.append(f"{rest} in {'one more' if times else 'one of them'}")
    return ", ".join(said)


def _rounds(number: int, word: str = "round") -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def fit_words(fit: Fitted, units: str) -> tuple[str, ...]:
    """How it sits: repeats, circumference, ease."""
    plain = ""
    if fit.plain_columns:
        plain = f" and {fit.plain_columns} plain {'stitch' if fit.plain_columns == 1 else 'stitches'}"
    repeat = f"{fit.repeat - fit.plain_columns} stitches{plain}"
    ease = fit.ease_cm
    what = f"{show_cm(abs(ease), units)} {'less' if ease < 0 else 'more'} than what it goes round"
    if abs(ease) < 0.05:
        what = "as much as what it goes round"
    said = [
        f"{fit.repeats} {'repeat' if fit.repeats == 1 else 'repeats'} of {repeat}: {show_cm(fit.around_cm, units)} "
        f"around, {what}."
    ]
    if fit.off_by_cm > 0:
        said.append(f"That is {show_cm(fit.off_by_cm, units)} outside the ease.")
    return tuple(said)


def placed_words(fit: Fitted, motif: Motif) -> str:
    """What of the motif is knitted."""
    rows = f"{fit.motif_rows} of its {motif.height} rows"
    if fit.placed == "whole":
        times = fit.motif_rows // motif.height
        often = "twice" if times == 2 else f"{times} times"
        return "The motif stands whole." if times == 1 else f"The motif stands whole {often}, one above the other."
    return {
        "trimmed": f"The motif stands whole but for plain rows at its edges ({rows}).",
        "part": f"The motif is taller than the room for it: {rows}, alike from below and from above.",
        "bands": f"The motif is taller than the room for it: {rows}, cut between two plain rows.",
        "middle": f"The motif is taller than the room for it: {rows}, from its middle.",
    }[fit.placed]


def way_words(way: Exchange) -> str:
    """A way out, how sure it is, and how much of the reading is left."""
    order = "" if way.order_kept else ", light and dark change places"
    mind = f"; {'; '.join(way.warnings)}" if way.warnings else ""
    return f"{way.words}: {_percent(way.sure)} in 100 sure, reads {way.reading:.2f} of 1{order}{mind}"


def _percent(chance: float) -> int:
    """Never more sure than it is."""
    return min(99, int(chance * 100 + 1e-9))


def remedy_words(remedy: Remedy, units: str) -> str:
    """What would make a motif fit; a gauge in her units."""
    if remedy.kind != "gauge" or units == "metric":
        return remedy.words
    return f"a gauge of {remedy.value * 4 * IN_CM / 10:.1f} stitches in 4 in: then {remedy.stitches} stitches fit"


def shared_words(guessed: Sequence[str], pools: Mapping[str, Pool | None], owner: Garment) -> list[str]:
    """What is said of how the leftovers were given to the roles."""
    words = []
    if guessed:
        told = ", ".join(f"{role} {pool.name}" for role in guessed if (pool := pools.get(role)) is not None)
        if told:
            words.append(
                f"The lots of {owner.name} do not say which role they had, so they are given by metres and lightness: "
                f"{told}. The column role of the lots says it for good."
            )
    missing = [role for role, pool in pools.items() if pool is None]
    if missing:
        words.append(f"Nothing is left of {owner.name} for {_and(missing)}.")
    return words


def chart_words(fit: Fitted) -> str:
    """How the chart is read."""
    plain = {0: "", 1: ", with the plain stitch between repeats"}.get(
        fit.plain_columns, f", with the {fit.plain_columns} plain stitches between repeats"
    )
    return f"The chart shows one repeat{plain}. Read it from the bottom row up, each row from right to left."


def _and(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
