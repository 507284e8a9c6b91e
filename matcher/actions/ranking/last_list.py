"""The last list of a bin: what its numbers mean, and whether the bin has changed since."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import Desk
from matcher.actions.uncollected import uncollected
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.bodies import Sizes
from matcher.knitting.motifs.motif import Motif
from matcher.materials.lots import Bin, Lot
from matcher.reasons.quantities import Length, Mass
from matcher.reasons.reason import Action, Words, counted, listed, reason
from matcher.store.last_lists import keep_list, kept_list
from matcher.store.places import own_folder
from matcher.store.recipes import Body, Recipe, recipe_of

if TYPE_CHECKING:  # it brings the search, which begin need not load
    from matcher.actions.ranking.suggestion import Suggestion

SUGGEST = Action("suggest")
_VERSION = 1


@dataclass(frozen=True)
class LastList:
    """What she was shown. made_at: day and time; mark: of the whole bin; lots: what each weighed [g] and how much of it
    was set aside [m]; mending: which repairs yarn was kept for."""

    made_at: str
    mark: str
    mending: str
    lots: Mapping[str, tuple[float, float]]
    recipes: Mapping[int, Recipe]

    def recipe(self, number: int) -> Recipe:
        """What a number of the list means. Raises BadInput for one that it does not have."""
        if number in self.recipes:
            return self.recipes[number]
        few = counted(len(self.recipes), "the last list has only number 1", "the last list goes from 1 to {n}")
        todo = few if self.recipes else reason("the last list was empty: {suggest} makes another", suggest=SUGGEST)
        raise BadInput(reason("there is no suggestion {number}", number=number), "", todo)

    def changed(self, bin: Bin, number: int) -> tuple[Words, ...]:
        """How the bin has changed since, as far as it touches a suggestion; nothing where it is as it was.

        Raises BadInput where a lot of the suggestion is no longer there.
        """
        there = {lot.name: lot for lot in bin.lots}
        lots = self.recipe(number).lots
        gone = [lot for lot in lots if lot not in there]
        if gone:
            one = "the bin has changed since that list: {lots}, which suggestion {number} takes, isn't there any more"
            many = "the bin has changed since that list: {lots}, which suggestion {number} takes, aren't there any more"
            what = counted(len(gone), one, many, lots=listed(gone, "and"), number=number)
            raise BadInput(what, bin.source, reason("{suggest} makes another list", suggest=SUGGEST))
        if mark_of(bin) == self.mark:
            return ()
        how = [words for lot in lots for words in self._how(there[lot])]
        if not how:
            said = (
                "The bin has changed since that list ({when}), but the yarn for suggestion {number} is still as it was."
            )
            return (reason(said, when=self.made_at, number=number),)
        said = "The bin has changed since that list ({when}): {how}."
        return (reason(said, when=self.made_at, how=listed(how, between="; ")),)

    def _how(self, lot: Lot) -> Iterable[Words]:
        mass_g, claimed_m = self.lots.get(lot.name, (lot.mass_g, lot.claimed_m))
        if abs(lot.mass_g - mass_g) > 0.005:
            yield reason("{lot} weighs {now}, was {then}", lot=lot.name, now=Mass(lot.mass_g), then=Mass(mass_g))
        if abs(lot.claimed_m - claimed_m) > 0.005:
            said = "{now} of {lot} are set aside, were {then}"
            yield reason(said, lot=lot.name, now=Length(lot.claimed_m), then=Length(claimed_m))


def keep_last(shown: Iterable[Suggestion], desk: Desk, sizes: Sizes) -> tuple[Words, ...]:
    """Keep what she is shown, by its numbers; returns what to tell her where that can't be done.

    sizes : with the bodies of those that it is for.
    """
    if desk.place is None:
        return ()
    recipes = {one.rank: recipe_of_suggestion(one, desk, sizes) for one in shown}
    theirs = {lot: None for one in recipes.values() for lot in one.lots}
    with uncollected():
        mark = mark_of(desk.bin)
    kept = {
        "version": _VERSION,
        "made_at": f"{datetime.now():%Y-%m-%d %H:%M}",
        "bin": str(desk.place),
        "mark": mark,
        "mending": desk.mending,
        "lots": {lot.name: [lot.mass_g, lot.claimed_m] for lot in desk.bin.lots if lot.name in theirs},
        "suggestions": [{"number": number, **one.as_dict()} for number, one in recipes.items()],
    }
    try:
        keep_list(desk.place, json.dumps(kept, ensure_ascii=False, separators=(",", ":")))
    except (BadInput, OSError):
        said = "This list can't be remembered, so its numbers mean nothing to {begin}: {folder} can't be written to."
        return (not_remembered(said, begin=Action("begin")),)
    return ()


def not_remembered(said: str, **values: Words) -> Words:
    """The sentence with her own folder in it, which can't be written to."""
    try:
        return reason(said, folder=str(own_folder()), **values)
    except BadInput:
        return reason(said, folder="~", **values)


def number_meant(text: str) -> int | None:
    """The number of a suggestion that she types, None for anything else."""
    found = text.strip()
    return int(found) if found.isdecimal() and len(found) < 7 else None


def last_list(place: Path) -> LastList:
    """The last list of a bin. Raises BadInput where none was made, or it can no longer be read."""
    with suppress(AttributeError, KeyError, TypeError, ValueError, RecursionError):  # by another version, or damaged
        if (told := json.loads(kept_list(place)))["version"] == _VERSION:
            return _told(told)
    raise BadInput(
        reason("no list of this bin has been made yet"), str(place), reason("{suggest} makes one", suggest=SUGGEST)
    )


def _told(told: dict[str, Any]) -> LastList:
    lots = {str(lot): (float(mass_g), float(claimed_m)) for lot, (mass_g, claimed_m) in told["lots"].items()}
    recipes = {int(one["number"]): recipe_of(one) for one in told["suggestions"]}
    return LastList(str(told["made_at"]), str(told["mark"]), str(told["mending"]), lots, recipes)


def recipe_of_suggestion(one: Suggestion, desk: Desk, sizes: Sizes) -> Recipe:
    """What a suggestion is made from. sizes : with the bodies of those that it is for."""
    variant = one.found.variant
    put_in = variant.put_in
    return Recipe(
        variant.accessory.key,
        variant.size,
        variant.gauge,
        {role.role: role.held for role in one.roles if not role.brought},
        one.people,
        body_in(variant.size, desk.catalogue.sizes, sizes),
        own_motifs(variant.accessory, desk.catalogue.motifs) if put_in is None else (put_in.motif,),
        None if put_in is None else put_in.cast_on,
    )


def body_in(size: str, known: Sizes, sizes: Sizes) -> Body | None:
    """The body that a size of a table stands for; None where it is one of the catalogue's."""
    return None if size in known.table else Body(sizes.table[size], sizes.wearer(size))


def own_motifs(entry: Accessory, motifs: Mapping[str, Motif]) -> tuple[Motif, ...]:
    """The motifs that an accessory is knitted in."""
    return tuple(motifs[key] for key in dict.fromkeys(zone.motif for zone in entry.zones if zone.motif))


def mark_of(bin: Bin) -> str:
    """A mark of all that a list follows from in a bin: another one means that something has changed."""
    held = (
        [
            (
                *(lot.name, lot.garment, lot.role, lot.yarn.name, f"{lot.yarn.tex.mean:.4g}", lot.yarn.wash),
                *(lot.colour_name, lot.colour.parts, lot.dye_lot, lot.pieces, lot.reserve_m),
                *(f"{lot.mass_g:.2f}", f"{lot.claimed_m:.2f}"),
            )
            for lot in bin.lots
        ],
        [
            (
                *(one.name, one.kind, one.status, one.wearer, one.chest_cm, one.mending),
                [plan.words for plan in one.alterations],
            )
            for _, one in sorted(bin.garments.items())
        ],
        sorted((name, one.advice) for name, one in bin.decisions.items()),
        [
            (*(one.name, one.size, sorted(one.measures.items()), one.unsuited, one.eyes), one.likes, one.dislikes)
            for _, one in sorted(bin.people.items())
        ],
    )
    return sha256(repr(held).encode("utf-8", "replace")).hexdigest()[:16]
