"""What somebody's skin does not bear, as people write it: "no wool pls", "wool except merino", "itchy".

A fibre that is named beside other words is barred, since these say why as a rule; one is borne only where a whole
clause says so in words that are known, and what else stands in such a clause is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from matcher.materials.fibre import Fibre, find_fibre
from matcher.materials.people import FibreGroup, parse_list
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.names import fold, slip_of
from matcher.materials.reading.numerals import LONGEST_READ, Unclear
from matcher.reasons.reason import Term, Words, listed, reason

_ANIMAL = "animal fibres"
"""The group that is barred where somebody's skin is only said to be sensitive."""

_NOTHING = re.compile(
    r"(?:no(?:ne|pe|thing)?|n|false|0|ok(?:ay)?|(?:all |is |everything(?: is)? )?(?:fine|good|ok(?:ay)?)|normal"
    r"|ordinary|no (?:known )?(?:allerg(?:y|ies)|problems?|sensitivit(?:y|ies))|not (?:sensitive|allergic|itchy)"
    r"|anything goes|(?:none|nothing) (?:that )?(?:i know(?: of)?|known)|(?:can )?wears? (?:anything|everything))"
)
_VAGUE = re.compile(
    r"\b(?:itch\w*|scratch\w*|prickl\w*|sensitiv\w*|eczema|rough|dermatitis|allerg\w*|rash(?:es)?|yes|y|x|delicate|skin)\b"
    r"|[✓✔☑✅]"
)
_TELLS = re.compile(
    r"\b(?:itch|scratch|sensitive|eczema|allerg|rash|vegan|(?:no|not|cannot wear) (?:wool|mohair|animal))"
)
_BORNE = re.compile(
    r"\b(?:ok(?:ay)?|fine|good|all ?right|allowed|tolerated|tolerates?|bears?|can wear|loves?|suits?|does not mind"
    r"|not (?:a problem|allergic|itchy|sensitive|scratchy)|no (?:problem|trouble|reaction)|does not itch)\b"
)
_NOT_BORNE = re.compile(
    r"\b(?:not|no|never|hardly|cannot|does not|is not)\s+(?:\w+\s+)?(?:ok(?:ay)?|fine|good|all ?right"
    r"|allowed|tolerated?|bear|love|suit|wear)\b"
)
_ONLY = re.compile(r"\b(?:only|just|prefers?)\b")
_CAN_WEAR = re.compile(r"\b(?:can wear|wears)\b")
_EXCEPT = re.compile(r"^(?:but )?(?:except(?:ing)?(?: for)?|unless|apart from|other than|excluding|save|besides)\b")
_BUT = re.compile(r"^(?:but|though|although|however)\b")
_ALL = re.compile(r"\b(?:everything|anything|all(?! right))\b")
_CLAUSES = re.compile(
    r"[,;:/+&|\n()\[\]]|\s[-–—]\s|\b(?:and|or|nor)\b"
    r"|\s(?=(?:but|though|although|however|except|excepting|unless|apart from|other than|excluding|save|besides)\b)"
)
_SMALL = re.compile(
    r"a|an|the|is|are|it|its|of|to|for|from|by|with|on|in|at|her|him|his|their|them|she|he|they|me|i|my|baby|"
    r"next|against|skin|any|all|anything|everything|no|not|never|none|nothing|but|though|although|however|"
    r"except|excepting|unless|apart|other|than|excluding|save|besides|ok|okay|fine|good|right|alright|allowed|"
    r"tolerated|tolerate|tolerates|bear|bears|can|cannot|wear|wears|does|do|like|likes|mind|love|loves|suit|"
    r"suits|problem|trouble|reaction|please|pls|plz|thanks|avoid|itch|itches|itchy|itching|scratchy|scratches|"
    r"prickly|prickles|allergic|allergy|allergies|sensitive|sensitivity|rash|rashes|eczema|hate|hates|yarn|"
    r"yarns|fibre|fibres|fiber|fibers|stuff|things|thing|kind|kinds|sort|sorts|maybe|perhaps|probably|sure|"
    r"think|that|if|so|very|too|really|rather|quite|still|makes|make|gets|gives"
)
"""Words that may stand beside a fibre and name none."""
_MOST_WORDS = 4  # of a fibre among others; a choice
_NO_FIBRE = reason("no fibre")
_EITHER = reason("it may be all that they bear, or all that they do not: write each fibre that does not suit")
_DOUBT = re.compile(r"\?|\b(?:maybe|perhaps|probably|not sure|think)\b")


@dataclass
class _Said:
    """What the clauses of a cell say: names of fibres that are barred, and of those that are borne; vague: that a skin
    is sensitive; other: words beside a fibre that are not known here."""

    barred: list[str] = field(default_factory=list)
    borne: list[str] = field(default_factory=list)
    vague: bool = False
    other: bool = False


def heard_unsuited(text: str, fibres: Sequence[Fibre], groups: Sequence[FibreGroup]) -> Heard[tuple[str, ...]]:
    """Fibres that somebody does not bear, by name: "mohair; wool", "animal fibres", "no wool pls".

    A word that stands for several means all of them: "wool" is that of any sheep. Raises Unclear for what names none.
    """
    if len(text) > LONGEST_READ:
        raise Unclear(reason("that is too long: write fibres such as mohair; wool"))
    in_row = [_meant(word, fibres, groups) for word in parse_list(text)]
    if all(in_row):
        return Heard(tuple(dict.fromkeys(name for names in in_row for name in names)))
    plain = _plain(text)
    if _NOTHING.fullmatch(plain.strip(" .!")):
        return Heard((), _NO_FIBRE)
    said = _said(plain, text, fibres, groups)
    if _ONLY.search(plain) or (not said.barred and _CAN_WEAR.search(plain)):
        raise Unclear(_EITHER)
    if not said.barred and said.vague:
        names = tuple(name for name in _animal(groups) if name not in said.borne)
        words = reason("any animal's fibre, to be careful: if only some do not suit, name them")
        return Heard(names, words, sure=False)
    if not said.barred and said.borne and _ALL.search(plain):
        raise Unclear(_EITHER)  # "anything but wool": wool may be what alone is borne, or what alone is not
    if not said.barred and not said.borne:
        raise Unclear(lambda: _unknown(text, fibres))
    names = tuple(name for name in dict.fromkeys(said.barred) if name not in said.borne)
    sure = not (said.borne or said.other or _DOUBT.search(plain))
    told = names
    if set(animal := _animal(groups)) <= set(names):  # twenty names tell less
        told = (_ANIMAL, *(name for name in names if name not in animal))
    return Heard(names, reason("{fibres}", fibres=_terms(told)) if names else _NO_FIBRE, sure)


def tells_of_skin(note: str) -> bool:
    """Whether a note seems to say what somebody's skin does not bear."""
    return _TELLS.search(_plain(note[:LONGEST_READ])) is not None


def _said(plain: str, text: str, fibres: Sequence[Fibre], groups: Sequence[FibreGroup]) -> _Said:
    said = _Said()
    bears = False  # whether the clause before says what is borne
    for piece in _CLAUSES.split(plain):
        clause = " ".join(piece.split()).strip(" .!?")
        names, rest = _named(clause, fibres, groups)
        unknown = [word for word in rest if not _SMALL.fullmatch(word)]
        bears = _bears(clause, bears) if names else bool(_BORNE.search(clause)) and not _NOT_BORNE.search(clause)
        vague = not names and bool(_VAGUE.search(clause)) and not bears
        barred = names and not bears
        slips = any(slip_of(one, _spellings(tuple(fibres))) for one in unknown)
        if slips or (unknown and not (barred or vague)):
            raise Unclear(lambda: _unknown(text, fibres))
        (said.borne if bears else said.barred).extend(names)
        if vague and _BUT.search(clause):  # "wool is ok but itchy"
            said.barred, said.borne, said.other = [*said.barred, *said.borne], [], True
        said.vague = said.vague or vague
        said.other = said.other or bool(unknown)
    return said


def _bears(clause: str, before: bool) -> bool:
    """Whether a clause that names a fibre says that it is borne. before: whether the clause before it says so."""
    if _NOT_BORNE.search(clause):
        return False
    if _EXCEPT.search(clause):
        return not before
    if _BORNE.search(clause):
        return True
    if _BUT.search(clause):  # "wool but not merino", "alpaca is fine but wool itches"
        return not before and not re.search(r"\b(?:itch|scratch|prickl|allerg)", clause)
    return False


def _named(clause: str, fibres: Sequence[Fibre], groups: Sequence[FibreGroup]) -> tuple[list[str], list[str]]:
    """The fibres that a clause names, and its other words."""
    words = clause.split()
    found: list[str] = []
    rest: list[str] = []
    while words:
        for number in range(min(len(words), _MOST_WORDS), 0, -1):
            if names := _meant(" ".join(words[:number]), fibres, groups):
                found += names
                words = words[number:]
                break
        else:
            rest.append(words.pop(0).strip("'\".!?-"))
    return found, [word for word in rest if word]


def _meant(word: str, fibres: Sequence[Fibre], groups: Sequence[FibreGroup]) -> tuple[str, ...]:
    """The names of the fibres that a word stands for; none for one that is not known."""
    if wide := next((group for group in groups if fold(word) in group.words), None):
        return wide.fibres
    try:
        return (find_fibre(word, fibres).name,)
    except Unclear:
        return ()


def _animal(groups: Sequence[FibreGroup]) -> tuple[str, ...]:
    return next((group.fibres for group in groups if group.name == _ANIMAL), ())


def _plain(text: str) -> str:
    """Her words folded, with what is short for not written out."""
    plain = fold(text).replace("\u2019", "'")
    plain = re.sub(r"\bcan'?t\b|\bcan not\b|\bwon'?t\b", "cannot", plain)
    plain = re.sub(r"\b(does|do|is|are)n'?t\b", r"\1 not", plain)
    return re.sub(r"(?<=\w)'s\b", " is", plain)


@lru_cache(maxsize=4)
def _spellings(fibres: tuple[Fibre, ...]) -> tuple[str, ...]:
    return tuple(sorted(spelling for fibre in fibres for spelling in fibre.spellings))


def _terms(names: Iterable[str]) -> Words:
    return listed([Term(name) for name in names], "and")


def _unknown(text: str, fibres: Sequence[Fibre]) -> Words:
    """The nearest fibre to her words, as `find_fibre` tells it."""
    try:
        find_fibre(text, fibres)
    except Unclear as fault:
        return fault.said
    return reason("write fibres such as mohair; wool")
