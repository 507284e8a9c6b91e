"""Fibres and blends: what a yarn is made of, and what follows for moisture, felting, stretch and halo."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from matcher.materials.estimate import Estimate
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.names import nearest, slip_of
from matcher.materials.reading.numerals import LONGEST_READ, Unclear
from matcher.reasons.quantities import Share
from matcher.reasons.reason import Term, Words, counted, listed, reason

# Labels round to whole per cents, so three thirds come to 99.
SUM_SLACK_PERCENT = 1.5


@dataclass(frozen=True)
class Fibre:
    """One fibre. regain_percent: agreed allowance for moisture [% of dry mass]; words: its spellings."""

    name: str
    words: tuple[str, ...]
    regain_percent: float
    felts: bool
    stretch: str  # "elastic" | "inelastic"
    halo: bool
    animal: bool
    glossy: bool
    source: str
    how_obtained: str

    @cached_property
    def spellings(self) -> frozenset[str]:
        """Its name and its other words, as a word is compared with them."""
        return frozenset(map(_fold, (self.name, *self.words)))


@dataclass(frozen=True)
class FibreToBuy:
    """A kind of yarn that could be bought: its fibre, and how its label lets it be washed ("hand" or "machine")."""

    fibre: Fibre
    wash: str


@dataclass(frozen=True)
class Blend:
    """Fibres with their shares, which sum to 1; what is lacking is of fibres that are not known. No parts: none is.

    told: whether the shares are. Where they are not, each fibre has the same, and any other division is as likely (the
    flat distribution of Dirichlet): so every share has its spread.
    """

    parts: tuple[tuple[Fibre, float], ...] = ()
    told: bool = True

    @property
    def known(self) -> bool:
        return bool(self.parts)

    @cached_property
    def unknown_share(self) -> float:
        """The share of fibres that are not known."""
        return max(0.0, 1.0 - sum(share for _, share in self.parts))

    @property
    def _number(self) -> int:
        """Of how many fibres it is, one that is not known counted in."""
        return len(self.parts) + (self.unknown_share > 1e-9)

    def regain(self, unknown_percent: float) -> Estimate:
        """Moisture the yarn takes up in standard air [% of dry mass], with the spread of shares that are not told.

        unknown_percent: what a fibre that is not known takes up.
        """
        mean, squares = self._known_regain
        unknown = self.unknown_share
        number = len(self.parts)
        if unknown > 1e-9:
            mean, squares, number = mean + unknown_percent * unknown, squares + unknown_percent**2 * unknown, number + 1
        if self.told or number < 2:
            return Estimate(mean, 0.0)
        return Estimate(mean, math.sqrt(max(0.0, squares - mean**2) / (number + 1)))

    @cached_property
    def _known_regain(self) -> tuple[float, float]:
        """What fibres that are known add to the mean, and to the mean square; lots of one blend are many."""
        regains = [(fibre.regain_percent, share) for fibre, share in self.parts]
        return sum(one * share for one, share in regains), sum(one**2 * share for one, share in regains)

    def share(self, has: Callable[[Fibre], bool]) -> Estimate:
        """The share of fibres that have something, with its spread where the shares are not told."""
        mean = sum(share for fibre, share in self.parts if has(fibre))
        sd = 0.0 if self.told else math.sqrt(mean * (1.0 - mean) / (self._number + 1))
        return Estimate(mean, sd)

    def chance(self, has: Callable[[Fibre], bool], least: float) -> float:
        """The chance that fibres which have something come to a share of at least so much: 0 or 1 where it is told."""
        if self.told:
            return float(self.share(has).mean >= least)
        number, having = self._number, sum(1 for fibre, _ in self.parts if has(fibre))
        if having in (0, number):
            return float(having > 0)
        # A sum of shares is Beta(having, number - having); with whole numbers that is a sum of binomial terms.
        draws = number - 1
        return sum(math.comb(draws, one) * least**one * (1.0 - least) ** (draws - one) for one in range(having))

    @property
    def felting_share(self) -> float:
        return self.share(felts).mean

    @property
    def inelastic_share(self) -> float:
        return self.share(inelastic).mean

    @property
    def halo_share(self) -> float:
        return self.share(hairy).mean

    @property
    def glossy_share(self) -> float:
        """Of fibres that mirror light: their highlights make a yarn look lighter than it is. Where shares are not told,
        the root mean square of what it may be, since errors grow with it."""
        share = self.share(lambda fibre: fibre.glossy)
        return math.hypot(share.mean, share.sd)

    @property
    def animal(self) -> bool:
        return any(fibre.animal for fibre, _ in self.parts)

    def words(self) -> Words:
        """Such as "80% wool, 20% nylon", the largest share first; "mohair and silk, shares not known"."""
        if not self.parts:
            return reason("fibre not known")
        if not self.told:
            names: list[Words] = [Term(fibre.name) for fibre, _ in self.parts]
            if self.unknown_share > 1e-9:
                names.append(reason("other fibres"))
            return reason("{fibres}, shares not known", fibres=listed(names, "and"))
        parts = sorted(self.parts, key=lambda part: -part[1])
        return listed(
            reason(
                "{share} {fibre}",
                share=Share(share, 1),
                fibre=Term(fibre.name),
            )
            for fibre, share in parts
        )


def felts(fibre: Fibre) -> bool:
    """Whether it felts when it is rubbed in warm water."""
    return fibre.felts


def inelastic(fibre: Fibre) -> bool:
    """Whether it has little give."""
    return fibre.stretch == "inelastic"


def hairy(fibre: Fibre) -> bool:
    """Whether it makes a halo."""
    return fibre.halo


UNKNOWN = ("", "unknown", "not known", "?", "-")

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_SEPARATOR = re.compile(r"[,;/+&|\n]|\b(?:and|et|und)\b")


_DOUBT = re.compile(r"\s*\?+|\b(?:maybe|probably|perhaps|possibly|i think|guess)\b:?|\(\s*\?\s*\)")
_MIXED = re.compile(
    r"\b(?:mix(?:ture|ed)?|blend(?:ed)?|rich|something|(?:the )?(?:rest|remainder)|other fib(?:re|er)s?|others?|etc"
    r"|mostly|mainly|with unknown)\b\.?"
)


def parse_blend(text: str, fibres: Sequence[Fibre]) -> Blend:
    """What `heard_blend` makes of a cell."""
    return heard_blend(text, fibres).value


def heard_blend(text: str, fibres: Sequence[Fibre]) -> Heard[Blend]:
    """Read "80% wool 20% nylon", "wool 80 / nylon 20", "75/25 merino/nylon", "mohair/silk", "wool mix", "wool?".

    Fibres with no shares have the same, with its spread. Raises Unclear for an unknown fibre that is not nearly a known
    one, for a fibre named twice, and for shares that do not come to 100 %.
    """
    if len(text) > LONGEST_READ:
        raise Unclear(reason("that is too long: write a blend such as 80% wool 20% nylon"))
    folded = " ".join(text.casefold().replace("%", " % ").split())
    if folded in UNKNOWN:
        return Heard(Blend())
    plain = " ".join(_DOUBT.sub(" ", folded).split())
    doubt = plain != folded
    if plain in UNKNOWN:
        return Heard(Blend())
    mixed = plain if _spelled(_fold(plain), fibres) else " ".join(_MIXED.sub(" ", plain).split())
    rest = mixed != plain
    if rest and mixed.strip(" -,/&+") in UNKNOWN:
        return Heard(Blend(), reason("fibre not known"))
    shares, names = _figures_and_names(mixed)
    if not names:
        raise Unclear(reason("a share without a fibre: write a blend such as 80% wool 20% nylon"))
    found, slips = _found(names, fibres, split=not shares)
    twice = sorted({fibre.name for fibre in found if found.count(fibre) > 1})
    if twice:
        said = "{fibre} stands twice: give each fibre once, such as 80% wool 20% nylon"
        raise Unclear(reason(said, fibre=Term(twice[0])))
    if doubt:  # wool is not superwash unless a label says so
        found = [_plain_wool(one, fibres) for one in found]
    if rest and len(shares) == len(found) + 1:  # "70% wool 30% other fibres"
        shares.pop()
    if shares and rest and len(shares) == len(found) and sum(shares) < 100:  # "70% wool, rest other fibres"
        blend = Blend(tuple((fibre, share / 100) for fibre, share in zip(found, shares, strict=True) if share > 0))
    elif shares:
        blend = _divided(found, shares)
    elif len(found) == 1 and not rest:
        blend = Blend(((found[0], 1.0),))
    else:
        number = len(found) + rest
        blend = Blend(tuple((fibre, 1.0 / number) for fibre in found), told=False)
    sure = not doubt and not slips and not (rest and not shares)
    return Heard(blend, blend.words() if not (sure and blend.told) or rest else "", sure)


def _figures_and_names(folded: str) -> tuple[list[float], list[str]]:
    """The shares of a blend and the names in it, each in their order."""
    if re.search(r"-\s*\d", folded):
        raise Unclear(reason("a share can't be negative: write a blend such as 80% wool 20% nylon"))
    # A comma between digits is a decimal comma; anything else that separates is only a space to us.
    spaced = re.sub(r"(?<=\d),(?=\d)", ".", folded)
    pieces = [piece for piece in re.split(r"(\d+(?:\.\d+)?)", _SEPARATOR.sub("\n", spaced)) if piece.strip(" %")]
    shares: list[float] = []
    names: list[str] = []
    for piece in pieces:
        if _NUMBER.fullmatch(piece.strip()):
            shares.append(float(piece))
        else:
            names.extend(name for name in (line.strip(" %.:-()") for line in piece.split("\n")) if name)
    return shares, names


def _found(names: Sequence[str], fibres: Sequence[Fibre], split: bool) -> tuple[list[Fibre], bool]:
    """The fibres of these names, and whether one was a slip of the pen. split: whether a name may be several."""
    found: list[Fibre] = []
    slips = False
    for name in names:
        try:
            found.append(find_fibre(name, fibres))
            continue
        except Unclear:
            several = _several(name, fibres) if split else []
            near = _spelled(slip_of(_fold(name), _spellings(tuple(fibres))), fibres)
            near = None if near and _named_in(name, fibres) - {near} else near
            if not several and near is None:
                raise
            found += several or ([near] if near else [])
            slips = slips or not several
    return found, slips


def _plain_wool(fibre: Fibre, fibres: Sequence[Fibre]) -> Fibre:
    """Wool that felts in place of wool that was treated so that it does not."""
    plain = re.sub(r"\bsuperwash\b", "", fibre.name).strip()
    return _spelled(plain, fibres) or fibre


@lru_cache(maxsize=4)
def _spellings(fibres: tuple[Fibre, ...]) -> tuple[str, ...]:
    return tuple(sorted(spelling for fibre in fibres for spelling in fibre.spellings))


def _several(text: str, fibres: Sequence[Fibre]) -> list[Fibre]:
    """The fibres of words that name one after the other: "merino silk cashmere"; none where a word is left over."""
    words, found = _fold(text).split(), []
    while words:
        longest = next((n for n in range(len(words), 0, -1) if _spelled(" ".join(words[:n]), fibres)), 0)
        fibre = _spelled(" ".join(words[:longest]), fibres)
        if fibre is None:
            return []
        found.append(fibre)
        words = words[longest:]
    return found


def _divided(found: Sequence[Fibre], shares: Sequence[float]) -> Blend:
    """The fibres with the shares that are given. Raises Unclear where they do not come to 100 %."""
    if len(shares) != len(found):
        fibres_named = counted(len(found), "{n} fibre", "{n} fibres")
        shares_named = counted(len(shares), "{n} share", "{n} shares")
        said = "{fibres} but {shares}: give each fibre its share, such as 80% wool 20% nylon"
        raise Unclear(reason(said, fibres=fibres_named, shares=shares_named))
    total = sum(shares)
    if total > 100 + SUM_SLACK_PERCENT:
        raise Unclear(reason("the shares come to {total}, over 100%: check the label", total=Share(total / 100, 1)))
    if total < 100 - SUM_SLACK_PERCENT:
        said = "the shares come to {total}: {missing} is missing; name that fibre too"
        raise Unclear(reason(said, total=Share(total / 100, 1), missing=Share(1 - total / 100, 1)))
    return Blend(tuple((fibre, share / total) for fibre, share in zip(found, shares, strict=True) if share > 0))


def find_fibre(word: str, fibres: Sequence[Fibre]) -> Fibre:
    """The fibre of that name or spelling; Unclear with the nearest one when there is none."""
    found = _spelled(_fold(word), fibres)
    if found is None:
        raise Unclear(lambda: _unknown(word, fibres))
    return found


def _spelled(folded: str, fibres: Sequence[Fibre]) -> Fibre | None:
    return next((fibre for fibre in fibres if folded in fibre.spellings), None)


def _named_in(text: str, fibres: Sequence[Fibre]) -> set[Fibre]:
    """The fibres that words of a text are names of: where there is one, it is no slip of another."""
    return {fibre for word in _fold(text).split() if (fibre := _spelled(word, fibres)) is not None}


def _unknown(word: str, fibres: Sequence[Fibre]) -> Words:
    spelled = {spelling: fibre for fibre in fibres for spelling in fibre.spellings}
    hint = reason("write unknown if the label is lost")
    named = sorted(fibre.name for fibre in _named_in(word, fibres))
    near = nearest(_fold(word), sorted(spelled)) if not named else ""
    if named or near:
        hint = reason("did you mean {fibre}?", fibre=Term(named[0] if named else spelled[near].name))
    return reason('no fibre called "{word}" is known: {hint}', word=word.strip(), hint=hint)


def _fold(word: str) -> str:
    return " ".join(re.sub(r"[-_()]", " ", word.casefold()).split())
