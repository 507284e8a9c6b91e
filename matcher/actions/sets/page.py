"""A set as files: a picture of lots and things, pages to print with what to take from which box, and JSON."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import replace as with_
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.actions.ranking.pictures import card_of
from matcher.actions.ranking.suggestion import Suggestion
from matcher.actions.roles import RoleYarn
from matcher.actions.sets.in_file import NAME
from matcher.actions.sets.result import LotUse, PlannedSet, Sets
from matcher.actions.sets.told import how_good, in_motif, sure_words
from matcher.errors import BadInput
from matcher.knitting.pattern.minded import mind_words
from matcher.materials.lots import Lot
from matcher.reasons.quantities import SHOWN_M, Amount, Chance, GaugeFigures, Length, Mass
from matcher.reasons.reason import Field, Term, Words, listed, reason
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.files import may_write, read_file, write_out
from matcher.store.places import expanded
from matcher.store.recipes import MOST_BYTES

if TYPE_CHECKING:
    from matcher.drawing.bars import Bar
    from matcher.drawing.page import Page, PageTable, PageThing
    from matcher.drawing.pictures_sheet import Card

NAMES = ("set.svg", "set.png", "set-a4.html", "set-letter.html", NAME)
_MOST_PIXELS, _PIXELS_A_MM = 16_000_000, 6.0  # choices: letters can be read, and the file can be opened
_TITLE = reason("What to knit with all of it")


def out_asked(out: Path | str, replace: bool = False) -> Path:
    """The folder that a set goes into, looked at before any work is done.

    Raises BadInput for a file, and where files of these names are there that are of no set and may not be replaced.
    """
    folder = expanded(out)
    if folder.exists() and not folder.is_dir():
        what = reason("{place} is a file", place=str(folder))
        raise BadInput(what, Field("out"), reason("name another folder for the pictures"))
    there = [folder / name for name in NAMES if os.path.lexists(folder / name)]
    for place in there:
        may_write(place)
    if there and not replace and not _holds_set(folder):
        todo = reason("name another folder, or give {field}", field=Field("replace"))
        raise BadInput(reason("this file exists already, and no set beside it"), str(there[0]), todo)
    return folder


def _holds_set(folder: Path) -> bool:
    """Whether a set was written there, of whatever is in it; one that has changed since is refused once it is found."""
    with suppress(OSError, ValueError, RecursionError):
        told = json.loads(read_file(folder / NAME, MOST_BYTES))
        return isinstance(told, dict) and {"aim", "accessories", "objective"} <= told.keys()
    return False


def write_set(found: Sets, folder: Path, style: Style, replace: bool) -> tuple[Path, ...]:
    """Write the best set into a folder, all or nothing; over files of other content only with `replace`.

    folder: as `out_asked`. Raises BadInput when it cannot be written to.
    """
    from matcher.drawing.page import page_html
    from matcher.drawing.scene import png, svg
    from matcher.drawing.set_picture import set_scene

    best = found.best
    cards, bars = _cards(found, best), _bars(best)
    picture = set_scene(cards, bars, _TITLE, sure_words(best), style)
    pixels = min(_PIXELS_A_MM, (_MOST_PIXELS / (picture.width * picture.height)) ** 0.5)
    page = _page_of(best, found.aim, cards, bars, style)
    data = (
        svg(picture).encode(),
        png(picture, pixels),
        *(page_html(page, paper, style).encode() for paper in ("a4", "letter")),
        json_of(found, style),
    )
    return write_out({folder / name: one for name, one in zip(NAMES, data, strict=True)}, replace=replace)


def json_of(found: Sets, style: Style) -> bytes:
    """The file that `begin` takes."""
    told = {key: value for key, value in found.as_dict(style.units).items() if key != "files"}
    return (json.dumps(told, ensure_ascii=False, indent=1, default=style.say) + "\n").encode()


def page_of(found: Sets, planned: PlannedSet, style: Style) -> Page:
    """One of the sets as values to be shown: the things, the lots as bars, and what to take from which box."""
    return _page_of(planned, found.aim, _cards(found, planned), _bars(planned), style)


def _cards(found: Sets, planned: PlannedSet) -> list[Card]:
    assert found.catalogue is not None  # it came out of a plan
    return [_card(one, found.catalogue) for one in planned]


def _bars(planned: PlannedSet) -> list[Bar]:
    return [bar_of(one) for one in planned.lots]


def _card(one: Suggestion, catalogue: Catalogue) -> Card:
    return card_of(one, (one.sized, reason("{sure} sure by itself", sure=Chance(one.sure))), catalogue)


def bar_of(one: LotUse) -> Bar:
    """A lot as it is drawn: what each thing takes, what is kept back or on the needles, and the rest."""
    from matcher.drawing.bars import Bar, Stretch

    stretches = [
        *(Stretch("used", metres, number) for number, metres in one.used),
        Stretch("kept", one.reserve_m),
        Stretch("needles", one.claimed_m),
    ]
    stretches.append(Stretch("left", one.on_hand_m - sum(stretch.metres for stretch in stretches)))
    shown = tuple(stretch for stretch in stretches if stretch.metres >= SHOWN_M)
    return Bar(one.lot.name, one.lot.colour, one.lot.yarn.tex.mean, shown)


def _page_of(planned: PlannedSet, aim: str, cards: Iterable[Card], bars: Iterable[Bar], style: Style) -> Page:
    from matcher.drawing.bars import bars_scenes
    from matcher.drawing.page import Page

    say = style.say
    boxes = tuple(_boxes(planned, style))
    return Page(
        title=say(_TITLE),
        subtitle=" ".join(map(style.sentence, (sure_words(planned), how_good(planned, aim)))),
        things=tuple(_thing(one, card, style) for one, card in zip(planned, cards, strict=True)),
        pictures=tuple(("", scene) for scene in bars_scenes(tuple(bars), style)),
        tables=boxes,
        lists=((say(Term("Take care")), tuple(_cautions(planned, style))),),
    )


def _thing(one: Suggestion, card: Card, style: Style) -> PageThing:
    from matcher.drawing.page import PageThing

    gauge, put_in = one.found.variant.gauge, one.found.variant.put_in
    facts: list[tuple[Words, Words]] = [
        (Term("size"), one.sized),
        (Term("gauge"), reason("{gauge}", gauge=GaugeFigures(gauge.stitches_10cm, gauge.rows_10cm))),
        *([(Term("motif"), listed(in_motif(put_in), between="; "))] if put_in else []),
        *((Term(role.role), _takes(role)) for role in one.roles),
        (Term("sure"), reason("{sure}, by itself", sure=Chance(one.sure))),
        (Term("wash"), one.care),
    ]
    say = style.say
    name = Term(one.accessory)
    picture = card.picture and with_(card.picture, title=say(name), description="")
    return PageThing(
        say(reason("{number}  {accessory}", number=one.rank, accessory=name)),
        picture,
        tuple((say(label), say(words)) for label, words in facts),
        tuple(say(mind_words(words)) for words in one.warnings),
    )


def _takes(role: RoleYarn) -> Words:
    """What a role takes, and of which lots."""
    said = "{need} ±{sd} ({mass}) of {lots}"
    if role.brought:
        said = "{need} ±{sd}, yours to bring"
    elif role.strands > 1:
        said = "{need} ±{sd} ({mass}) of {lots}, {strands} strands held together"
    return reason(
        said,
        need=Length(role.need_m),
        sd=Length(role.need_sd_m),
        mass=Mass(role.need_g),
        lots=role.lots_said(_lot_name),
        strands=role.strands,
    )


def _lot_name(lot: Lot) -> Words:
    return reason("{lot} (colour guessed)", lot=lot.name) if lot.colour.guessed else lot.name


_LIKELY = reason(
    "these are the likely amounts: a thing may take more or less. How sure it all is counts on what stays free of each "
    "lot, so use that for nothing else before everything is knitted"
)


def _boxes(planned: PlannedSet, style: Style) -> Iterator[PageTable]:
    """What to take from each box, by the box's name; what lies nobody wrote where comes last."""
    from matcher.drawing.page import PageTable

    say = style.say
    things = {one.rank: reason("{name} ({number})", number=one.rank, name=Term(one.accessory)) for one in planned}
    lots = sorted(planned.lots, key=lambda one: (not one.lot.place, one.lot.place.casefold(), one.lot.name))
    kept = any(one.reserve_m >= SHOWN_M for one in lots)
    columns = tuple(map(Term, ("done", "lot", "wind off", "for", "stays there", *(["kept of it"] * kept))))
    for place, several in groupby(lots, key=lambda one: one.lot.place):
        rows = (row[: len(columns)] for one in several for row in _rows(one, things))
        heading = reason("Take from {place}", place=place) if place else reason("Take, from wherever it lies")
        last = place == lots[-1].lot.place
        yield PageTable(
            say(heading),
            tuple(map(say, columns)),
            tuple(tuple(map(say, row)) for row in rows),
            style.sentence(_LIKELY) if last else "",
        )


def _rows(one: LotUse, things: Mapping[int, Words]) -> Iterator[tuple[Words, ...]]:
    """A line for each thing that takes of a lot; the first names the lot, with what stays where it lies."""
    tex = one.lot.yarn.tex.mean
    stays = Amount(max(0.0, one.on_hand_m - one.claimed_m - one.used_m), tex)
    kept = reason("{amount}", amount=Amount(one.reserve_m, tex)) if one.reserve_m >= SHOWN_M else ""
    first = ("☐", _lot_name(one.lot)), (reason("{amount}", amount=stays), kept)
    for place, (number, metres) in enumerate(one.used):
        before, after = (("", ""), ("", "")) if place else first
        yield (*before, reason("{amount}", amount=Amount(metres, tex)), things[number], *after)


def _cautions(planned: PlannedSet, style: Style) -> Iterator[str]:
    """Each caution once, with the things that it holds for where it is not all of them."""
    every = dict.fromkeys(words for one in planned for words in one.cautions)
    for words in every:
        numbers = [str(one.rank) for one in planned if words in one.cautions]
        said = (
            words
            if len(numbers) == len(planned)
            else reason("{numbers}: {words}", numbers=listed(numbers), words=words)
        )
        yield style.say(said)
