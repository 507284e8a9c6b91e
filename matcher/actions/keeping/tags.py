"""A sheet of tags: one for each lot, or one for each bag of like lots."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.keeping.export import export
from matcher.actions.names import find
from matcher.drawing.tags import A_PAGE, Tag, tags_html
from matcher.errors import BadInput
from matcher.materials.colours.cielab import hex_from_lab
from matcher.materials.lots import Lot
from matcher.materials.reading.names import fold
from matcher.materials.reading.units import show_length, show_mass
from matcher.materials.yarn import Yarn
from matcher.store.codes import code_of, is_code
from matcher.store.files import write_out

_WASHES = {"hand": "wash by hand", "machine": "machine wash", "unknown": "wash not known: by hand, a swatch first"}


@dataclass(frozen=True)
class Tagged:
    """One tag, and the lots that it stands for."""

    tag: Tag
    lots: tuple[Lot, ...]
    reserve_m: float
    weighed_on: str


@dataclass(frozen=True)
class Tags:
    """The tags of a bin and the file that holds them."""

    tags: tuple[Tagged, ...]
    written: Path
    paper: str

    @property
    def pages(self) -> int:
        return -(-len(self.tags) // A_PAGE)

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "written": str(self.written),
            "paper": self.paper,
            "pages": self.pages,
            "tags": [
                {
                    "code": one.tag.code,
                    "lots": [lot.name for lot in one.lots],
                    "grams": round(sum(lot.mass_g for lot in one.lots), 2),
                    "metres": round(sum(lot.length.mean for lot in one.lots), 2),
                    "reserve_m": round(one.reserve_m, 2),
                    "weighed_on": one.weighed_on,
                }
                for one in self.tags
            ],
        }


def tags(
    bin: DeskLike = None,
    *,
    out: Path | str,
    lot: str | Sequence[str] = (),
    paper: str = "a4",
    bags: bool = False,
    units: str = "metric",
    catalog: Path | str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Tags:
    """Write a sheet of tags as one HTML file.

    Parameters
    ----------
    lot : only these lots.
    paper : "a4" or "letter".
    bags : one tag for lots of the same yarn, colour and dye lot together.
    units : "metric", or "imperial" for yards and ounces.

    Raises
    ------
    BadInput for another paper or a file that is no .html, BadSheets, NotFound.
    """
    place = Path(out).expanduser()
    if place.suffix.casefold() not in (".html", ".htm"):
        raise BadInput("tags are written as a page", str(place), "name a file that ends in .html")
    desk = desk_of(bin, catalog)
    read, shelf = desk.bin, desk.shelf
    wanted = {find(one, (known.name for known in read.lots), "lot") for one in _several(lot)}
    chosen = [one for one in read.lots if not wanted or one.name in wanted]
    if bags:
        groups = [pool.lots for pool in shelf.pools if not wanted or wanted & {one.name for one in pool.lots}]
    else:
        groups = [(one,) for one in sorted(chosen, key=lambda one: one.name)]
    if not groups:
        raise BadInput("there is no lot to tag", read.source, "add one first")
    held = {name: metres for group in shelf.groups for name, metres in group.held.items()}
    facts = _facts(desk)
    tagged = tuple(_tagged(tuple(sorted(group, key=lambda one: one.name)), held, facts, units) for group in groups)
    page = tags_html([one.tag for one in tagged], paper, progress)
    write_out({place: page.encode("utf-8", "replace")}, replace=True)
    return Tags(tagged, place, paper)


def _several(lot: str | Sequence[str]) -> tuple[str, ...]:
    return (lot,) if isinstance(lot, str) else tuple(lot)


def _facts(desk: Desk) -> dict[str, tuple[str, str]]:
    """Code and day of weighing of every lot: what the store or an exported sheet says; else a code made of its name."""
    rows: Mapping[str, Mapping[str, str]] = {}
    if desk.place is not None:
        rows = {fold(row["lot"]): row for row in export(None, desk.place).cells["lots"]}
    given = {name: row["code"] for name, row in rows.items() if is_code(row.get("code", ""))}
    taken = set(given.values())
    if len(taken) < len(given):  # not codes of tags after all, since two lots share one
        given, taken = {}, set()
    facts = {}
    for lot in sorted(desk.bin.lots, key=lambda one: one.name):
        name = fold(lot.name)
        code = given.get(name) or code_of(lot.name, taken)
        taken.add(code)
        facts[lot.name] = (code, rows.get(name, {}).get("weighed_on", ""))
    return facts


def _thickness(yarn: Yarn, units: str) -> str:
    """Its weight class, and how far a ball of 50 g goes where that is known better than by the class."""
    if yarn.tex_from == "class":
        return f"class {yarn.weight_class}"
    in_a_ball = show_length(50_000 / yarn.tex.mean, units)
    return f"class {yarn.weight_class}, {in_a_ball} in {show_mass(50, units)}"


def _tagged(
    lots: tuple[Lot, ...], held: Mapping[str, float], facts: Mapping[str, tuple[str, str]], units: str
) -> Tagged:
    first = lots[0]
    reserve_m = sum(held.get(lot.name, 0.0) for lot in lots)
    days = [facts[lot.name][1] for lot in lots]
    weighed = min(days) if all(days) else ""  # as old as its oldest part
    grams, metres = sum(lot.mass_g for lot in lots), sum(lot.length.mean for lot in lots)
    name = first.name if len(lots) == 1 else f"{first.name} and {len(lots) - 1} more"
    garments = list(dict.fromkeys(lot.garment for lot in lots if lot.garment))
    lines = [f"weighed {weighed}" if weighed else "weighed ____________"]
    if reserve_m > 0:
        lines.append(f"keep {show_length(reserve_m, units)}{' for mending' if garments else ''}")
    lines += [first.yarn.name] if first.yarn.name else []
    lines.append(_thickness(first.yarn, units))
    lines += [str(first.yarn.blend.words()), _WASHES[first.yarn.wash]]
    lines.append(f"dye lot {first.dye_lot}" if first.dye_lot else "dye lot not known")
    if garments:
        lines.append(f"from {' and '.join(garments)}")
    if first.colour_name and fold(first.colour_name) not in fold(first.name):
        lines.append(first.colour_name)
    if len(lots) > 1:
        lines.append("; ".join(f"{facts[lot.name][0]} {lot.name}" for lot in lots))
    amount = f"{show_mass(grams, units)}, about {show_length(metres, units)}"
    patch = tuple((hex_from_lab(lab), share) for lab, share in first.colour.parts)
    return Tagged(Tag(name, facts[first.name][0], patch, amount, tuple(lines)), lots, reserve_m, weighed)
