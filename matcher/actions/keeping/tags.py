"""A sheet of tags: one for each lot, or one for each bag of like lots."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from matcher.actions.asked import several
from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.names import find
from matcher.drawing.scene import Scene
from matcher.drawing.tags import A_PAGE, Tag, tag_scene, tags_html
from matcher.errors import BadInput
from matcher.materials.care import label_words
from matcher.materials.lots import Lot
from matcher.materials.reading.names import fold
from matcher.materials.yarn import Yarn
from matcher.reasons.quantities import Length, Mass
from matcher.reasons.reason import Words, counted, listed, reason
from matcher.reasons.style import PLAIN, Style
from matcher.store.codes import code_of, is_code
from matcher.store.files import may_write, write_out
from matcher.store.places import expanded

_BALL_G = 50.0  # a tag tells how far such a ball goes (this project's choice: the size most bands speak of)


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
    replace: bool = False,
    lot: str | Sequence[str] = (),
    paper: str = "a4",
    bags: bool = False,
    mending: str | None = None,
    catalog: Path | str | None = None,
    progress: Callable[[int, int], None] | None = None,
    style: Style = PLAIN,
) -> Tags:
    """Write a sheet of tags as one HTML file.

    Parameters
    ----------
    replace : write over a page of other content.
    lot : only these lots.
    paper : "a4" or "letter".
    bags : one tag for lots of the same yarn, colour and dye lot together.
    mending : which repairs to keep yarn for where a garment's own row leaves it open, one of `MENDING`.
    style : in whose units and words they are written.

    Raises
    ------
    BadInput for another paper or a file that is no .html, BadSheets, NotFound.
    """
    place = expanded(out)
    if place.suffix.casefold() not in (".html", ".htm"):
        todo = reason("name a file that ends in .html")
        raise BadInput(reason("tags are written as a page"), str(place), todo)
    may_write(place)
    tagged = tagged_lots(desk_of(bin, catalog, mending), lot=lot, bags=bags)
    page = tags_html([one.tag for one in tagged], paper, style, progress)
    write_out({place: page.encode("utf-8", "replace")}, replace=replace)
    return Tags(tagged, place, paper)


def tagged_lots(desk: Desk, *, lot: str | Sequence[str] = (), bags: bool = False) -> tuple[Tagged, ...]:
    """The tags of a bin, of these lots alone where some are named; with `bags` one for like lots together.

    Raises NotFound, BadSheets, BadInput where there is no lot.
    """
    read, shelf = desk.bin, desk.undecided
    wanted = {find(one, (known.name for known in read.lots), "lot") for one in several(lot)}
    chosen = [one for one in read.lots if not wanted or one.name in wanted]
    if bags:
        groups = [pool.lots for pool in shelf.pools if not wanted or wanted & {one.name for one in pool.lots}]
    else:
        groups = [(one,) for one in sorted(chosen, key=lambda one: one.name)]
    if not groups:
        raise BadInput(reason("there is no lot to tag"), read.source, reason("add one first"))
    held = {name: metres for group in shelf.groups for name, metres in group.held.items()}
    codes = _codes(read.lots)
    return tuple(_tagged(tuple(sorted(group, key=lambda one: one.name)), held, codes) for group in groups)


def tag_picture(lot: str, bin: DeskLike = None, style: Style = PLAIN) -> Scene:
    """The tag of one lot as a picture [mm]. Raises NotFound, BadSheets."""
    desk = desk_of(bin)
    name = find(lot, (known.name for known in desk.bin.lots), "lot")
    held = {one: metres for group in desk.undecided.groups for one, metres in group.held.items()}
    mine = next(one for one in desk.bin.lots if one.name == name)
    tag = _tagged((mine,), held, _codes(desk.bin.lots)).tag
    said = listed((tag.amount, *tag.lines), between="; ")
    return replace(
        tag_scene(tag, style),
        title=style.say(reason("The tag of {lot}", lot=name)),
        description=style.say(reason("{code}: {lines}", code=tag.code, lines=said)),
    )


def _codes(lots: Collection[Lot]) -> dict[str, str]:
    """The code of every lot by its name: what the store or an exported sheet says; else one made of its name."""
    codes = {lot.name: lot.code for lot in lots if is_code(lot.code)}
    if len(set(codes.values())) < len(codes):  # not codes of tags after all, since two lots share one
        codes = {}
    taken = set(codes.values())
    for name in sorted(lot.name for lot in lots if lot.name not in codes):
        codes[name] = code_of(name, taken)
        taken.add(codes[name])
    return codes


def _thickness(yarn: Yarn) -> Words:
    """Its weight class, and how far a ball goes where that is known better than by the class."""
    if yarn.tex_from == "class":
        return reason("class {number}", number=yarn.weight_class)
    length = Length(1000 * _BALL_G / yarn.tex.mean)
    return reason("class {number}, {length} in {mass}", number=yarn.weight_class, length=length, mass=Mass(_BALL_G))


def _tagged(lots: tuple[Lot, ...], held: Mapping[str, float], codes: Mapping[str, str]) -> Tagged:
    first, reserve_m = lots[0], sum(held.get(lot.name, 0.0) for lot in lots)
    days = [lot.weighed_on for lot in lots]
    weighed = min(days) if all(days) else ""  # as old as its oldest part
    grams, metres = sum(lot.mass_g for lot in lots), sum(lot.length.mean for lot in lots)
    more = len(lots) - 1
    name: Words = counted(more, "{lot} and {n} more", "{lot} and {n} more", lot=first.name) if more else first.name
    judged = any(lot.mass_sd_g for lot in lots)
    said = "about {mass}, about {length}" if judged else "{mass}, about {length}"
    amount = reason(said, mass=Mass(grams), length=Length(metres))
    lines = tuple(_lines(lots, reserve_m, weighed, codes))
    return Tagged(Tag(name, codes[first.name], first.colour.patches(), amount, lines), lots, reserve_m, weighed)


def _lines(lots: tuple[Lot, ...], reserve_m: float, weighed: str, codes: Mapping[str, str]) -> Iterator[Words]:
    """The facts, most needed first: what does not fit on the tag is cut."""
    first = lots[0]
    garments = list(dict.fromkeys(lot.garment for lot in lots if lot.garment))
    yield reason("weighed {day}", day=weighed) if weighed else reason("weighed ____________")
    if reserve_m > 0:
        keep = "keep {length} for mending" if garments else "keep {length}"
        yield reason(keep, length=Length(reserve_m))
    if first.yarn.name:
        yield first.yarn.name
    yield _thickness(first.yarn)
    yield first.yarn.blend.words()
    yield label_words(first.yarn.wash)
    yield reason("dye lot {name}", name=first.dye_lot) if first.dye_lot else reason("dye lot not known")
    if garments:
        yield reason("from {garments}", garments=listed(garments, "and", " and "))
    if first.colour_name and fold(first.colour_name) not in fold(first.name):
        yield first.colour_name
    if first.colour.guessed:
        yield reason("colour guessed from the word: see it in daylight")
    if len(lots) > 1:
        yield listed((f"{codes[lot.name]} {lot.name}" for lot in lots), between="; ")
