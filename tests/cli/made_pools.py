"""Folders of many small bins, as whoever runs a pool has them."""

from __future__ import annotations

import random
from pathlib import Path

from matcher.actions.desk import Desk
from matcher.actions.given import given
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.collection.writing import parquet_of

HEAD = "lot,garment,role,yarn,colour,grams,ball_grams,ball_metres,fibre,wash,dye_lot"
FIBRES = ("wool", "75% wool 25% nylon", "cotton", "alpaca", "")
BALLS = ((50, 160), (50, 125), (100, 200), (50, 75))


def lots_of(seed: int, number: int) -> str:
    """A sheet of lots: some of one garment, in that garment's yarn."""
    draw = random.Random(seed)
    rows = [HEAD]
    while len(rows) <= number:
        owner, ball, fibre = len(rows), draw.choice(BALLS), draw.choice(FIBRES)
        home = f"garment {owner}" if draw.random() < 0.6 else ""
        for role in ("main", "contrast 1", "contrast 2")[: draw.randint(1, 3)]:
            code = f"#{draw.randrange(1 << 24):06x}"
            cells = (f"lot {len(rows)}", home, role if home else "", f"yarn {draw.randrange(9)}", code)
            rows.append(",".join([*cells, str(draw.randint(8, 90)), *map(str, ball), fibre, "hand", str(owner)]))
    return "\n".join(rows[: number + 1]) + "\n"


def write_bin(folder: Path, seed: int, number: int = 6) -> Path:
    """A folder with sheets; its garments are gone, or worn."""
    folder.mkdir(parents=True)
    (folder / "lots.csv").write_text(lots_of(seed, number), encoding="utf-8")
    owners = range(1, number + 1)
    garments = [f"garment {one},pullover,{('gone', 'worn')[one % 2]}" for one in owners]
    (folder / "garments.csv").write_text("\n".join(["garment,kind,status", *garments]) + "\n", encoding="utf-8")
    return folder


def write_pool(folder: Path, bins: int, lots: int = 6, catalogue: Catalogue | None = None) -> Path:
    """So many bins at three places: folders, csv files and, where a catalogue is given, Parquet files in turn."""
    for number in range(bins):
        place = folder / ("north", "south", "")[number % 3]
        if catalogue is not None and number % 4 == 1:
            own = write_bin(folder.parent / f"{folder.name} own" / str(number), number, lots)
            place.mkdir(parents=True, exist_ok=True)
            gives = given(Desk(own, catalogue), f"P{number}")
            (place / f"{number:04d}.parquet").write_bytes(parquet_of(gives))
        elif number % 4 == 2:
            place.mkdir(parents=True, exist_ok=True)
            (place / f"{number:04d}.csv").write_text(lots_of(number, lots), encoding="utf-8")
        else:
            write_bin(place / f"{number:04d}", number, lots)
    return folder
