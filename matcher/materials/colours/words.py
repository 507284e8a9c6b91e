"""Colours by word: what "plum", "pale moss" or "grey marl" is most likely to look like, and how far off that may be.

A word is no measurement. It stands for a mean and a spread in CIELAB: where the published dictionaries, and people
asked since, see the word, and how far they differ. Words that are put together (a shade of a colour, one colour in
another, a way of spinning) are read from their parts, and are less sure than these.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from difflib import SequenceMatcher
from functools import cached_property
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from matcher.materials.colours.cielab import Lab, lab_from_code

Floats = npt.NDArray[np.float64]


class Meant(NamedTuple):
    """What a word stands for: the mean in CIELAB (D65), and the standard deviation along each axis."""

    lab: Lab
    sd: Lab


class Modifier(NamedTuple):
    """What "dark" or "marl" does to a colour.

    to_black, to_white: the part of the way that L* goes there; chroma: factor of C*; sd_l, sd_ab: what it adds to the
    doubt of L*, and of a* and b* each.
    """

    to_black: float
    to_white: float
    chroma: float
    sd_l: float
    sd_ab: float

    def of(self, meant: Meant) -> Meant:
        """The colour so changed."""
        (light, a, b), (sd_l, sd_a, sd_b) = meant
        kept = (1.0 - self.to_black) * (1.0 - self.to_white)
        moved = light * (1.0 - self.to_black)
        moved += self.to_white * (100.0 - moved)
        sds = np.hypot(
            [kept * sd_l, self.chroma * sd_a, self.chroma * sd_b], [self.sd_l, self.sd_ab, self.sd_ab]
        ).tolist()
        return Meant((moved, self.chroma * a, self.chroma * b), (sds[0], sds[1], sds[2]))


# Of "greenish blue" a third is green. Of "blue green" either is a half. What is left of "fjord blue", whose first word
# is a name, is unsure by so much more, as is "blue-ish" (L*, a* and b*). Choices.
_TINT, _HALF = 1.0 / 3.0, 0.5
_UNCLEAR = Modifier(0.0, 0.0, 1.0, 5.0, 5.0)
# A word spelt as nearly as this like one that is known is a slip, and no name of its own.
_SLIP = 0.75
_MOST_WORDS = 12  # a choice; nobody says one colour in more
# What is written short before a colour; behind one, "DK" is how thick its yarn is.
_SHORT = {"dk": "dark", "drk": "dark", "lt": "light", "lgt": "light", "med": "medium", "brt": "bright"}
_NOTHING_SAID = frozenset({"shade", "colour", "col", "no", "nr", "the", "a", "of", "in", "yarn", "wool"})


class ColourWords(Mapping[str, Meant]):
    """Every colour word of the catalogue; `[...]` reads whatever can be made of them, and raises KeyError else.

    Iterating gives the words that stand in the catalogue, in its order.
    """

    def __init__(
        self,
        known: Mapping[str, tuple[str, Lab]],
        modifiers: Mapping[str, Modifier],
        abroad: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        self._known, self._modifiers, self._abroad = known, modifiers, abroad
        self._read: dict[str, Meant | None] = {}
        self._words = frozenset(one for name in (*known, *modifiers) for one in name.split())
        self._made: dict[tuple[str, ...], Meant | None] = {}  # else words within words are read over and over

    def __iter__(self) -> Iterator[str]:
        return iter(self._known)

    def __len__(self) -> int:
        return len(self._known)

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The words that stand in the catalogue."""
        return tuple(self)

    @cached_property
    def means(self) -> Floats:
        """The mean of each (n, 3)."""
        return np.array([self[name].lab for name in self.names])

    def __getitem__(self, text: str) -> Meant:
        folded = folded_colour(text)
        if folded not in self._read:
            self._read[folded] = (self._phrase(folded.split()) or self._from_abroad(folded)) if folded else None
        meant = self._read[folded]
        if meant is None:
            raise KeyError(text)
        return meant

    def _phrase(self, said: list[str]) -> Meant | None:
        said = [*(_SHORT.get(one, one) for one in said[:-1]), *said[-1:]]
        words = [one for one in said if one not in _NOTHING_SAID and not re.search(r"\d", one)]
        if not 0 < len(words) <= _MOST_WORDS:
            return None
        self._made.clear()
        return self._plain(words) or self._last_words(words)

    def _from_abroad(self, folded: str) -> Meant | None:
        """What words of other languages say, where they say nothing in English: "bleu marine", "dunkelgrau"."""
        words = folded.split()
        if not 0 < len(words) <= _MOST_WORDS:
            return None
        english: list[str] = []
        while words:
            size = 2 if " ".join(words[:2]) in self._abroad else 1
            english += (self._abroad.get(" ".join(words[:size])) or self._compound(words[0])).split()
            words = words[size:]
        if len(english) > 1 and english[-1] in self._modifiers:  # "gris clair"
            english = [english[-1], *english[:-1]]
        return self._phrase(english) if sorted(english) != sorted(folded.split()) else None

    def _compound(self, word: str) -> str:
        """ "mørkeblå" as "dark blue"; any other word as it is."""
        for place in range(len(word) - 2, 2, -1):
            shade, colour = self._abroad.get(word[:place], ""), self._abroad.get(word[place:], "")
            if shade in self._modifiers and colour in self._known:
                return f"{shade} {colour}"
        return word

    def _plain(self, words: list[str]) -> Meant | None:
        """All of these words; None where one of them is not understood."""
        key = tuple(words)
        if key not in self._made:
            self._made[key] = self._sought(words)
        return self._made[key]

    def _sought(self, words: list[str]) -> Meant | None:
        said = " ".join(words)
        if (known := self._known.get(said) or self._known.get(said.removesuffix("s"))) is not None:
            return Meant(lab_from_code(known[0][1:]), known[1])
        return self._modified(words) or self._tinted(words) or self._both(words)

    def _modified(self, words: list[str]) -> Meant | None:
        for size in (2, 1):
            if len(words) <= size:
                continue
            for said, rest in ((words[:size], words[size:]), (words[-size:], words[:-size])):
                name = " ".join(said)
                modifier = self._modifiers.get(name) or self._modifiers.get(name.removesuffix("ish"))
                if modifier is not None and (meant := self._plain(rest)) is not None:
                    return modifier.of(meant)
        return None

    def _tinted(self, words: list[str]) -> Meant | None:
        """ "greenish blue" and "greenish"."""
        tint = next((known for stem in _stems(words[0]) if (known := self._known.get(stem))), None)
        if tint is None:
            return None
        meant = Meant(lab_from_code(tint[0][1:]), tint[1])
        if len(words) == 1:
            return _UNCLEAR.of(meant)
        rest = self._plain(words[1:])
        return _mixed(meant, rest, _TINT) if rest is not None else None

    def _both(self, words: list[str]) -> Meant | None:
        """Two colours that are one: "blue green", "rust brown"."""
        for place in range(1, len(words)):
            one, other = self._plain(words[:place]), self._plain(words[place:])
            if one is not None and other is not None:
                return _mixed(one, other, _HALF)
        return None

    def _last_words(self, words: list[str]) -> Meant | None:
        """The colour at the end of a name of its own: "fjord blue" is some blue. None where a word may be a slip."""
        for place in range(1, len(words)):
            meant = self._plain(words[place:])
            if meant is not None:
                strange = [one for one in words[:place] if self._slip(one)]
                return None if strange else _UNCLEAR.of(meant)
        return None

    def _slip(self, word: str) -> bool:
        if word in self._words:
            return False
        rated = SequenceMatcher(None, "", word)  # which is quick with one word against many
        for one in self._words:
            # One letter for another in a short word makes another word: "barn" is no "bark".
            another = len(one) == len(word) <= 4 and sorted(one) != sorted(word)
            if another or abs(len(one) - len(word)) > 2:
                continue
            rated.set_seq1(one)
            if rated.real_quick_ratio() >= _SLIP and rated.quick_ratio() >= _SLIP and rated.ratio() >= _SLIP:
                return True
        return False


def folded_colour(text: str) -> str:
    """How colour words are compared: small letters, British spelling, no hyphens, brackets or question marks."""
    folded = re.sub(r"[\s_\-()\[\]?!.\"]+", " ", text.casefold().replace("’", "'")).strip()
    folded = re.sub(r" ish\b", "ish", folded)  # "purple-ish"
    return re.sub(r"\bgray", "grey", folded).replace("color", "colour")


def nearest_word(lab: Floats, words: ColourWords) -> str:
    """The word of the catalogue whose mean is nearest to a colour [CIEDE2000]; of equals the first."""
    from matcher.materials.colours.difference import ciede2000

    return words.names[int(ciede2000(lab, words.means).argmin())]


def _stems(word: str) -> tuple[str, ...]:
    """What "-ish" or "-y" may have been put to: "reddish", "bluish", "rosy"."""
    for ending in ("ish", "y"):
        if word.endswith(ending) and len(word) > len(ending) + 2:
            stem = word.removesuffix(ending)
            return (stem, f"{stem}e", stem[:-1]) if stem[-1] == stem[-2] else (stem, f"{stem}e")
    return ()


def _mixed(one: Meant, other: Meant, part: float) -> Meant:
    """A colour between two: `part` of the way from the other to the one, unsure by both and by how far they differ."""
    first, second = np.array(one), np.array(other)
    lab = part * first[0] + (1.0 - part) * second[0]
    between = part * (1.0 - part) * (first[0] - second[0]) ** 2
    sds = np.sqrt(part * first[1] ** 2 + (1.0 - part) * second[1] ** 2 + between).tolist()
    return Meant((float(lab[0]), float(lab[1]), float(lab[2])), (sds[0], sds[1], sds[2]))
