"""The search answers each question once in a process, however many tests show the answer.

What it finds follows from the stock, the scope and the catalogue: questions in which these are alike to the last byte
have one answer. That it gives the same again is held where the search itself is tested, and in processes of their own.
"""

from __future__ import annotations

import pickle
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from functools import cache
from hashlib import blake2b
from io import BytesIO
from operator import attrgetter
from typing import Any

import pytest

_ANSWERS: dict[tuple[str, bytes], Any] = {}
_CATALOGUES: dict[int, tuple[Any, bytes]] = {}


class _Fields(pickle.Pickler):
    """Of a dataclass its fields alone: not what was worked out of them and kept beside."""

    def reducer_override(self, said: Any) -> Any:
        kept = _kept_of(type(said))
        return NotImplemented if kept is None else (type(said), kept(said))


@cache
def _kept_of(kind: type) -> Callable[[Any], tuple[Any, ...]] | None:
    """What is written of a dataclass; None for anything else."""
    names = [one.name for one in fields(kind)] if is_dataclass(kind) else []
    return attrgetter(*names) if len(names) > 1 else (lambda said: (getattr(said, names[0]),)) if names else None


def _written(said: Any) -> bytes:
    kept = BytesIO()
    _Fields(kept).dump(said)
    return kept.getvalue()


def _digest_of(catalogue: Any) -> bytes:
    if id(catalogue) not in _CATALOGUES:
        _CATALOGUES[id(catalogue)] = catalogue, blake2b(_written(catalogue)).digest()
    return _CATALOGUES[id(catalogue)][1]


@contextmanager
def searched_once() -> Iterator[None]:
    """While this is open, `suggest`, `gap` and `why` ask for no list anew, nor `gap` for what could be bought."""
    from matcher.actions.ranking import gap, suggest, ways_up
    from matcher.actions.ranking.question import Laid, Question

    if Question.laid.__module__ == __name__:  # it is open already
        yield
        return
    lay = Question.laid
    purchases = gap.purchases

    def laid(question: Question, only: str = "") -> Laid:
        here.last = found = lay(question, only)
        object.__setattr__(found.searcher, "asked", (found, {}))
        return found

    here = threading.local()

    def digest(searcher: Any, scope: Any) -> bytes:
        """Asked several times of one question, and written once."""
        found, known = searcher.asked
        if id(scope) not in known:
            whole = _written((found.stock, scope)) + _digest_of(found.catalogue)
            known[id(scope)] = scope, blake2b(whole).digest()
        return known[id(scope)][1]

    def bought_once(ground: Any, most_g: float, progress: Any = None) -> Any:
        """`gap` lays its question just before it asks this."""
        asked = digest(here.last.searcher, here.last.scope), most_g, ground.wanted, ground.called, ground.wishes
        key = "purchases", blake2b(repr(asked).encode()).digest()
        if key not in _ANSWERS:
            _ANSWERS[key] = purchases(ground, most_g, progress)
        return _ANSWERS[key]

    def once(search: Callable[..., Any]) -> Callable[..., Any]:
        def answer(searcher: Any, scope: Any, *more: Any) -> Any:
            key = search.__name__, digest(searcher, scope)
            if key not in _ANSWERS:
                _ANSWERS[key] = search(searcher, scope, *more)
            return _ANSWERS[key]

        return answer

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Question, "laid", laid)
        patch.setattr(gap, "purchases", bought_once)
        for search in (gap.search_scope, suggest.search_stock, suggest.can_be_made, suggest.near_misses):
            for room in (suggest, gap, ways_up):
                if hasattr(room, search.__name__):
                    patch.setattr(room, search.__name__, once(search))
        yield
