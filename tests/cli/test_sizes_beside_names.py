"""A size or an age that stands behind a name is theirs."""

from __future__ import annotations

from pathlib import Path

import pytest

import matcher
from matcher.actions.whom.everyone import everyone
from matcher.store.catalogue.catalogue import load_catalogue


@pytest.mark.parametrize(
    ("wearer", "size"),
    [
        *(("Lily (age 6)", "5 years"), ("Tom, 8 years", "8 years"), ("Mia (6 months)", "6 months")),
        *(("Ann (adult small)", "adult small"), ("Ann (my sister)", ""), ("Ann, Tom", ""), ("Ann (2019)", "")),
    ],
)
def test_whoever_has_an_age_behind_the_name_is_of_that_size(tmp_path: Path, wearer: str, size: str):
    (tmp_path / "lots.csv").write_text("lot,garment,colour,grams,class\na,vest,navy,40,3\n", encoding="utf-8")
    (tmp_path / "garments.csv").write_text(f'garment,status,wearer\nvest,worn,"{wearer}"\n', encoding="utf-8")
    (somebody,) = everyone(matcher.read_bin(tmp_path), load_catalogue())
    assert (somebody.name, somebody.size, somebody.guessed) == (wearer, size, False)
