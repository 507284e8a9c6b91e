"""A pool is what lies in it: however one bin's lots are cut into files, and whatever these are called, the list is that
of the one bin. Lots that no garment and no dye lot joins are asked of, since those of two members never count as one.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.actions.collection.pool import pool
from matcher.actions.desk import Desk
from matcher.actions.given import given as given_by
from matcher.actions.ranking.suggest import suggest
from matcher.actions.ranking.suggestion import Suggestion
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.collection.writing import parquet_of

CATALOGUE = load_catalogue()
HEAD = "lot,yarn,colour,grams,ball_grams,ball_metres,fibre,wash,dye_lot\n"
ASKED = {"kind": ("hat", "cowl"), "size": "adult medium", "top": 6}
PLACES = ("", "n/", "s/", "", "n/", "s/", "")
Told = list[tuple[str, str, tuple[tuple[str, str], ...], float]]


@st.composite
def rows(draw: st.DrawFn) -> list[str]:
    """Lots of a few yarns, each in a colour and a dye lot of its own, which tells it apart in every answer."""
    colours = draw(st.lists(st.integers(0, (1 << 24) - 1), min_size=3, max_size=12, unique=True))
    found = []
    for number, colour in enumerate(colours):
        ball, fibre = draw(st.sampled_from(("50,160", "50,125", "100,200"))), draw(st.sampled_from(("wool", "cotton")))
        yarn, grams = f"yarn {draw(st.integers(0, 3))}", draw(st.integers(10, 99))
        found.append(f"lot {number},{yarn},#{colour:06x},{grams},{ball},{fibre},hand,{number}")
    return found


def write(path: Path, lots: Sequence[str], form: str) -> None:
    """A file of these lots, a folder of sheets, or a file as it is handed on."""
    path.parent.mkdir(parents=True, exist_ok=True)
    text = HEAD + "".join(f"{one}\n" for one in lots)
    if form == "folder":
        path.mkdir()
        (path / "lots.csv").write_text(text, encoding="utf-8")
        return
    sheet = path.with_suffix(f".{form}")
    if form == "parquet":
        (own := path.with_suffix(".own")).write_text(text, encoding="utf-8")
        own = own.rename(path.with_suffix(".csv"))
        sheet.write_bytes(parquet_of(given_by(Desk(own, CATALOGUE), path.name)))
        own.unlink()
        return
    sheet.write_text(text.replace(",", "\t") if form == "txt" else text, encoding="utf-8")


def told(several: Sequence[Suggestion]) -> Told:
    """What each is, from which dye lots in which role, and how good."""
    return sorted(
        (
            one.accessory,
            one.size,
            tuple(sorted((role.role, lot.dye_lot) for role in one.roles for lot in role.lots)),
            round(one.score, 9),
        )
        for one in several
    )


@given(rows(), st.data())
@settings(deadline=None, max_examples=12)
def test_a_bin_cut_in_any_way_is_that_bin(tmp_path_factory, lots: list[str], data: st.DataObject):
    folder = tmp_path_factory.mktemp("cut")
    write(folder / "one", lots, "folder")
    whole = suggest(folder / "one", **ASKED)
    files = data.draw(st.integers(1, 7), "files")
    of = data.draw(st.lists(st.integers(0, files - 1), min_size=len(lots), max_size=len(lots)), "of")
    called = data.draw(st.permutations([f"{place}{name}" for name, place in zip("GecaBdf", PLACES, strict=True)]))
    for file in set(of):
        mine = [one for one, its in zip(lots, of, strict=True) if its == file]
        form = data.draw(st.sampled_from(("csv", "txt", "folder", "parquet")), "form")
        write(folder / "pool" / called[file], data.draw(st.permutations(mine), "order"), form)
    found = pool(folder / "pool", lots_at_once=data.draw(st.sampled_from((None, 4)), "at once"), **ASKED)
    assert found.lots == len(lots)
    for mine, its in ((found.things, whole.suggestions), (found.small, whole.small)):
        assert told([one.suggestion for one in mine]) == told(its)
