"""What she types: text and new names as they are kept; known names found whatever their case, or the nearest told."""

from __future__ import annotations

from collections.abc import Iterable

from matcher.errors import BadInput, NotFound
from matcher.materials.reading.names import LONGEST_NAME, fold, readable, readable_name
from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Term, Words, listed, reason

_FEW = 8  # of so many names all are told where none is near


def near_names(name: str, names: Iterable[str]) -> tuple[str, ...]:
    """Names most like the one asked for: spelled alike, or with it inside."""
    import difflib  # names are seldom mistyped

    known, folded = list(dict.fromkeys(names)), fold(name)
    inside = [one for one in known if folded and folded in fold(one)]
    alike = difflib.get_close_matches(name, known, n=3, cutoff=0.5)
    return tuple(dict.fromkeys([*inside, *alike]))[:3]


def find(name: str, names: Iterable[str], what: Words) -> str:
    """The name as it is written in `names`, whatever its case and spaces; raises NotFound with the nearest ones, or all
    where they are few."""
    known = list(names)
    folded = {fold(one): one for one in known}
    if fold(name) in folded:
        return folded[fold(name)]
    near = near_names(name, known)
    todo = reason("name one of {names}", names=listed(known, "or")) if 0 < len(known) <= _FEW and not near else ""
    said = reason('there is no {what} "{name}"', what=Term(what) if isinstance(what, str) else what, name=name)
    raise NotFound(said, near=near, todo=todo)


def typed(text: str, where: Words = "") -> str:
    """Text that she typed, as it is kept; raises BadInput for signs that cannot be seen, and for an endless one."""
    try:
        kept = readable(text)
        if len(kept) > LONGEST_NAME:  # else no limit is near, and none need be loaded
            _not_endless(kept)
    except Unreadable as fault:
        raise unreadable(fault, where) from None
    return kept


def _not_endless(text: str) -> None:
    from matcher.store.catalogue.limits import load_limits

    longest = int(load_limits().longest_note)
    if len(text) > longest:
        raise Unreadable(text, reason("at most {n} characters", n=Number(longest)), reason("shorten it"))


def typed_name(name: str, what: str = "lot") -> str:
    """A name that she typed, as it is kept; raises BadInput for one that is empty, too long or cannot be seen."""
    from matcher.store.catalogue.limits import load_limits  # names are seldom new

    try:
        found = readable_name(name, int(load_limits().longest_name))
    except Unreadable as fault:
        raise unreadable(fault, reason("name")) from None
    if not found:
        raise BadInput(reason("a {what} needs a name", what=Term(what)), "", reason("give it one of its own"))
    return found


def unreadable(fault: Unreadable, where: Words) -> BadInput:
    """Text that cannot be read, as an error of the field it stands in."""
    what = reason('"{found}" isn\'t {expected}', found=fault.found, expected=fault.expected)
    return BadInput(what, where, fault.mend or reason("type it as in that example"))


def read_as(found: str, taken: Words, sure: bool) -> tuple[Words, ...]:
    """A remark on words that do not say plainly what they were taken for; none where nothing was made of them."""
    if not taken:
        return ()
    if sure:
        return (reason('"{found}" is read as {taken}.', found=found, taken=taken),)
    return (reason('Guessed from "{found}": {taken}.', found=found, taken=taken),)
