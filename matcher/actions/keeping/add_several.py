"""Several lots typed at once, as a beginning: all of them come in, as one action, or none."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING

from matcher.actions.keeping.cells import Cells, tidy
from matcher.actions.keeping.checked import checked_lot
from matcher.actions.keeping.done import Done, free_name, opened
from matcher.actions.names import typed_name
from matcher.actions.place import Place
from matcher.errors import BadInput, BadRows, MatcherError
from matcher.materials.reading.names import fold
from matcher.reasons.quantities import Length
from matcher.reasons.reason import Action, Words, counted, listed, reason
from matcher.store.database.rows import Rows

if TYPE_CHECKING:
    from matcher.materials.lots import Lot


def add_several(rows: Sequence[Cells], *, bin: Place = None) -> Done:
    """Add a lot for each row in which something is typed; the store is begun when there is none yet.

    rows : column -> text, as for `add`; a name may be left out: then the colour gives it. Raises BadRows with what is
    wrong in each row, BadInput where nothing is typed; nothing is changed then.
    """
    wanted, lots, told, refused = _read(rows)
    if refused:
        raise BadRows(refused)
    given = {place: fold(cells["lot"]) for place, cells in wanted.items() if rows[place].get("lot", "").strip()}
    if not wanted:
        what = reason("nothing is typed yet")
        raise BadInput(what, Action("add"), reason("give a colour, a weight and a thickness for one lot at least"))
    with opened(bin, create=True) as store, store.action("add") as act:
        said: list[Words] = []
        for place, cells in wanted.items():
            try:
                name = free_name(store, cells["lot"] if place in given else _free(store, cells["lot"], given.values()))
            except BadInput as error:
                refused[place] = error
                continue
            act.insert("lots", {**cells, "lot": name, "weighed_on": act.today})
            length = Length(lots[place].length.mean)
            said.append(reason("{lot}: {mass}, about {length}", lot=name, mass=lots[place].weight, length=length))
        if refused:
            raise BadRows(refused)
        names = [one["lot"] for one in store.select("SELECT lot FROM lots ORDER BY rowid DESC LIMIT ?", len(wanted))]
        act.words = reason("add {lots}", lots=listed(reversed(names)))
    each = listed(said, between="; ")
    now = counted(len(names), "{n} lot is in the bin ({each}).", "{n} lots are in the bin ({each}).", each=each)
    return Done((now,), {"lots": names[::-1]}, tuple(dict.fromkeys(told)))


def _read(
    rows: Sequence[Cells],
) -> tuple[dict[int, dict[str, str]], dict[int, Lot], list[Words], dict[int, MatcherError]]:
    """The rows that hold something, each with its lot, what is guessed in them; or what is wrong with each."""
    wanted: dict[int, dict[str, str]] = {}
    lots: dict[int, Lot] = {}
    told: list[Words] = []
    refused: dict[int, MatcherError] = {}
    names: dict[str, int] = {}
    for place, row in enumerate(rows):
        try:
            cells = tidy(row)
            if not cells:
                continue
            given = cells.get("lot", "")
            if given:
                cells["lot"] = typed_name(given)
                if (other := names.setdefault(fold(cells["lot"]), place)) != place:
                    what = reason("the name is that of row {number} already", number=other + 1)
                    raise BadInput(what, "", reason("give another name"))
            lots[place] = checked_lot({**cells, "lot": given or "lot"}, told)
            wanted[place] = {**cells, "lot": given or _called(cells, lots[place])}
        except MatcherError as error:
            refused[place] = error
    return wanted, lots, told, refused


def _called(cells: Mapping[str, str], lot: Lot) -> str:
    """A name by its colour: her word, else what a colour of that code is called."""
    if lot.colour.guessed:
        return typed_name(cells["colour"])
    from matcher.materials.colours.families import colours_called
    from matcher.store.catalogue.catalogue import load_catalogue  # a code is seldom all that is known

    return " and ".join(colours_called(lot.colour, load_catalogue().families))


def _free(store: Rows, name: str, given: Collection[str]) -> str:
    """The name, or the first with a number that neither a lot nor another row has."""
    number, found = 1, name
    while fold(found) in given or store.select("SELECT 1 FROM lots WHERE folded = ?", fold(found)):
        number += 1
        found = f"{name} {number}"
    return found
