"""Lists on screen: names and places are never cut, they take a second line instead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from rich.console import Console
from rich.text import Text

from matcher.actions.looking.lines import GarmentLine, LotLine, PersonLine, WorkLine
from matcher.actions.looking.listing import Listing
from matcher.cli.screens import console as show
from matcher.cli.screens.screen import GUESSED
from matcher.cli.screens.table import Cell, show_table
from matcher.materials.people import ORDINARY
from matcher.reasons.quantities import Length, Mass
from matcher.reasons.reason import Action, Term, Words, counted, listed, reason
from matcher.reasons.style import Style


def show_listing(found: Listing, style: Style) -> None:
    """Print on stdout: how many, then a line each."""
    screen = show.console()
    lots = [one for one in found.lines if isinstance(one, LotLine)]
    garments = [one for one in found.lines if isinstance(one, GarmentLine)]
    people = [one for one in found.lines if isinstance(one, PersonLine)]
    works = [one for one in found.lines if isinstance(one, WorkLine)]
    show.say(screen, style.sentence(_heading(found, lots, style)))
    if lots:
        for place, of_place in _by_place(lots) if found.by == "place" else [("", lots)]:
            if found.by == "place":
                show.say(screen, place or style.say(reason("no place written down")), style="bold")
            _lots(screen, of_place, style, with_place=found.by != "place")
        if any(line.lot.colour.guessed for line in lots):
            show.say(screen, style.sentence(GUESSED))
        for note in _about(lots):
            show.say(screen, style.say(note))
    elif garments:
        _garments(screen, garments, style)
    elif people:
        _people(screen, people, style)
    elif works:
        _works(screen, works, style)


def _about(lots: Sequence[LotLine]) -> Iterator[Words]:
    """What ~ means, where it stands."""
    judged = any(line.lot.mass_sd_g for line in lots)
    if any(line.lot.yarn.tex_from == "class" for line in lots):
        said = "~ by the weight class alone: weigh {length} of it to know better."
        if judged:  # then a length may have it for another cause
            said = "~ before a length alone: by its weight class; weigh {length} of it to know better."
        yield reason(said, length=Length(20.0))
    if judged:
        yield reason("~ before a weight, and so its length: not weighed, but read from your words.")


def _by_place(lots: Sequence[LotLine]) -> Iterator[tuple[str, list[LotLine]]]:
    for place, lines in groupby(lots, key=lambda one: one.lot.place):
        yield place, list(lines)


def _heading(found: Listing, lots: Sequence[LotLine], style: Style) -> Words:
    n = len(found.lines)
    if not n and found.of:
        return {
            "lots": reason("none of your lots is like that"),
            "garments": reason("no garment has a lot like that"),
            "people": reason("nobody wears a garment with a lot like that"),
            "works": reason("nothing on the needles uses a lot like that"),
        }[found.what]
    number: Words = {
        "lots": counted(n, "{n} lot", "{n} lots"),
        "garments": counted(n, "{n} garment", "{n} garments"),
        "people": counted(n, "{n} person to knit for", "{n} people to knit for"),
        "works": counted(n, "{n} piece on the needles, or done", "{n} pieces on the needles, or done"),
    }[found.what]
    if not n:
        nobody = reason("nobody to knit for is written down yet; {person} does it", person=Action("person"))
        none: dict[str, Words] = {"works": reason("nothing has been put on the needles yet"), "people": nobody}
        return none.get(found.what, number)
    if n < found.of:
        number = reason("{number} of {of}", number=number, of=found.of)
    if not lots:
        return number
    return reason(
        "{number}: {mass}, about {length}; {free} of it free",
        number=number,
        mass=Mass(sum(one.lot.mass_g for one in lots)),
        length=Length(sum(one.lot.length.mean for one in lots)),
        free=Length(sum(one.free_m for one in lots)),
    )


def _lots(screen: Console, lots: Sequence[LotLine], style: Style, with_place: bool) -> None:
    rows: list[list[Cell]] = []
    for line in lots:
        lot = line.lot
        judged = "~" if lot.mass_sd_g else ""
        guessed = "~" if lot.yarn.tex_from == "class" else judged
        row: list[Cell] = [
            Text.assemble(show.chip(lot.colour, screen), lot.name),
            f"{style.say(listed(map(Term, line.colours)))}{'?' if lot.colour.guessed else ''}",
            str(lot.yarn.weight_class),
            f"{judged}{style.say(Mass(lot.mass_g))}",
            f"{guessed}{style.say(Length(lot.length.mean))}",
            style.say(Length(line.free_m)),
        ]
        rows.append([*row, lot.place] if with_place else row)
    headings = ["lot", "colour", "class", "weighs", "about", "free", *(["place"] if with_place else [])]
    show_table(screen, headings, rows, right=(2, 3, 4, 5))


def _garments(screen: Console, garments: Sequence[GarmentLine], style: Style) -> None:
    rows = [
        [
            line.garment.name,
            f"{line.garment.kind}, {line.garment.status}" if line.garment.kind else line.garment.status,
            str(len(line.lots)),
            style.say(Length(line.kept_m)) if line.kept_m > 0 else "",
            style.say(Mass(line.kept_g)) if line.kept_m > 0 else "",
            line.garment.wearer,
        ]
        for line in garments
    ]
    show_table(screen, ("garment", "", "lots", "kept", "", "wearer"), rows, right=(2, 3, 4))


def _people(screen: Console, people: Sequence[PersonLine], style: Style) -> None:
    rows = [
        [
            line.person.name,
            style.say(Term(line.person.size)) if line.person.size else "",
            style.say(listed(map(Term, line.person.unsuited))),
            style.say(Term(line.person.eyes)) if line.person.eyes != ORDINARY else "",
            "; ".join(line.person.likes),
            "; ".join(line.wears),
        ]
        for line in people
    ]
    show_table(screen, ("person", "size", "not on the skin", "eyes", "likes", "wears"), rows)


def _works(screen: Console, works: Sequence[WorkLine], style: Style) -> None:
    rows = [
        [
            line.name,
            style.say(Term(line.size)),
            style.say(_state(line)),
            style.say(listed((_part(part.lot, part.metres, part.grams) for part in line.parts), between="; ")),
        ]
        for line in works
    ]
    show_table(screen, ("piece", "size", "", "yarn"), rows)


def _state(line: WorkLine) -> Words:
    if line.state == "begun":
        return reason("begun {day}", day=line.begun_on)
    return reason("{state} {day}", state=Term(line.state), day=line.ended_on)


def _part(lot: str, metres: float, grams: float) -> Words:
    return reason("{lot} {length}, {mass}", lot=lot, length=Length(metres), mass=Mass(grams))
