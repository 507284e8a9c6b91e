"""What many bins could become together, on screen: each lot with whose it is and where it lies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Console
from rich.text import Text

from matcher.actions.collection.gathered import LeftOut, good_rows_of
from matcher.actions.collection.result import Group, Nearly, Pooled, PooledSet, PooledThing
from matcher.actions.ranking.untried import none_found
from matcher.cli.lines import wrapped
from matcher.cli.screens.console import console, say
from matcher.cli.screens.screen import GUESSED
from matcher.cli.screens.sets import show_uses
from matcher.cli.screens.suggestions import at_length, how_sure
from matcher.reasons.quantities import Length, Share
from matcher.reasons.reason import Reason, Term, Words, counted, listed, reason
from matcher.reasons.style import Style

_FOR_WHOM = (
    "Sizes are adults' unless --size says another; nobody's likes or skin are looked at, nor eyes without --eyes; "
    "yarns that a member never lets meet stay apart."
)
_MOST_NAMED = 6  # files that are passed over or left out; a choice


def show_pool(found: Pooled, style: Style, *, full: bool = False) -> None:
    """The best at length, the others in short (full: all at length), then what else was asked."""
    screen = console()
    say(screen, style.sentence(_whole(found)))
    say(screen, _FOR_WHOM, 0, "dim")
    if not found.things:
        say(screen, style.say(none_found(bool(found.small), found.cut_short, found.sure_at_least)))
    for place, one in enumerate(found.things):
        if full or place == 0:
            at_length(one.suggestion, style, screen, brief=not full, kept=False)
        else:
            _in_short(one, style, screen)
    if found.small:
        _heading("Small things", screen)
        _all_in_short(found.small, style, screen)
    if found.nearly is not None:
        _heading("Nearly", screen)
        _nearly(found.nearly, style, screen)
    for title, groups in (("Each member", found.by_member), ("Each place", found.by_place)):
        if groups is not None:
            _heading(title, screen)
            for group in groups:
                _group(group, style, screen, near=found.nearly is not None)
    if found.planned is not None:
        _heading("A set that uses most", screen)
        _set(found.planned, found.lots, style, screen)
    if any(one.guessed for one in _all_things(found)):
        say(screen, style.sentence(GUESSED), 0, "dim")
    if found.left_out:
        members = style.say(_first_of([one.member for one in found.left_out]))
        they = "it" if len(found.left_out) == 1 else "they"
        say(screen, f"Left out, since {they} can't be read: {members}.")


def left_out(files: Sequence[LeftOut], style: Style) -> Iterator[Words]:
    """Which files are left out as which member, and why; those that lack the same together: they may be hundreds."""
    alike: dict[str, list[LeftOut]] = {}
    for one in files:
        alike.setdefault(style.say(listed(one.why, between="; ")), []).append(one)
    for why, several in alike.items():
        if len(several) == 1:
            one = several[0]
            yield reason("{file} is left out as {member}: {why}", file=one.file, member=one.member, why=why)
            continue
        named = [reason("{file} (as {member})", file=one.file, member=one.member) for one in several]
        yield reason("{n} files are left out, {files}: {why}", n=len(several), files=_first_of(named), why=why)
    yield from good_rows_of(files)


def passed_over(files: Sequence[str]) -> Words:
    """Which files are taken for no bins, and what to do where one is: nobody would miss whom it tells of."""
    bin_ = "save it as .csv, .xlsx or .ods, with an English heading each for the yarn, its colour and the grams left"
    one = "Passed over, since no list of yarn is found in it: {files}. If it is one, {bin}."
    many = "Passed over, since no list of yarn is found in them: {files}. If one is a list, {bin}."
    return counted(len(files), one, many, files=_first_of(files), bin=reason(bin_))


def counted_once(copies: Sequence[Sequence[str]]) -> Words:
    """Which files are there more than once."""
    groups: Words = listed([_first_of(files) for files in copies[:_MOST_NAMED]], between="; ")
    if len(copies) > _MOST_NAMED:
        groups = reason("{some}; and {n} more", some=groups, n=len(copies) - _MOST_NAMED)
    return reason("Counted once, since what is in them is the same to the letter: {files}.", files=groups)


def _first_of(names: Sequence[Reason | str]) -> Words:
    """Names in a row, of many the first few and how many more there are."""
    more = len(names) - _MOST_NAMED
    return reason("{some} and {n} more", some=listed(names[:_MOST_NAMED]), n=more) if more > 0 else listed(names, "and")


def _whole(found: Pooled) -> Words:
    """What is pooled: "365 lots of 9 members at 2 places, 39430 m in all"."""
    lots = counted(found.lots, "{n} lot", "{n} lots")
    members = counted(len(found.members), "{n} member", "{n} members")
    named = len([place for place in found.places if place])
    said = "{lots} of {members} at {places}, {metres} free" if named else "{lots} of {members}, {metres} free"
    places = counted(named, "{n} place", "{n} places")
    return reason(said, lots=lots, members=members, places=places, metres=Length(found.free_m))


def _all_things(found: Pooled) -> Iterator[PooledThing]:
    """Everything that is shown."""
    yield from found.numbered
    for group in (*(found.by_member or ()), *(found.by_place or ())):
        yield from group.things
        yield from (one.thing for one in group.nearly)
    yield from found.planned.things if found.planned is not None else ()


def _heading(words: str, screen: Console) -> None:
    screen.print()
    screen.print(Text(words, style="bold"))


def _all_in_short(things: Sequence[PooledThing], style: Style, screen: Console) -> None:
    for one in things:
        _in_short(one, style, screen)


def _in_short(one: PooledThing, style: Style, screen: Console, indent: int = 0) -> None:
    """What it is and how sure; from whose lots."""
    suggestion = one.suggestion
    called = f"{suggestion.rank:>2} {style.say(suggestion.called)}, {how_sure(suggestion.sure)}"
    say(screen, called, indent)
    say(screen, _from(one, style), indent + 3, "dim")


def _from(one: PooledThing, style: Style) -> str:
    """Whose lots it takes, and what of it is held together, since one strand would be too thin."""
    roles = one.suggestion.roles
    said = "{role} in {n} strands" if len(roles) > 1 else "in {n} strands"
    held = [reason(said, role=Term(role.role), n=role.strands) for role in roles if role.strands > 1]
    return f"from {style.say(one.sources)}{', ' if held else ''}{style.say(listed(held, 'and'))}"


def _nearly(several: Sequence[Nearly], style: Style, screen: Console, indent: int = 0) -> None:
    if not several:
        say(screen, "Nothing else comes close.", indent + 3)
    for one in several:
        suggestion = one.thing.suggestion
        lacks = style.say(listed(one.lacks, between="; "))
        for line in wrapped(
            f"{' ' * indent}{suggestion.rank:>2} {style.say(suggestion.called)}: {lacks}.", screen.width, hanging=2
        ):
            screen.print(Text(line))
        if one.thing.members:
            say(screen, _from(one.thing, style), indent + 3, "dim")
        for short in one.short:
            say(screen, style.sentence(short.said), indent + 3)


def _group(group: Group, style: Style, screen: Console, near: bool) -> None:
    """near : whether what is nearly possible was asked for."""
    if not group.rows:
        say(screen, style.say(reason("{name}: nothing free", name=_name(group))), 0, "bold")
        return
    lots = counted(group.rows, "{n} lot", "{n} lots")
    said = reason("{name}: {lots}, {metres} free", name=_name(group), lots=lots, metres=Length(group.free_m))
    say(screen, style.say(said), 0, "bold")
    if not group.things:
        none = "nothing can be made of it by itself"
        if group.cut_short:
            none = "not all was tried, and nothing was found that can be made of it by itself"
        say(screen, none, 3, "dim")
    for one in group.things:
        _in_short(one, style, screen, 1)
    if near:
        say(screen, "nearly:", 1)
        _nearly(group.nearly, style, screen, 1)


def _name(group: Group) -> Words:
    return group.name or Term("nowhere in particular")


def _set(planned: PooledSet, of: int, style: Style, screen: Console) -> None:
    """of : so many lots there are."""
    if not planned.things:
        say(screen, "Nothing can be made.", 2)
        return
    lots: Words = counted(planned.chosen_from, "{n} lot", "{n} lots")
    if planned.chosen_from < of:
        said = "the {n} of {all} lots among which it is chosen (those of the list, and the heaviest)"
        lots = reason(said, n=planned.chosen_from, all=of)
    things = counted(len(planned.things), "{n} thing", "{n} things")
    whole = reason(
        "{things} from {used} of the yarn of {lots}, by weight", things=things, used=Share(planned.used), lots=lots
    )
    if planned.most is not None:
        whole = reason("{said}; no set uses more than {most} of it", said=whole, most=Share(planned.most, 1))
    say(screen, f"{style.sentence(whole)[:-1]}; {how_sure(planned.sure)} that the yarn lasts for all.")
    for one in planned.things:
        _in_short(one, style, screen)
    show_uses(planned.lots, style, screen, kept=False)
