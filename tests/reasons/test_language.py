"""Another language needs a catalogue of messages and nothing else: no rule, no action and no reason changes for it."""

from __future__ import annotations

import gettext
import io
import re
import struct
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from said import _texts as texts

import matcher
from matcher.reasons.quantities import GaugeFigures, Length
from matcher.reasons.reason import Term, counted, listed, reason
from matcher.reasons.style import PLAIN, Style

DEMO = Path(__file__).resolve().parents[2] / "demo"
# What stands for a unit or a standard's name in every language.
SIGNS = re.compile(r"\b(?:m|cm|mm|g|kg|tex|yd|oz|in)\b|#[0-9a-f]{6}")


def messages(language: str, plural_forms: str, words: dict[str | tuple[str, str], str | list[str]]) -> bytes:
    """A compiled catalogue as gettext reads it (.mo), of messages, and of pairs of one and many with all their forms."""
    head = f"Language: {language}\nContent-Type: text/plain; charset=UTF-8\nPlural-Forms: {plural_forms}\n"
    pairs = [("", head)]
    for message, said in words.items():
        pairs.append(
            (
                "\0".join(message) if isinstance(message, tuple) else message,
                "\0".join(said) if isinstance(said, list) else said,
            )
        )
    coded = sorted((key.encode(), value.encode()) for key, value in pairs)
    keys = b"".join(key + b"\0" for key, _ in coded)
    values = b"".join(value + b"\0" for _, value in coded)
    at, tables = 28, 28 + 16 * len(coded)
    for_keys, for_values, key_at, value_at = b"", b"", tables, tables + len(keys)
    for key, value in coded:
        for_keys += struct.pack("<II", len(key), key_at)
        for_values += struct.pack("<II", len(value), value_at)
        key_at, value_at = key_at + len(key) + 1, value_at + len(value) + 1
    header = struct.pack("<7I", 0x950412DE, 0, len(coded), at, at + 8 * len(coded), 0, 0)
    return header + for_keys + for_values + keys + values


POLISH = gettext.GNUTranslations(
    io.BytesIO(
        messages(
            "pl",
            "nplurals=3; plural=(n==1 ? 0 : n%10>=2 && n%10<=4 && (n%100<10 || n%100>=20) ? 1 : 2);",
            {
                "{lot} is too short: {length}": "{lot}: za krótka, {length}",
                ("{n} round uses {role}", "{n} rounds use {role}"): [
                    "{n} okrążenie z użyciem: {role}",
                    "{n} okrążenia z użyciem: {role}",
                    "{n} okrążeń z użyciem: {role}",
                ],
                "main": "główny",
                "{most} and {last}": "{most} i {last}",
                "{stitches} stitches and {rows} rows in {span}": "{stitches} oczek i {rows} rzędów na {span}",
            },
        )
    )
)
SAID = Style(decimal=",", language=POLISH)


def test_a_sentence_is_put_into_another_language_with_her_words_and_figures_as_they_are():
    short = reason("{lot} is too short: {length}", lot="main 2.5 m", length=Length(7.25))
    assert SAID.say(short) == "main 2.5 m: za krótka, 7,2 m"
    assert SAID.say(GaugeFigures(22.5, 29)) == "22,5 oczek i 29 rzędów na 10 cm"
    assert SAID.say(listed(("navy", "fog", Term("main")), "and")) == "navy, fog i główny"


@pytest.mark.parametrize(
    ("n", "word"), [(1, "okrążenie"), (2, "okrążenia"), (5, "okrążeń"), (12, "okrążeń"), (22, "okrążenia")]
)
def test_plurals_follow_the_language(n: int, word: str):
    said = counted(n, "{n} round uses {role}", "{n} rounds use {role}", role=Term("main"))
    assert SAID.say(said) == f"{n} {word} z użyciem: główny"


def test_what_is_not_translated_stays_english():
    assert SAID.say(reason("no label")) == "no label"


class Loud(gettext.NullTranslations):
    """A language of capitals: what comes out in small letters never went through a translation."""

    def gettext(self, message: str) -> str:
        return re.sub(r"\{[^}]*\}|[^{]+", lambda part: part[0] if part[0].startswith("{") else part[0].upper(), message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)


# Keys of a result under which something is said.
SENTENCES = {
    "because",
    "care",
    "lacks",
    "notes",
    "reason",
    "reasons",
    "said",
    "warnings",
    "why",
    "words",
}


def reasons_in(value: Any) -> Iterator[Any]:
    """Every reason in a result, at whatever depth; where something is said, text that is no reason is a fault."""
    if isinstance(value, dict):
        for key, one in value.items():
            said = one if isinstance(one, list | tuple) else [one]
            bare = [text for text in said if key in SENTENCES and isinstance(text, str) and " " in text]
            assert not bare, f"{key}: {bare}"
            yield from reasons_in(one)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from reasons_in(one)
    elif hasattr(value, "shown"):
        yield value


RESULTS = {
    "suggest": lambda: matcher.suggest(DEMO),
    "set": lambda: matcher.plan_set(DEMO, want="egg cosy, 4 key fobs", alternatives=1),
    "contrast": lambda: matcher.contrast("navy", "cream", "rust", bin=DEMO),
    "reserve": lambda: matcher.reserve(DEMO),
    "partner": lambda: matcher.partner(DEMO, garment="grey yoke pullover", accessory="hat-stranded-band"),
    "motif": lambda: matcher.motif("crosses", lots=["navy", "cream"]),
    "triage": lambda: matcher.triage(DEMO),
    "lookalikes": lambda: matcher.lookalikes(DEMO),
    "whose": lambda: matcher.whose(DEMO, colour="#22304f", weighed="12 m = 4.9 g"),
    "palette": lambda: matcher.palette(DEMO),
}


@pytest.mark.parametrize("action", RESULTS)
def test_every_word_of_a_result_goes_through_the_language(action: str):
    found = set(reasons_in(RESULTS[action]().as_dict()))
    assert found
    loud = Style(language=Loud())
    for said in found:
        words = loud.say(said)
        for text in sorted({text for text, hers in texts(said) if hers and text}, key=len, reverse=True):
            words = words.replace(text, "")
        assert not re.search(r"[a-zäöü]{2}", SIGNS.sub("", words)), f"{loud.say(said)!r} of {PLAIN.say(said)!r}"
