"""The search answers each question once in a run, however many tests show the answer.

What it finds follows from the stock, the scope and the catalogue: questions in which these are alike have one answer.
That it gives the same again is held where the search itself is tested, and in processes of their own. Answers lie in a
folder too, where all processes of a run find them.
"""

from __future__ import annotations

import os
import pickle
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from functools import cache
from hashlib import blake2b
from io import BytesIO
from operator import attrgetter
from pathlib import Path
from typing import Any

import pytest

from matcher.knitting.accessory import Accessory
from matcher.knitting.needs import RoleNeed
from matcher.matching.ranking.scope import Scope
from matcher.matching.variants import Variant
from matcher.materials.colours.words import ColourWords

_ANSWERS: dict[str, Any] = {}
_TOGETHER: dict[int, tuple[tuple[Variant, ...], str]] = {}
_MOST_TOGETHER = 1000


class _Fields(pickle.Pickler):
    """Of a dataclass its fields alone: not what was worked out of them and kept beside."""

    def reducer_override(self, said: Any) -> Any:
        kind = type(said)
        if kind in (Accessory, RoleNeed):  # all questions have the same
            return str, (_digest(said),)
        if kind is Scope:  # the whole of the catalogue is the same in most of them
            return Scope, (
                said.wishes,
                {key: _digest_of_all(several) for key, several in said.whole.items()},
                said.variants,
                said.parties,
            )
        if kind is ColourWords:
            return ColourWords, (said._known, said._modifiers)
        kept = _kept_of(kind)
        return NotImplemented if kept is None else (kind, kept(said))


@cache
def _kept_of(kind: type) -> Callable[[Any], tuple[Any, ...]] | None:
    """What is written of a dataclass; None for anything else."""
    if not is_dataclass(kind):
        return None
    names = [one.name for one in fields(kind)]
    if any("set[" in str(one.type) or "Set[" in str(one.type) for one in fields(kind)):
        return lambda said: tuple(_in_order(getattr(said, name)) for name in names)
    return attrgetter(*names) if len(names) > 1 else lambda said: tuple(getattr(said, name) for name in names)


def _in_order(said: Any) -> Any:
    """With sets in an order that is the same in every process."""
    if isinstance(said, set | frozenset):
        return sorted(said, key=repr)
    if isinstance(said, Mapping):
        return {name: _in_order(one) for name, one in said.items()}
    return tuple(map(_in_order, said)) if type(said) is tuple else said


def _digest(said: Any) -> str:
    """What tells an accessory or a catalogue from all others; kept beside its fields."""
    kept = vars(said)
    if "_told_apart" not in kept:
        kept["_told_apart"] = _shortened(_kept_of(type(said))(said))
    return kept["_told_apart"]


def _digest_of_all(several: tuple[Variant, ...]) -> str:
    """The same of variants together. They are held here as well, so that no others come to stand in their place."""
    if len(_TOGETHER) > _MOST_TOGETHER:
        _TOGETHER.clear()
    if id(several) not in _TOGETHER:
        _TOGETHER[id(several)] = several, _shortened(several)
    return _TOGETHER[id(several)][1]


def _shortened(said: Any) -> str:
    kept = BytesIO()
    _Fields(kept).dump(said)
    return blake2b(kept.getvalue(), digest_size=20).hexdigest()


def _answer(key: str, folder: Path, ask: Callable[[], Any]) -> Any:
    """What is known already, here or by another process of the run; else what is found now."""
    if key not in _ANSWERS:
        place = folder / key
        if place.exists():
            _ANSWERS[key] = pickle.loads(place.read_bytes())
        else:
            _ANSWERS[key] = found = ask()
            half = folder / f"{key}.{os.getpid()}"
            half.write_bytes(pickle.dumps(found))
            half.replace(place)
    return _ANSWERS[key]


@contextmanager
def searched_once(places: pytest.TempPathFactory) -> Iterator[None]:
    """While this is open, `suggest`, `gap`, `why` and `pool` ask for no list anew, nor `gap` for what could be bought.

    What is found lies where all processes of this run find it.
    """
    from matcher.actions.collection import asking, givers
    from matcher.actions.ranking import gap, question, suggest, ways_up

    if asking.searcher_of.__module__ == __name__:  # it is open already
        yield
        return
    own = places.getbasetemp()
    folder = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / "answers"
    folder.mkdir(exist_ok=True)
    ready, purchases = question.searcher_of, gap.purchases
    here = threading.local()

    def searcher_of(stock: Any, scope: Any, rules: Any) -> Any:
        searcher = ready(stock, scope, rules)
        here.last = asked = stock, scope, rules
        object.__setattr__(searcher, "asked", (asked, {}))
        return searcher

    def digest(asked: tuple[Any, Any, Any], scope: Any, known: dict[int, tuple[Any, str]]) -> str:
        """Asked several times of one question, and written once."""
        stock, _, rules = asked
        if id(scope) not in known:
            known[id(scope)] = scope, _shortened((stock, scope, _digest(rules)))
        return known[id(scope)][1]

    def bought_once(ground: Any, most_g: float, progress: Any = None) -> Any:
        """`gap` lays its question just before it asks this."""
        bought = ground.rules.purchase, ground.rules.fibres_to_buy
        asked = digest(here.last, here.last[1], {}), most_g, ground.wanted, ground.called, ground.wishes, bought
        key = "purchases-" + blake2b(repr(asked).encode(), digest_size=20).hexdigest()
        return _answer(key, folder, lambda: purchases(ground, most_g, progress))

    def once(search: Callable[..., Any]) -> Callable[..., Any]:
        def answer(searcher: Any, scope: Any, *more: Any) -> Any:
            if not hasattr(searcher, "asked"):  # of parts that are read in turn
                return search(searcher, scope, *more)
            asked, known = searcher.asked
            key = f"{search.__name__}-{digest(asked, scope, known)}"
            return _answer(key, folder, lambda: search(searcher, scope, *more))

        return answer

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(gap, "purchases", bought_once)
        for room in (question, asking, givers):
            patch.setattr(room, "searcher_of", searcher_of)
        for search in (suggest.search_stock, suggest.can_be_made, suggest.near_misses):
            for room in (suggest, gap, ways_up, asking, givers):
                if hasattr(room, search.__name__):
                    patch.setattr(room, search.__name__, once(search))
        yield
