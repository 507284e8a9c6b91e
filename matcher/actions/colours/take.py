"""Colours seen in a photograph, written into lots: what a photograph shows is no guess any more."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from matcher.actions.keeping.cells import cell_changed
from matcher.actions.keeping.done import Done, lot_row, opened
from matcher.actions.place import Place
from matcher.errors import BadInput
from matcher.materials.colours.apart import seen_apart
from matcher.materials.colours.colour import Colour, parse_colour
from matcher.materials.reading.numerals import Unreadable
from matcher.materials.rules import ContrastRules
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Action, Field, Words, listed, reason
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


def take_colours(
    colours: Mapping[int, Colour], takes: Sequence[tuple[int, str]], bin: Place, rules: ContrastRules
) -> Done:
    """Write colours into lots of a store, all of them as one action that can be undone.

    A word that stood there becomes the colour's name where it has none, so that it is not lost; a colour that stood
    there and is another to every eye is asked about. Raises NotFound for a lot that is not there, BadInput for one that
    is named twice; nothing is changed then.
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
            stood = _colour(before)
            if not row["colour_name"] and stood is not None and stood.guessed:
                cells["colour_name"] = before
            act.update("lots", lot, cells)
            said += [cell_changed(lot, column, row[column], text) for column, text in cells.items()]
            if stood is not None:
                said += _far_off(lot, before, stood, colours[number], rules)
            values.append({"region": number, "lot": lot, "before": before, "after": after})
        act.words = reason("take colours from a photograph for {lots}", lots=listed((lot for _, lot in takes), "and"))
    return Done(tuple(said), {"taken": values})


def _colour(text: str) -> Colour | None:
    """What a cell says; None where it says nothing that can be read."""
    try:
        return parse_colour(text, load_standards().colour_words)
    except Unreadable:
        return None


def _far_off(lot: str, before: str, stood: Colour, seen: Colour, rules: ContrastRules) -> Iterator[Words]:
    """Whether that is the yarn at all, where the two colours would tell a motif's lots apart."""
    steps = float(seen_apart(seen, [stood], whole=True)[0])
    if steps >= rules.readable_delta_e:
        yield reason(
            "Is that {lot}? Its colour was {before}, {steps} visible steps from what is written now; if it is another "
            "yarn, run {undo}.",
            lot=lot,
            before=before,
            steps=Number(steps, 0, exact=True),
            undo=Action("undo"),
        )
