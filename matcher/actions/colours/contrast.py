"""Are these colours distinct enough to knit side by side?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.asked import check_contrast
from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.motifs.motif import gauge_or_usual, motif_asked
from matcher.actions.names import find
from matcher.actions.place import own_bin
from matcher.errors import BadInput
from matcher.knitting.motifs.motif import Motif
from matcher.matching.afar import Afar, FromAfar
from matcher.matching.contrast import LEVELS, Judgement, judge
from matcher.matching.guessed import tell_for_sure
from matcher.matching.kept import hue_kept
from matcher.materials.colours.colour import Colour, parse_colour
from matcher.materials.colours.vision import DEFICIENCIES
from matcher.materials.colours.words import ColourWords
from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.reason import Field, Words, reason
from matcher.store.catalogue.catalogue import Catalogue

if TYPE_CHECKING:
    import pandas as pd

# What is looked at from afar where no motif is named: nothing smaller is knitted.
_SINGLE_STITCHES = "seeds"


@dataclass(frozen=True)
class NamedColour:
    """A colour as it was asked for."""

    name: str
    colour: Colour


@dataclass(frozen=True)
class Pair:
    """Two of the colours, judged; `passes` when the pair reaches the least contrast asked; `afar` what stays."""

    a: NamedColour
    b: NamedColour
    judged: Judgement
    passes: bool
    afar: tuple[Afar, ...]  # of the motif, in the hand, across a table, across a room

    @property
    def delta_e(self) -> float:
        return self.judged.delta_e

    @property
    def delta_l(self) -> float:
        return self.judged.delta_l

    @property
    def verdict(self) -> str:
        return self.judged.verdict

    @property
    def reason(self) -> Words:
        return self.judged.reason

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        judged = self.judged
        sights = {
            name: {"delta_e": round(judged.sights[name][0], 2), "delta_l": round(judged.sights[name][1], 2)}
            for name in DEFICIENCIES
        }
        return {
            "a": self.a.name,
            "b": self.b.name,
            "delta_e": round(judged.delta_e, 2),
            "delta_l": round(judged.delta_l, 2),
            **sights,
            "least_seen": judged.least_seen,
            "verdict": judged.verdict,
            "verdicts": dict(judged.verdicts),
            "vanishing": round(judged.vanishing, 3),
            "passes": self.passes,
            "chances": judged.rounded_chances,
            "reason": judged.reason,
            "distances": [one.as_dict() for one in self.afar],
        }


@dataclass(frozen=True)
class Contrasts:
    """Every pair of the colours asked for."""

    colours: tuple[NamedColour, ...]
    pairs: tuple[Pair, ...]
    least_contrast: str
    eyes: str

    @property
    def notes(self) -> tuple[Words, ...]:
        """What to do about colours that are guessed."""
        said = tell_for_sure(one.name for one in self.colours if one.colour.guessed)
        return (said,) if said else ()

    @property
    def passes(self) -> bool:
        """Whether every pair reaches the least contrast asked."""
        return all(pair.passes for pair in self.pairs)

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "least_contrast": self.least_contrast,
            "eyes": self.eyes,
            "pairs": [pair.as_dict() for pair in self.pairs],
            "notes": list(self.notes),
        }

    def frame(self) -> pd.DataFrame:
        """One row a pair, as a pandas frame."""
        import pandas as pd

        rows = []
        for pair in self.pairs:
            row = pair.as_dict()
            for name in DEFICIENCIES:
                seen = row.pop(name)
                row |= {f"{name}_{figure}": value for figure, value in seen.items()}
            del row["distances"]
            row |= {f"{name}_verdict": verdict for name, verdict in row.pop("verdicts").items()}
            likely = row.pop("chances") or {}
            row |= {f"{level}_chance": likely.get(level) for level in ("quiet", "readable", "clear")}
            rows.append(row)
        return pd.DataFrame(rows)


def contrast(
    *colours: str | NamedColour,
    bin: DeskLike = None,
    least_contrast: str | None = None,
    eyes: str | None = None,
    motif: str | Path | None = None,
    swatch: str | None = None,
    catalog: Path | str | None = None,
) -> Contrasts:
    """Judge every pair of colours for ordinary eyes, and say what the three deficiencies of colour vision would lose.

    Parameters
    ----------
    colours : codes, CIELAB or plain words; names of lots where `bin` is given; or colours with names. Two or more.
        Without `bin`, names of lots in her store are understood too.
    least_contrast : the verdict that every pair should reach: "clear", "readable" or "quiet"; left out, what she
        wishes, else "readable".
    eyes : whose decide besides ordinary ones: "ordinary" (none), "red", "green", "blue" (blind) or "any" of these.

    motif : a file, or a motif of the catalogue, in which they are looked at from three distances; single stitches if
        left out. Of its roles the two that touch most, the colours the worse way round.
    swatch : "22 st x 30 rows" in 10 cm, the gauge of that; a usual one if left out.

    Raises
    ------
    BadInput, NotFound, BadSheets
    """
    desk = desk_of(bin, catalog)
    catalogue = desk.seen_by(eyes)
    check_contrast(least_contrast)
    least_contrast = least_contrast or desk.wishes.least_contrast or "readable"
    if bin is not None:
        named = [one if isinstance(one, NamedColour) else lot_colour(one, desk) for one in colours]
    else:
        # Names in her store go before colour words: what lies there is what she means.
        kept = {fold(lot.name): lot for lot in desk.bin.lots} if own_bin() is not None else {}
        named = [
            one
            if isinstance(one, NamedColour)
            else NamedColour(kept[fold(one)].name, kept[fold(one)].colour)
            if fold(one) in kept
            else typed_colour(one, catalogue.colour_words)
            for one in colours
        ]
    if len(named) < 2:
        raise BadInput(
            reason("one colour alone has nothing to be compared with"), todo=reason("give two colours or more")
        )
    shown = looked_at_in(motif, catalogue)
    if not shown.edges:
        raise BadInput(reason("in {motif} no two colours touch", motif=shown.name), Field("motif"))
    gauge = gauge_or_usual(swatch, catalogue)
    looked_at = FromAfar(shown, gauge, catalogue.spatial, catalogue.contrast, catalogue.colour_words)
    hues = hue_kept(shown, gauge, catalogue.spatial)
    rules = catalogue.contrast.in_motif(hues[frozenset(_touching_most(shown))])
    pairs = []
    for a, b in combinations(named, 2):
        judged = judge(a.colour, b.colour, catalogue.vision, rules, least_contrast)
        pairs.append(Pair(a, b, judged, judged.reading >= LEVELS[least_contrast], _afar(looked_at, a.colour, b.colour)))
    return Contrasts(tuple(named), tuple(pairs), least_contrast, eyes or desk.wishes.eyes or "ordinary")


def looked_at_in(motif: str | Path | None, catalogue: Catalogue) -> Motif:
    """The motif that is asked for, else one of single stitches. Raises BadInput, NotFound."""
    return motif_asked(str(motif), catalogue) if motif is not None else catalogue.motifs[_SINGLE_STITCHES]


def _afar(looked_at: FromAfar, a: Colour, b: Colour) -> tuple[Afar, ...]:
    """What stays of the two colours, the way round in which less does."""
    first, second = _touching_most(looked_at.motif)
    ways = [looked_at.of(first, second, {first: one, second: other}) for one, other in ((a, b), (b, a))]
    return min(ways, key=lambda way: (sum(len(one.stays) for one in way), sum(one.delta_e for one in way)))


def _touching_most(motif: Motif) -> tuple[str, str]:
    """The two roles of a motif that share most sides; of equals the first by name."""
    most = max(motif.edges.values())
    first, second = min(tuple(sorted(edge)) for edge, sides in motif.edges.items() if sides == most)
    return first, second


def lot_colour(name: str, desk: Desk) -> NamedColour:
    """The colour of a lot. Raises NotFound."""
    lots = {lot.name: lot for lot in desk.bin.lots}
    found = find(name, lots, "lot")
    return NamedColour(found, lots[found].colour)


def typed_colour(text: str, words: ColourWords) -> NamedColour:
    """A colour by its code, in CIELAB or by a word. Raises BadInput."""
    try:
        return NamedColour(text, parse_colour(text, words))
    except Unreadable as fault:
        raise BadInput(fault.said) from None


def in_sight(colours: Sequence[NamedColour], sight: str, catalog: Path | str | None = None) -> list[tuple[str, ...]]:
    """The codes of each colour's stitches as seen in one sight ("protan", "deutan", "tritan", "grey")."""
    from matcher.drawing.sights import colours_as_seen

    seen = colours_as_seen(
        {str(place): one.colour for place, one in enumerate(colours)}, desk_of(None, catalog).catalogue.vision
    )
    return [one.codes() for one in seen[sight].values()]
