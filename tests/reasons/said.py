"""Looks at a reason in every style: nothing is left unfilled, no unit or decimal sign is another's, her words are whole."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from matcher.reasons.quantities import Band, NeedleSize
from matcher.reasons.reason import Action, Column, Counted, Field, Listed, Reason, Term
from matcher.reasons.style import PLAIN, Style

STYLES = (PLAIN, Style("imperial"), Style("mixed"), Style(decimal=","))
_METRES, _GRAMS = re.compile(r"\d (?:m|cm|mm)\b"), re.compile(r"\d (?:g|kg)\b")
_POINT = re.compile(r"\d\.\d")


def _texts(said: Any) -> Iterator[tuple[str, bool]]:
    """Every text in a reason, and whether it is hers rather than ours."""
    if isinstance(said, str):
        yield said, True
    elif isinstance(said, Reason | Counted):
        templates = (said.template,) if isinstance(said, Reason) else (said.one, said.many)
        yield from ((one, False) for one in templates)
        for _, value in said.values:
            yield from _texts(value)
    elif isinstance(said, Listed):
        for one in said.items:
            yield from _texts(one)
    elif isinstance(said, Band) and said.whole:
        yield str(said), True  # as it is printed on the band
    elif isinstance(said, NeedleSize):
        yield str(said), False  # in millimetres in every country
    elif isinstance(said, Term):
        yield said.word, False
    elif isinstance(said, Field):
        yield said.name, True  # what the face calls it
        yield said.example, False
    elif isinstance(said, Column):
        yield said.name, True  # as it stands in a sheet, in every language
    elif isinstance(said, Action):
        yield said.name, True  # what the face calls it
        for one in said.fields:
            yield from _texts(one)


def faults_of(said: Any) -> list[str]:
    """What is wrong with the words of a reason, a sentence each."""
    texts = list(_texts(said))
    hers = sorted({text for text, her in texts if her and text}, key=len, reverse=True)
    ours = " ".join(text for text, her in texts if not her)
    found = []
    for style in STYLES:
        words = style.say(said)
        found += [f"{words!r} lost {text!r}" for text in hers if text not in words]
        bare = words
        for text in hers:
            bare = bare.replace(text, "~")
        if re.search(r"[{}]", bare):
            found.append(f"{words!r} has something unfilled")
        for other, reads, unit in ((style.inches, "yards", _METRES), (style.ounces, "ounces", _GRAMS)):
            said_so = unit.findall(bare) if other else ()
            found += [f"{words!r} says {one!r} to somebody who reads {reads}" for one in said_so if one not in ours]
        if style.decimal == ",":
            found += [f"{words!r} says {one!r} with a point" for one in _POINT.findall(bare) if one not in ours]
    return found


class Met:
    """Remembers reasons as they are made: some of each template, until they are looked at."""

    MOST_OF_ONE = 5

    def __init__(self) -> None:
        self.number: dict[str, int] = {}
        self.new: list[Any] = []
        self.heard: dict[str, str] = {}  # an example of each template, in words

    def watch(self, kind: Any) -> None:
        """From now on every one of this kind is remembered."""
        made = kind.__init__

        def remember(said: Any, template: str, *values: Any, **named: Any) -> None:
            made(said, template, *values, **named)
            if self.number.setdefault(template, 0) < self.MOST_OF_ONE:
                self.number[template] += 1
                self.new.append(said)

        kind.__init__ = remember

    def faults(self) -> list[str]:
        """What is wrong with those made since the last look."""
        new, self.new = self.new, []
        for said in new:
            self.heard.setdefault(said.template if isinstance(said, Reason) else said.many, str(said))
        return [fault for said in new for fault in faults_of(said)]


MET = Met()
