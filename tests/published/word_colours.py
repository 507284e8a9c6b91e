"""Where the catalogue's colour words come from: two published sources, put together name by name. Run by hand to
write the catalogue's tables anew from them:

    python tests/published/word_colours.py

`colour_names.csv` holds, for each word that a knitter would use for yarn today, every colour that the sources give to
that name or another spelling of it. Sources: Kelly and Judd 1976 (NBS Special Publication 440), where a name has
the middle of each ISCC-NBS block that a dictionary or the textile colour card gives it; and an open survey of 2010, in
which people named colours on their screens. The survey's colours are brought to where the dictionaries see the same names.

A word's spread says how far the next yarn of that name may lie from the word's mean: what its own entries scatter, held
against what all words scatter (as many entries as `PRIOR` count as much as its own), the doubt of the mean itself, and
the width of a block. Names of greys have less hue to scatter and are pooled by themselves.
"""

from __future__ import annotations

import csv
import re
from collections import defaultdict
from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt

from matcher.materials.colours.cielab import hex_from_lab, lab_from_code

Floats = npt.NDArray[np.float64]
HERE = Path(__file__).parent
STANDARDS = HERE.parent.parent / "catalog" / "standards"
SURVEY, DYES = "survey", "A"
GREY_CHROMA = 8.0
# Entries that all words together count for beside a word's own: from how the variances of words scatter (moments of
# the chi-squared distribution give 5 to 7).
PRIOR = 6.0
# Standard deviation in L*, a* and b* of colours below C* 45 from the middle of the nearest block.
BLOCK = 4.6
MODIFIED = ("dark", "light", "pale", "deep", "bright", "dusty", "dull", "muted", "faded", "soft", "mid", "pastel")


@cache
def entries() -> dict[str, tuple[tuple[str, str, Floats], ...]]:
    """For each word its entries: dictionary, name there, CIELAB as published."""
    found: dict[str, list[tuple[str, str, Floats]]] = defaultdict(list)
    with (HERE / "colour_names.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            lab = np.array(lab_from_code(row["code"][1:]))
            found[row["word"]].append((row["dictionary"], row["name"], lab))
    return {word: tuple(rows) for word, rows in found.items()}


@cache
def screen_to_sample() -> tuple[float, float, float]:
    """How a survey's colour becomes a sample's: (factor of L*, what is added to it, factor of a* and b*).

    Over the names that both sources hold: mean and scatter of L* are made the same, and the middle ratio of C*.
    """
    by_dictionaries, by_survey = [], []
    for rows in entries().values():
        labs: dict[str, list[Floats]] = defaultdict(list)
        screen = {name: lab for dictionary, name, lab in rows if dictionary == SURVEY}
        for dictionary, name, lab in rows:
            if dictionary != SURVEY and name in screen:
                labs[name].append(lab)
        for name, several in labs.items():
            by_dictionaries.append(np.mean(several, axis=0))
            by_survey.append(screen[name])
    ours, theirs = np.unique(np.hstack([by_dictionaries, by_survey]), axis=0).reshape(-1, 2, 3).swapaxes(0, 1)
    factor = ours[:, 0].std() / theirs[:, 0].std()
    chroma, on_screen = (np.hypot(one[:, 1], one[:, 2]) for one in (ours, theirs))
    vivid = on_screen > 15.0
    return (
        float(factor),
        float(ours[:, 0].mean() - factor * theirs[:, 0].mean()),
        float(np.median(chroma[vivid] / on_screen[vivid])),
    )


def samples(word: str) -> Floats:
    """CIELAB of all entries of a word, those of the survey as samples: array (n, 3)."""
    return np.array([as_sample(lab) if dictionary == SURVEY else lab for dictionary, _, lab in entries()[word]])


def as_sample(lab: Floats) -> Floats:
    """A colour of the survey as a sample's; a grey has nothing that could be vivid, and stays as it is."""
    factor, more, chroma = screen_to_sample()
    return lab if is_grey(lab[None]) else np.array([factor * lab[0] + more, chroma * lab[1], chroma * lab[2]])


def is_grey(labs: Floats) -> bool:
    return bool(np.hypot(*labs.mean(axis=0)[1:]) < GREY_CHROMA)


@cache
def pooled() -> dict[bool, Floats]:
    """Variance within words in L*, a*, b*, of greys (True) and of all others, each distinct list of entries once.

    The classes of dyes are left out: they give the plain names (blue, green) to all there is of them.
    """
    found: dict[bool, Floats] = {}
    lists = {
        samples(word).tobytes(): samples(word) for word, rows in entries().items() if DYES not in {r[0] for r in rows}
    }
    for grey in (False, True):
        several = [labs for labs in lists.values() if len(labs) > 1 and is_grey(labs) == grey]
        squares = sum(((labs - labs.mean(axis=0)) ** 2).sum(axis=0) for labs in several)
        found[grey] = squares / sum(len(labs) - 1 for labs in several)
    return found


def spread(labs: Floats) -> Floats:
    """Standard deviation in L*, a*, b* of the next yarn of this name, array (3,)."""
    own = ((labs - labs.mean(axis=0)) ** 2).sum(axis=0)
    within = (PRIOR * pooled()[is_grey(labs)] + own) / (PRIOR + len(labs) - 1)
    return np.sqrt(within * (1.0 + 1.0 / len(labs)) + BLOCK**2)


def source_of(word: str) -> str:
    """The key in sources.toml of what a word rests on."""
    kinds = {dictionary == SURVEY for dictionary, _, _ in entries()[word]}
    return "colour_names" if len(kinds) == 2 else "colour_survey_2010" if True in kinds else "nbs_sp_440"


def word_row(word: str) -> list[str]:
    """The row of the catalogue that the sources make."""
    labs = samples(word)
    code = hex_from_lab(tuple(labs.mean(axis=0).tolist()))
    return [word, code, *(f"{one:.1f}" for one in spread(labs)), source_of(word), "derived"]


def chosen_row(word: str, code: str) -> list[str]:
    """The row of a word that this project chose a colour for, as the middle of what knitters call so today: such a mean
    is not in doubt itself, and yarns scatter about it as they do about any."""
    lab = np.array(lab_from_code(code[1:]))
    sds = np.sqrt(pooled()[is_grey(lab[None])] + BLOCK**2)
    return [word, code, *(f"{one:.1f}" for one in sds), "project", "choice"]


def modifier_row(word: str) -> list[str]:
    """What "dark" and its like do to a colour, from the pairs that the survey holds ("dark teal" beside "teal").

    Pairs: `colour_modifiers.csv`, all of the survey but for names that nobody would use for yarn.
    """
    with (HERE / "colour_modifiers.csv").open(encoding="utf-8", newline="") as file:
        pairs = [row for row in csv.DictReader(file) if row["modifier"] == word]
    plain, changed = (
        np.array([lab_from_code(row[column][1:]) for row in pairs]) for column in ("plain_code", "changed_code")
    )
    darker = bool(np.median(changed[:, 0] - plain[:, 0]) < 0)
    # Darker: part of the way to black; lighter: part of the way to white.
    whole = -plain[:, 0] if darker else 100.0 - plain[:, 0]
    part = max(0.0, float(np.median((changed[:, 0] - plain[:, 0]) / whole)))
    chroma, after = (np.hypot(one[:, 1], one[:, 2]) for one in (plain, changed))
    vivid = chroma > 15.0
    factor = float(np.median(after[vivid] / chroma[vivid]))
    left = changed[:, 0] - plain[:, 0] - part * whole
    # Each of a pair has the survey's own error; a half of the square is the modifier's.
    sd_l, sd_ab = np.std(left) / np.sqrt(2), np.std(after - factor * chroma) / np.sqrt(2) * screen_to_sample()[2]
    cells = [
        f"{part if darker else 0:.2f}",
        f"{0 if darker else part:.2f}",
        f"{factor:.2f}",
        f"{sd_l:.1f}",
        f"{sd_ab:.1f}",
    ]
    return [word, *cells, "colour_survey_2010", "derived"]


WORDS = ("word", "hex", "sd_l", "sd_a", "sd_b", "source", "how_obtained")
MODIFIERS = ("word", "to_black", "to_white", "chroma", "sd_l", "sd_ab", "source", "how_obtained")


def catalogue_rows(file: str) -> list[dict[str, str]]:
    with (STANDARDS / file).open(encoding="utf-8", newline="") as opened:
        return list(csv.DictReader(opened))


def main() -> None:
    """Write both tables: what the sources make, and what was chosen as it stands."""
    chosen = [row for row in catalogue_rows("colour_words.csv") if row["how_obtained"] == "choice"]
    wide = [[row[column] for column in WORDS] for row in chosen if float(row["sd_l"] or 0) > 20.0]
    kept = {row["word"] for row in chosen}
    rows = [word_row(word) for word in entries() if word not in kept]
    rows += wide + [
        chosen_row(row["word"], row["hex"]) for row in chosen if row["word"] not in {one[0] for one in wide}
    ]
    _write("colour_words.csv", WORDS, sorted(rows))
    shifted = [modifier_row(word) for word in MODIFIED]
    shifted += [
        [row[column] for column in MODIFIERS]
        for row in catalogue_rows("colour_modifiers.csv")
        if row["how_obtained"] == "choice"
    ]
    _write("colour_modifiers.csv", MODIFIERS, shifted)


def _write(file: str, header: tuple[str, ...], rows: list[list[str]]) -> None:
    with (STANDARDS / file).open("w", encoding="utf-8", newline="") as opened:
        writer = csv.writer(opened, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)


def folded(word: str) -> str:
    return re.sub(r"[\s_-]+", " ", word.lower()).replace("gray", "grey").strip()


if __name__ == "__main__":
    main()
