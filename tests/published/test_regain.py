"""Moisture regain of every fibre in the catalogue against the regulation's table of agreed allowances."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from matcher.store.catalogue.catalogue import load_catalogue

TABLE = Path(__file__).with_name("regain_eu1007.csv")
# Fibre of the catalogue -> (start of the table's fibre name, start of its form). Wool and hair are taken as
# carded, which the table also prescribes when it is not known; hand-knitting nylon is staple, not filament.
HAIR = ("wool and fine animal hair", "carded")
ROWS: dict[str, tuple[str, str]] = {
    **dict.fromkeys(("wool", "superwash wool", "merino", "lambswool", "alpaca", "brushed alpaca"), HAIR),
    **dict.fromkeys(("llama", "mohair", "cashmere", "angora", "yak", "camel", "vicuna", "guanaco", "cashgora"), HAIR),
    **dict.fromkeys(("animal hair", "possum", "qiviut", "bison"), ("animal hair", "carded")),
    "cotton": ("cotton", "normal"),
    "mercerised cotton": ("cotton", "mercerised"),
    "linen": ("flax (linen)", ""),
    "hemp": ("true hemp", ""),
    "ramie": ("ramie (bleached)", ""),
    "bamboo viscose": ("viscose", ""),
    "protein fibre": ("protein", ""),
    "nylon": ("polyamide or nylon", "discontinuous"),
    "polyester": ("polyester", "discontinuous"),
    "metal": ("metal or metallised fibre", ""),
    "paper": ("paper yarn", ""),
}


def allowance(fibre: str, form: str) -> float:
    with open(TABLE, encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["fibre"] == fibre and row["form"].startswith(form)]
    assert len(rows) == 1, (fibre, form)
    return float(rows[0]["agreed_allowance_percent"])


@pytest.mark.parametrize("fibre", load_catalogue().fibres, ids=lambda fibre: fibre.name)
def test_regain_is_the_regulations(fibre):
    assert fibre.regain_percent == allowance(*ROWS.get(fibre.name, (fibre.name, "")))
