"""Begin an accessory: work out what each role takes, and claim that many metres of the lots named for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from matcher.actions.beginning.begin_set import begin_set
from matcher.actions.beginning.cast_on import InStore, cast_on
from matcher.actions.desk import Desk, desk_of
from matcher.actions.keeping.done import Done, opened
from matcher.actions.pattern.files import read_pattern
from matcher.actions.pattern.order import named_order, recipe_order, settled_already
from matcher.actions.place import Place, store_file
from matcher.actions.ranking.last_list import SUGGEST, last_list, number_meant
from matcher.actions.role_lots import named_strands
from matcher.actions.sets.in_file import read_set
from matcher.actions.sets.last_set import last_set
from matcher.errors import BadInput
from matcher.materials.lots import Bin
from matcher.reasons.reason import Field, Words, reason
from matcher.store.database.bin import bin_of_rows
from matcher.store.recipes import Recipe

_ANYWAY = Field("anyway")
_NAME_ANOTHER = reason("name another lot with it, or {anyway} sets aside what there is", anyway=_ANYWAY)
_OTHER_WAY = reason("choose one of the other ways, or {anyway} sets aside what there is", anyway=_ANYWAY)
_LIST_AGAIN = reason(
    "{suggest} makes another list, or {anyway} sets aside what there is", suggest=SUGGEST, anyway=_ANYWAY
)


def begin(
    accessory: str = "",
    lots: Sequence[str] = (),
    *,
    size: str | None = None,
    whom: str | None = None,
    swatch: str | None = None,
    pattern: Path | str | None = None,
    recipe: Recipe | None = None,
    planned: Path | str | None = None,
    name: str | None = None,
    anyway: bool = False,
    mending: str | None = None,
    bin: Place = None,
    catalog: Path | str | None = None,
) -> Done:
    """Put an accessory on the needles: its lots are claimed, so that nothing else is offered them.

    Parameters
    ----------
    accessory : its name or key; or a number of the last list of suggestions, which says size, gauge and lots itself.
    lots : one a role, "main=navy" or in the order of the roles; "navy + navy 2" one after the other,
        "fog & navy" held together, "2 x fog" doubled. They go before those of a suggestion or a pattern.
    whom : who it is for: their size or measures, and nothing on their skin that does not suit it.
    swatch : "22 st x 30 rows" in 10 cm; without it the gauge is the one usual for the first role's yarn.
    pattern : a file that `pattern` wrote, in place of an accessory. recipe : likewise, as `partner` gives it.
    planned : a file that `set` wrote, or its folder, or "" for the last set that was planned of this bin: all of its
        things are begun, or none; see `begin_set`.
    name : of this work, the accessory's if left out. anyway : claim what there is, also where it is too little
        or reserved.
    mending : which repairs to keep yarn for where a garment's own row leaves it open, one of `MENDING`.

    Raises NotFound and BadInput; nothing is claimed then.
    """
    if planned is not None:
        if accessory.strip() or recipe is not None:
            raise _named(reason("two things are named to begin"))
        given = {"lots": lots or None, "size": size, "for": whom, "swatch": swatch, "pattern": pattern, "as": name}
        settled_already(given)
        last = None if str(planned).strip() else last_set(store_file(bin))
        things = read_set(planned) if last is None else last.recipes
        mending = mending if last is None else mending or last.mending
        done = begin_set(things, anyway=anyway, mending=mending, bin=bin, catalog=catalog)
        return done if last is None else replace(done, notes=(last.words, *done.notes))
    number, otherwise = number_meant(accessory), _NAME_ANOTHER if recipe is None else _OTHER_WAY
    if pattern is not None:
        recipe = read_pattern(pattern)
    if bool(accessory.strip()) == (recipe is not None):
        raise _named(reason("two things are named to begin") if recipe else reason("nothing is named to begin"))
    told: list[Words] = []
    with opened(bin) as store, store.action("begin") as act:
        if number is not None:
            shown = last_list(store.path)
            recipe, mending = shown.recipe(number), mending or shown.mending
            otherwise = _LIST_AGAIN
        desk = desk_of(bin if isinstance(bin, Desk) else None, catalog, mending)
        whole = bin_of_rows(store, desk.catalogue) if number is not None or whom is not None or recipe else Bin(())
        if number is not None and not lots:
            told += shown.changed(whole, number)
        if recipe is not None:
            settled_already({"size": size, "for": whom, "swatch": swatch})
            order = recipe_order(recipe, whole, desk.catalogue)
        else:
            order = named_order(accessory, size, whom, swatch, whole, desk.catalogue, told)
        strands = named_strands(order.roles, order.entry.name, lots, InStore(store), order.known)
        begun = cast_on(act, desk, order, strands, name, anyway, otherwise)
        act.words = reason("begin {work}", work=begun.words)
    return Done(begun.said, begun.as_dict(), (*told, *begun.notes))


def _named(what: Words) -> BadInput:
    fields = {"pattern": Field("pattern"), "planned": Field("set")}
    named = "name an accessory, the number of a suggestion, a pattern ({pattern}) or a set ({planned})"
    return BadInput(what, "", reason(named, **fields))
