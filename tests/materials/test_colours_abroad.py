"""Plain colours in other languages stand for the same as in English; English goes first."""

from __future__ import annotations

import pytest

from matcher.materials.colours.colour import parse_colour
from matcher.store.catalogue.catalogue import load_catalogue

WORDS = load_catalogue().colour_words


@pytest.mark.parametrize(
    ("text", "english"),
    [
        *(("rot", "red"), ("Weiß", "white"), ("dunkelblau", "dark blue"), ("grau meliert", "grey heather")),
        *(("blanc", "white"), ("marron", "brown"), ("gris clair", "light grey"), ("bleu marine", "navy")),
        *(("azul marino", "navy"), ("marrón", "brown"), ("rosso scuro", "dark red"), ("donkerblauw", "dark blue")),
        *(("mørk grå", "dark grey"), ("mørkeblå", "dark blue"), ("ljusgrön", "light green"), ("hvit", "white")),
        *(("rot/weiß", "red/white"), ("rød?", "red"), ("light blau", "light blue")),
    ],
)
def test_a_colour_in_another_language(text: str, english: str):
    found = parse_colour(text, WORDS)
    assert (found.parts, found.sds) == (parse_colour(english, WORDS).parts, parse_colour(english, WORDS).sds)
    assert found.guessed
    assert found.words() == text


@pytest.mark.parametrize("text", ["dunkel", "bleu inconnu", "rotblau"])
def test_what_is_no_colour_stays_none(text: str):
    with pytest.raises(ValueError, match="expected a code"):
        parse_colour(text, WORDS)


@pytest.mark.parametrize("text", ["rose", "orange", "marine blue", "sort of purple"])
def test_english_goes_first(text: str):
    plain = WORDS[text]
    assert plain == type(WORDS)(WORDS._known, WORDS._modifiers)[text]
