"""What is counted on a motif, in a knitter's words."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise

from matcher.actions.motifs.counting import CountedMotif, Meeting
from matcher.knitting.motifs.counts import SharedEdges
from matcher.knitting.motifs.motif import Motif
from matcher.reasons.quantities import Share
from matcher.reasons.reason import Term, Words, counted, listed, reason

# More pairs that never touch than this are not named one by one.
_MOST_APART = 3


def size_words(motif: Motif) -> Words:
    """How large a repeat is, and its licence."""
    stitches = counted(motif.width, "{n} stitch", "{n} stitches")
    size = reason("{stitches} by {rows}", stitches=stitches, rows=counted(motif.height, "{n} row", "{n} rows"))
    if motif.licence:
        return reason("{size}; licence {licence}.", size=size, licence=motif.licence)
    return reason("{size}.", size=size)


def row_words(found: CountedMotif) -> Words:
    """Rows of three colours or more."""
    many = found.many_coloured
    if not many:
        return reason("No row has more than two colours.")
    one, more = "Three colours or more in row {rows}.", "Three colours or more in rows {rows}."
    return counted(len(many), one, more, rows=_runs(many))


def light_words(found: CountedMotif) -> tuple[Words, ...]:
    """Light and dark; nothing where no colours are known."""
    light = found.balance
    if light is None:
        return ()
    if light.lighter_share == 0:
        return (reason("All stitches are equally light."),)
    said = "Light and dark: {lighter} of the stitches are lighter than average."
    return (reason(said, lighter=Share(light.lighter_share)),)


def pair_words(found: CountedMotif, one: Meeting) -> Words:
    """Two roles that touch, with their yarns, and the verdict."""
    a, b = one.shared.roles
    return reason(
        "{a} ({yarn_a}) and {b} ({yarn_b}): {verdict}",
        a=Term(a),
        yarn_a=found.colours[a].name,
        b=Term(b),
        yarn_b=found.colours[b].name,
        verdict=Term(one.judged.verdict),
    )


def look_words(one: Meeting) -> Words:
    """What the two look like, and how often they touch."""
    return reason("{looks}; they touch at {edges}.", looks=one.judged.plainly, edges=_edges(one.shared))


def touch_words(found: CountedMotif) -> tuple[Words, ...]:
    """Which roles touch, where no colours are known."""
    if found.meetings:
        return ()
    return tuple(
        reason("{a} and {b} touch at {edges}.", a=Term(one.roles[0]), b=Term(one.roles[1]), edges=_edges(one))
        for one in found.shared
    )


def apart_words(found: CountedMotif) -> tuple[Words, ...]:
    """Roles that never touch."""
    met = {frozenset(one.roles) for one in found.shared}
    apart = [
        reason("{a} and {b}", a=Term(a), b=Term(b))
        for a, b in combinations(found.motif.role_names, 2)
        if frozenset((a, b)) not in met
    ]
    if len(apart) > _MOST_APART:
        return (reason("No other two colours touch."),)
    pairs = listed(apart, between="; ")
    return (reason("Never touching, so their contrast doesn't matter: {pairs}.", pairs=pairs),) if apart else ()


def _edges(shared: SharedEdges) -> Words:
    one, many = (
        "{n} stitch edge ({beside} side by side, {above} one above the other)",
        "{n} stitch edges ({beside} side by side, {above} one above the other)",
    )
    return counted(shared.edges, one, many, beside=shared.beside, above=shared.above)


def _runs(numbers: Sequence[int]) -> Words:
    """[1, 4, 5, 6] as "1, 4 to 6"."""
    runs = [[numbers[0]]]
    for before, number in pairwise(numbers):
        if number == before + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said: list[Words] = []
    for run in runs:
        long = len(run) > 2
        said += [reason("{first} to {last}", first=run[0], last=run[-1])] if long else map(str, run)
    return listed(said)
