"""A motif counted and, where its colours are known, judged in them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.motifs.colours import RoleColour
from matcher.knitting.motifs.counts import (
    Balance,
    RowCount,
    SharedEdges,
    balance,
    count_rows,
    shared_edges,
    smallest_repeat,
)
from matcher.knitting.motifs.motif import Motif
from matcher.materials.colours.colour import Colour
from matcher.reasons.reason import Term, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.motifs.files import ReadMotif

if TYPE_CHECKING:
    import pandas as pd

    from matcher.matching.afar import Afar
    from matcher.matching.contrast import Judgement


@dataclass(frozen=True)
class Meeting:
    """Two roles that touch, judged in their colours."""

    shared: SharedEdges
    judged: Judgement
    afar: tuple[Afar, ...]  # in the hand, across a table, across a room


@dataclass(frozen=True)
class CountedMotif:
    """A motif and all that is counted on it. `colours` is empty, and `balance` None, where no colours are known."""

    motif: Motif
    how: Words
    rows: tuple[RowCount, ...]
    shared: tuple[SharedEdges, ...]
    repeat: tuple[int, int]
    many_coloured: tuple[int, ...]  # rows with three colours or more, counted from 1 at the bottom
    colours: Mapping[str, RoleColour]
    balance: Balance | None
    meetings: tuple[Meeting, ...]
    warnings: tuple[Words, ...]
    cautions: tuple[Words, ...]
    files: tuple[Path, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON. The keys inside `roles` and `longest_floats` are names of roles."""
        motif, light = self.motif, self.balance
        return {
            "name": motif.name,
            "width": motif.width,
            "height": motif.height,
            "roles": dict(motif.stitches),
            "rows": [
                {
                    "row": row.row,
                    "colours": row.colours,
                    "roles": dict(row.stitches),
                    "longest_floats": dict(row.longest_floats),
                }
                for row in self.rows
            ],
            "longest_floats": dict(motif.longest_float),
            "shared_edges": [
                {"roles": list(one.roles), "edges": one.edges, "beside": one.beside, "above": one.above}
                for one in self.shared
            ],
            "many_coloured_rows": list(self.many_coloured),
            "repeat": {"width": self.repeat[0], "height": self.repeat[1]},
            "balance": light
            and {
                "mean_l": round(light.mean_l, 2),
                "lighter_share": round(light.lighter_share, 4),
                "apart_l": round(light.apart_l, 2),
            },
            "colours": [
                {
                    "role": role,
                    "name": one.name,
                    "colour": one.colour.words(),
                    "colour_guessed": one.colour.guessed,
                    "lot": one.lot,
                }
                for role, one in self.colours.items()
            ],
            "contrasts": [
                {
                    "roles": list(one.shared.roles),
                    "edges": one.shared.edges,
                    "delta_e": round(one.judged.delta_e, 2),
                    "delta_l": round(one.judged.delta_l, 2),
                    "least_seen": one.judged.least_seen,
                    "verdict": one.judged.verdict,
                    "verdicts": dict(one.judged.verdicts),
                    "chances": one.judged.rounded_chances,
                    "reason": one.judged.reason,
                    "distances": [afar.as_dict() for afar in one.afar],
                }
                for one in self.meetings
            ],
            "warnings": [*self.warnings, *self.cautions],
            "files": [str(path) for path in self.files],
        }

    def frame(self) -> pd.DataFrame:
        """One row for each row of the grid and role in it, as a pandas frame."""
        import pandas as pd

        return pd.DataFrame(
            [
                {"row": row.row, "role": role, "stitches": count, "longest_float": row.longest_floats[role]}
                for row in self.rows
                for role, count in row.stitches.items()
            ]
        )


def counted_motif(
    read: ReadMotif, colours: Mapping[str, RoleColour], gauge: tuple[float, float], catalogue: Catalogue
) -> CountedMotif:
    """Count it; judge the roles that touch where colours are known.

    colours: one for each role, or none at all. gauge: stitches and rows in 10 cm that it is looked at in.
    """
    drawn, long_float = read.motif, catalogue.fabric.long_float
    rows, shared, repeat = count_rows(drawn), shared_edges(drawn), smallest_repeat(drawn)
    plain = {role: one.colour for role, one in colours.items()}
    long = max(drawn.longest_float.values()) > long_float
    return CountedMotif(
        motif=drawn,
        how=read.how,
        rows=rows,
        shared=shared,
        repeat=repeat,
        many_coloured=tuple(row.row for row in rows if row.colours >= catalogue.fabric.many_colours),
        colours=colours,
        balance=balance(drawn, plain) if plain else None,
        meetings=_meetings(drawn, shared, plain, gauge, catalogue) if plain else (),
        warnings=(*_long_floats(drawn, rows, long_float), *_smaller(drawn, repeat), *_guesses(colours)),
        cautions=(catalogue.cautions["floats"],) if long else (),
    )


def _meetings(
    motif: Motif,
    shared: Sequence[SharedEdges],
    colours: Mapping[str, Colour],
    gauge: tuple[float, float],
    catalogue: Catalogue,
) -> tuple[Meeting, ...]:
    from matcher.matching.afar import FromAfar
    from matcher.matching.contrast import judge
    from matcher.matching.kept import hue_kept

    kept = hue_kept(motif, gauge, catalogue.spatial)
    looked_at = FromAfar(motif, gauge, catalogue.spatial, catalogue.contrast, catalogue.colour_words)
    return tuple(
        Meeting(
            one,
            judge(
                colours[one.roles[0]],
                colours[one.roles[1]],
                catalogue.vision,
                catalogue.contrast.in_motif(kept[frozenset(one.roles)]),
                "readable",
            ),
            looked_at.of(*one.roles, colours),
        )
        for one in shared
    )


def _long_floats(motif: Motif, rows: Sequence[RowCount], long: float) -> list[Words]:
    found: list[Words] = []
    said = "the longest float of {role} passes {stitches} stitches (row {row}): catch it on the way"
    for role, passed in motif.longest_float.items():
        if passed > long:
            first = next(row.row for row in rows if row.longest_floats.get(role) == passed)
            found.append(reason(said, role=Term(role), stitches=passed, row=first))
    return found


def _guesses(colours: Mapping[str, RoleColour]) -> list[Words]:
    from matcher.matching.guessed import tell_for_sure

    told = tell_for_sure(one.name for one in colours.values() if one.colour.guessed)
    return [told] if told else []


def _smaller(motif: Motif, repeat: tuple[int, int]) -> list[Words]:
    across, up = motif.width // repeat[0], motif.height // repeat[1]
    times = [reason("{n} times across", n=across)] if across > 1 else []
    times += [reason("{n} times up", n=up)] if up > 1 else []
    if not times:
        return []
    said = "the grid shows the same repeat {times}: {stitches} stitches by {rows} rows are enough"
    return [reason(said, times=listed(times, "and"), stitches=repeat[0], rows=repeat[1])]
