"""Colours seen in a photograph, written into lots: what a photograph shows is no guess any more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from matcher.actions.keeping.cells import cell_changed
from matcher.actions.keeping.done import Done, lot_row, opened
from matcher.actions.place import Place
from matcher.errors import BadInput
from matcher.materials.colours.colour import Colour, parse_colour
from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.reason import Field, Words, listed, reason
from matcher.store.catalogue.standards import load_standards

FIELD = Field("take", '"1=plum"')


def taken_asked(takes: Sequence[str], regions: int) -> tuple[tuple[int, str], ...]:
    """Which region goes into which lot, "1=plum" each; raises BadInput for what is neither, or a region not there."""
    found = []
    for text in takes:
        number, sign, lot = (part.strip() for part in text.partition("="))
        if not sign or not lot or not number.isdecimal():
            todo = reason("give the number of a yarn in the photograph and a lot: {take}", take=FIELD)
            raise BadInput(reason('found "{text}"', text=text), Field("take"), todo)
        if not 1 <= int(number) <= regions:
            what = reason("the photograph shows no yarn {number}", number=number)
            raise BadInput(what, Field("take"), reason("number of yarns in it: {n}", n=regions))
        found.append((int(number), lot))
    return tuple(found)


def take_colours(colours: Mapping[int, Colour], takes: Sequence[tuple[int, str]], bin: Place) -> Done:
    """Write colours into lots of a store, all of them as one action that can be undone.

    A word that stood there becomes the colour's name where it has none, so that it is not lost. Raises NotFound for a
    lot that is not there, BadInput for one that is named twice; nothing is changed then.
    """
    said: list[Words] = []
    values = []
    with opened(bin) as store, store.action("photo") as act:
        done: set[str] = set()
        for number, name in takes:
            row = lot_row(store, name)
            lot, before, after = row["lot"], row["colour"], colours[number].words()
            if lot in done:
                raise BadInput(reason("{lot} is given two colours", lot=lot), Field("take"), reason("give it one"))
            done.add(lot)
            cells = {"colour": after}
            if not row["colour_name"] and _word(before):
                cells["colour_name"] = before
            act.update("lots", lot, cells)
            said += [cell_changed(lot, column, row[column], text) for column, text in cells.items()]
            values.append({"region": number, "lot": lot, "before": before, "after": after})
        act.words = reason("take colours from a photograph for {lots}", lots=listed((lot for _, lot in takes), "and"))
    return Done(tuple(said), {"taken": values})


def _word(text: str) -> bool:
    """Whether a cell gives a colour by words."""
    try:
        return parse_colour(text, load_standards().colour_words).guessed
    except Unreadable:
        return False
