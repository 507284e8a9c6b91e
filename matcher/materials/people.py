"""The people she knits for: their sizes and measures, what does not suit their skin, how they see, what they like."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from matcher.materials.colours.vision import WHOSE
from matcher.materials.fibre import Blend
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.names import did_you_mean, fold
from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.reason import Term, listed, reason

ORDINARY = "ordinary"


@dataclass(frozen=True)
class Person:
    """Somebody she knits for.

    size: of the catalogue, "" where it is not known. measures: head, hand, foot and chest [cm], as far as they were
    taken. unsuited: names of the fibres that must not lie on the skin. eyes: one of `WHOSE`. likes, dislikes: kinds of
    accessory, accessories and colours, in her own words.
    """

    name: str
    size: str = ""
    measures: Mapping[str, float] = field(default_factory=dict)
    unsuited: tuple[str, ...] = ()
    eyes: str = ORDINARY
    likes: tuple[str, ...] = ()
    dislikes: tuple[str, ...] = ()
    note: str = ""

    def bears(self, blend: Blend) -> bool:
        """Whether a yarn may lie on this skin, as far as its label tells: however little of a fibre counts."""
        return not any(fibre.name in self.unsuited for fibre, share in blend.parts if share > 0)


@dataclass(frozen=True)
class FibreGroup:
    """Several fibres that a word stands for when somebody does not bear them, such as every animal's."""

    name: str
    words: tuple[str, ...]
    fibres: tuple[str, ...]


# What people call these eyes -> one of `WHOSE`.
_EYES = {
    **dict.fromkeys(("ordinary", "normal", "none", "no", "nothing", "full colour", "full color"), "ordinary"),
    **dict.fromkeys(("fine", "good", "ok", "perfect", "glasses", "wears glasses"), "ordinary"),
    **dict.fromkeys(("?", "-", "unknown", "not known", "don't know"), "ordinary"),
    **dict.fromkeys(("red", "protan", "protanopia", "protanopic", "protanomaly", "red-blind", "red blind"), "red"),
    **dict.fromkeys(("green", "deutan", "deuteranopia", "deuteranomaly", "green-blind", "green blind"), "green"),
    **dict.fromkeys(("blue", "tritan", "tritanopia", "tritanomaly", "blue-yellow", "blue blind"), "blue"),
    **dict.fromkeys(("red-green", "red/green", "red green", "red and green", "green-red", "r/g", "rg"), "red-green"),
    **dict.fromkeys(("any", "all", "colour-blind", "color-blind", "colour blind", "color blind", "yes"), "any"),
    **dict.fromkeys(("colourblind", "colorblind"), "any"),
}
_OF_IRIS = re.compile(
    r"(?:(?:dark |light |pale )?(?:blue|green|brown|grey|gray|hazel) eye(?:s|d)|brown|grey|gray|hazel)"
)
_BESIDES = re.compile(r"\b(?:colou?r[\s-]?blind(?:ness)?|blindness|deficien\w+|eyes|sight|from)\b")
_NOT, _ALL_BUT = "not ", "all but "
"""Before what a list says against its heading, and before what alone it is not said of."""
_AGAINST = re.compile(
    r"[(\[]?\b(?:(?:but|definitely|absolutely|please) )*(?:((?:any|every)thing (?:but|except(?: for)?))|(?:but )?not?"
    r"|never|but|except(?: for)?|nothing|hates?|dislikes?|avoid|do(?:es)?(?: not|n['\u2019]?t) (?:like|want|wear)"
    r"|can(?:['\u2019]?t|not) (?:stand|bear|wear))\b:?\s*",
    re.IGNORECASE,
)
_NOTHING = ("none", "nothing", "no", "-", "n/a")
_BETWEEN = re.compile(r"[;,\n]|\band\b|&")


def parse_eyes(text: str) -> Heard[str]:
    """Whose eyes a word means: "red", "deutan", "red-green", "colour-blind". Raises Unreadable."""
    folded = fold(text)
    if _OF_IRIS.fullmatch(folded):
        return Heard(ORDINARY, reason("the colour of the eyes, which tells nothing of how they see"), sure=False)
    plain = fold(_BESIDES.sub(" ", folded))
    found = _EYES.get(folded) or _EYES.get(plain)
    if found is None:
        expected = reason("what looks alike: {whose}", whose=listed(map(Term, WHOSE), "or"))
        raise Unreadable(text, expected, lambda: did_you_mean(plain or folded, _EYES))
    if found == "any" and folded != "any":
        return Heard(found, reason("any colours: say red-green, or blue, if you know"))
    return Heard(found)


def parse_list(text: str) -> tuple[str, ...]:
    """The words of a cell that lists things: "hats; blue and grey"."""
    return tuple(dict.fromkeys(word for piece in _BETWEEN.split(text) if (word := " ".join(piece.split()))))


def parse_tastes(text: str) -> Heard[tuple[str, ...]]:
    """The words of a cell of likes: "blues and greens, not yellow" is blues, greens and "not yellow", which `divided`
    takes for what is not liked. What stands behind such a word is against it up to a comma or a semicolon."""
    if fold(text).strip(" .!") in _NOTHING:
        return Heard((), reason("nothing"))
    if not _AGAINST.search(text):
        return Heard(parse_list(text))
    found: list[str] = []
    for piece in re.split(r"[;,\n]", text):
        liked, *against = _AGAINST.split(piece)
        found += parse_list(liked)
        for all_but, words in zip(against[::2], against[1::2], strict=True):
            before = _ALL_BUT if all_but else _NOT
            several = " and ".join(re.split(r"\bn?or\b", words.strip(" ()[].!")))
            found += [f"{before}{word}" for word in parse_list(several)]
    words = tuple(dict.fromkeys(found))
    return Heard(words, reason("{words}", words=listed(words, "and")) if words else reason("nothing"))


def divided(likes: Sequence[str], dislikes: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What is liked and what is not, by the words of both cells: "not yellow" is not liked, wherever it stands, and of
    all but one thing the opposite of its cell holds for that one."""
    liked = [word for word in likes if not word.startswith((_NOT, _ALL_BUT))]
    liked += [word.removeprefix(_ALL_BUT) for word in dislikes if word.startswith(_ALL_BUT)]
    against = [word.removeprefix(_NOT).removeprefix(_ALL_BUT) for word in likes if word.startswith((_NOT, _ALL_BUT))]
    against += [word.removeprefix(_NOT) for word in dislikes if not word.startswith(_ALL_BUT)]
    return tuple(dict.fromkeys(liked)), tuple(dict.fromkeys(against))
