"""The search answers each question once in a process, however many tests show the answer.

What it finds follows from the stock, the scope and the catalogue: questions in which these are alike to the last byte
have one answer. That it gives the same again is held where the search itself is tested, and in processes of their own.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from hashlib import blake2b
from io import BytesIO
from typing import Any

import pytest

_ANSWERS: dict[tuple[str, bytes], Any] = {}
_CATALOGUES: dict[int, tuple[Any, bytes]] = {}


class _Fields(pickle.Pickler):
    """Of a dataclass its fields alone: not what was worked out of them and kept beside."""

    def reducer_override(self, said: Any) -> Any:
        if is_dataclass(said) and not isinstance(said, type):
            return type(said), tuple(getattr(said, one.name) for one in fields(said))
        return NotImplemented


def _digest_of(catalogue: Any) -> bytes:
    if id(catalogue) not in _CATALOGUES:
        kept = BytesIO()
        _Fields(kept).dump(catalogue)
        _CATALOGUES[id(catalogue)] = catalogue, blake2b(kept.getvalue()).digest()
    return _CATALOGUES[id(catalogue)][1]


@contextmanager
def searched_once() -> Iterator[None]:
    """While this is open, `suggest` searches no question anew, nor `gap` what could be bought."""
    from matcher.actions.ranking import gap, suggest
    from matcher.actions.ranking.question import Laid, Question

    if Question.laid.__module__ == __name__:  # it is open already
        yield
        return
    lay = Question.laid
    purchases = gap.purchases

    def laid(question: Question, only: str = "") -> Laid:
        found = lay(question, only)
        asked = pickle.dumps((found.stock, found.scope)) + _digest_of(found.catalogue)
        last[0] = blake2b(asked).digest()
        object.__setattr__(found.searcher, "asked", last[0])
        return found

    last = [b""]

    def bought_once(ground: Any, most_g: float, progress: Any = None) -> Any:
        """`gap` lays its question just before it asks this."""
        key = (
            "purchases",
            blake2b(repr((last[0], most_g, ground.wanted, ground.called, ground.wishes)).encode()).digest(),
        )
        if key not in _ANSWERS:
            _ANSWERS[key] = purchases(ground, most_g, progress)
        return _ANSWERS[key]

    def once(search: Callable[..., Any]) -> Callable[..., Any]:
        def answer(searcher: Any, *more: Any) -> Any:
            key = search.__name__, searcher.asked
            if key not in _ANSWERS:
                _ANSWERS[key] = search(searcher, *more)
            return _ANSWERS[key]

        return answer

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Question, "laid", laid)
        patch.setattr(gap, "purchases", bought_once)
        for search in (suggest.search_scope, suggest.can_be_made, suggest.near_misses):
            patch.setattr(suggest, search.__name__, once(search))
        yield
