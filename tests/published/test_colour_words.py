"""Colour words of the catalogue against the two published sources they come from, name by name."""

from __future__ import annotations

import csv

import numpy as np
import pytest
import word_colours as made
from word_colours import SURVEY, entries, samples

from matcher.materials.colours.colour import parse_colour
from matcher.materials.colours.difference import ciede2000
from matcher.store.catalogue.catalogue import load_catalogue

WORDS = load_catalogue().colour_words
DERIVED = [row for row in made.catalogue_rows("colour_words.csv") if row["how_obtained"] == "derived"]


def test_both_tables_are_what_the_sources_make():
    """Each figure of the catalogue is worked out anew; what was chosen has the spread that the sources give a choice."""
    for row in made.catalogue_rows("colour_words.csv"):
        cells = list(row.values())
        if row["how_obtained"] == "derived":
            assert cells == made.word_row(row["word"])
        elif float(row["sd_l"]) < 20.0:  # more is a word that may be any colour
            assert cells == made.chosen_row(row["word"], row["hex"])
    rows = {row["word"]: list(row.values()) for row in made.catalogue_rows("colour_modifiers.csv")}
    for word in made.MODIFIED:
        assert rows[word] == made.modifier_row(word)


def test_every_name_of_the_sources_is_read_near_the_middle_of_its_entries():
    """The mean that a word is read as lies near the median entry; the farthest are words that name very unlike things."""
    apart = {}
    for row in DERIVED:
        labs = samples(row["word"])
        apart[row["word"]] = float(ciede2000(np.array(WORDS[row["word"]].lab), np.median(labs, axis=0)))
    order = sorted(apart, key=apart.__getitem__)
    print(
        f"\n{len(order)} names: median {apart[order[len(order) // 2]]:.1f}, 90 in 100 within {apart[order[-len(order) // 10]]:.1f}"
    )
    print("farthest: " + ", ".join(f"{word} {apart[word]:.1f}" for word in order[:-8:-1]))
    assert apart[order[len(order) // 2]] < 2.0
    assert apart[order[-1]] < 15.0


def test_the_spread_of_a_name_holds_as_many_of_its_entries_as_it_should():
    """Of a normal quantity 68 in 100 lie within one standard deviation, 95 within two. Each entry is left out in turn,
    and the word made of the others; entries of dyes are left out, since they go over all there is of a plain name.
    """
    z = []
    for word, rows in entries().items():
        labs = samples(word)
        if len(labs) < 2 or made.DYES in {dictionary for dictionary, _, _ in rows}:
            continue
        for place in range(len(labs)):
            rest = np.delete(labs, place, axis=0)
            z.append((labs[place] - rest.mean(axis=0)) / made.spread(rest))
    within = [(np.abs(z) < reach).mean(axis=0) for reach in (1.0, 2.0)]
    print(f"\n{len(z)} entries: within 1 sd {within[0].round(2)}, within 2 sd {within[1].round(2)} of L*, a*, b*")
    # A little wider than they need be, since the width of a block is counted as well.
    assert within[0] == pytest.approx(np.full(3, 0.75), abs=0.06)
    assert within[1] == pytest.approx(np.full(3, 0.96), abs=0.02)


def test_names_of_the_survey_alone_are_as_much_less_vivid_as_those_that_both_hold():
    factor, more, chroma = made.screen_to_sample()
    assert 0.7 < factor < 0.9
    assert 0 < more < 15
    assert 0.5 < chroma < 0.65


@pytest.mark.parametrize(
    ("word", "like"),
    [
        ("plum", "dark purple"),
        ("chocolate", "dark brown"),
        ("navy", "dark blue"),
        ("teal", "petrol"),
        ("cream", "ivory"),
        ("rust", "red brown"),
        ("mint", "pale green"),
        ("oatmeal", "beige"),
    ],
)
def test_words_mean_what_a_knitter_means(word: str, like: str):
    """No screen's words: plum is no pale mauve, and chocolate no bright orange."""
    apart = float(ciede2000(np.array(WORDS[word].lab), np.array(WORDS[like].lab)))
    print(f"\n{word} and {like}: {apart:.1f}")
    assert apart < 18.0


@pytest.mark.parametrize(
    "text",
    [
        "dark teal",
        "light olive",
        "pale lilac",
        "deep red",
        "bright blue",
        "dusty lavender",
        "dark mauve",
        "pale violet",
    ],
)
def test_what_modifiers_make_is_where_the_survey_has_the_same_name(text: str):
    """The parts by themselves lead within two of their own spreads to the entry of the whole."""
    modifier, _, plain = text.partition(" ")
    made_of_parts = WORDS._modifiers[modifier].of(WORDS[plain])
    for lab in samples(text):
        assert np.all(np.abs(lab - made_of_parts.lab) < 2.2 * np.array(made_of_parts.sd))


def test_the_published_entries_are_codes_of_known_dictionaries():
    with (made.HERE / "colour_names.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["dictionary"] for row in rows} == {"TC", "M", "P", "R", "A", SURVEY}
    for row in rows:
        assert not parse_colour(row["code"], {}).guessed
        assert row["word"] == made.folded(row["word"])
