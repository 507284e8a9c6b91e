"""What she wishes of every command: shown, set and taken back."""

from __future__ import annotations

from collections.abc import Mapping

from matcher.actions.desk import desk_of
from matcher.actions.keeping.done import Done, opened
from matcher.actions.names import near_names, typed, unreadable
from matcher.actions.place import Place, names_store, store_file, store_of
from matcher.actions.whom.tastes import accessories_called
from matcher.actions.wished import lots_called
from matcher.errors import BadInput, field_of
from matcher.knitting.accessory import KINDS
from matcher.materials.reading.numerals import Unclear, Unreadable
from matcher.materials.wishes import WISHES, parse_wish, wishes_of
from matcher.reasons.reason import Action, Field, Reason, Term, Words, listed, reason
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.database.rows import Rows
from matcher.store.database.store import is_store

_SAID = {
    "units": "Units: {wanted}.",
    "never": "Never wanted: {wanted}.",
    "apart": "Never in one piece: {wanted}.",
    "least_contrast": "Least contrast: {wanted}.",
    "eyes": "Whose eyes count: {wanted}.",
    "mending": "Mending that yarn is kept for: {wanted}.",
}


def wishes(changes: Mapping[str, str] | None = None, *, bin: Place = None) -> Done:
    """Show what she wishes, or change it; every command that asks for the like goes by it unless it is told otherwise.

    changes : wish -> text, of `WISHES`; an empty text takes a wish back. The store is begun when there is none yet.

    Raises BadInput for a wish that cannot be read; nothing is changed then.
    """
    wanted = {wish: typed(text, _field(wish)) for wish, text in (changes or {}).items()}
    for wish, text in wanted.items():
        _check(wish, text)
    place = store_file(bin)
    if not wanted and not names_store(place):
        said = "{bin} is in sheets, which hold no wishes: they are kept in a store, and {intake} makes one of sheets."
        return Done((reason(said, bin=str(place), intake=Action("intake")),), {"store": None, "wishes": {}})
    if not wanted and not is_store(place):
        said = "You have no wishes yet: {store} will keep them, once you set one with {wishes}."
        how = Action("wishes", (Field("units", "imperial"),))
        return Done((reason(said, store=str(place), wishes=how),), {"store": str(place), "wishes": {}})
    with opened(bin, create=bool(wanted)) as store, store.action("wishes") as act:
        before = _kept(store)
        changed = {wish: text for wish, text in wanted.items() if text != before.get(wish, "")}
        for wish, text in changed.items():
            if not text:
                act.delete("wishes", wish)
            elif wish in before:
                act.update("wishes", wish, {"wanted": text})
            else:
                act.insert("wishes", {"wish": wish, "wanted": text})
        if changed:
            act.words = reason("wish {changes}", changes=listed(_noted(wish, text) for wish, text in changed.items()))
        now = _kept(store)
        notes = tuple(_unknown_yarns(now, bin)) if "apart" in changed else ()
    said_of = _every(now) if not wanted else tuple(_changed(wish, text) for wish, text in changed.items())
    return Done(said_of or (_UNCHANGED if wanted else _none(place),), {"store": str(place), "wishes": now}, notes)


_UNCHANGED = reason("That is your wish already; nothing was changed.")


def _none(place: object) -> Words:
    how = Action("wishes", (Field("units", "imperial"),))
    return reason("You have no wishes: {wishes} sets one, kept in {store}.", wishes=how, store=str(place))


def _kept(store: Rows) -> dict[str, str]:
    return {row["wish"]: row["wanted"] for row in store.rows("wishes")}


def _every(kept: Mapping[str, str]) -> tuple[Words, ...]:
    return tuple(reason(_SAID[wish], wanted=kept[wish]) for wish in WISHES if wish in kept)


def _changed(wish: str, text: str) -> Words:
    if text:
        return reason(_SAID[wish], wanted=text)
    return reason("{wish} is left open again.", wish=_field(wish))


def _noted(wish: str, text: str) -> Words:
    said = "{wish} {wanted}" if text else "no {wish}"
    return reason(said, wish=Term(wish.replace("_", " ")), wanted=text)


def _field(wish: str) -> Field:
    return Field(field_of(wish))


def _check(wish: str, text: str) -> None:
    """Refuse what cannot be read, and a kind that no accessory is of."""
    if not text:
        return
    try:
        read = parse_wish(wish, text)
    except Unreadable as fault:
        raise unreadable(fault, _field(wish)) from None
    except Unclear as fault:
        raise BadInput(fault.said, _field(wish)) from None
    if wish == "never":
        catalogue = load_catalogue()
        for word in read:
            if not any(accessories_called(word, catalogue)):
                names = [*KINDS, *(one.name for one in catalogue.accessories.values())]
                near = near_names(word, names)
                meant: Reason = reason("the kinds are {kinds}", kinds=listed(map(Term, KINDS)))
                if near:
                    meant = reason("did you mean {near}?", near=near[0])
                raise BadInput(reason('"{word}" isn\'t an accessory or a kind', word=word), _field(wish), meant)


def _unknown_yarns(kept: Mapping[str, str], bin: Place) -> list[Words]:
    """That a yarn of a wish is not in the bin, which may be a slip."""
    desk = desk_of(store_file(bin))
    words = dict.fromkeys(word for pair in wishes_of(kept).apart for word in pair)
    said = 'Nothing in the bin is called "{word}", and no lot has such a fibre: the wish waits until there is.'
    return [reason(said, word=word) for word in words if not lots_called(word, desk.bin.lots, desk.catalogue)]


def written_wishes(*, bin: Place = None) -> dict[str, str]:
    """Her wishes as she wrote them; none where there is no store. Changes nothing."""
    if store_of(bin) is None:
        return {}
    with opened(bin) as store, store.reading():
        return _kept(store)
