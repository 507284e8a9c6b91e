"""A set put together thing by thing, and made better by exchanges: quick, always sure, seldom the best."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np

from matcher.matching.sets.column import Column
from matcher.matching.sets.selection import Selection

# Of so many things one more is left out at a time until they are sure.
_AT_ONCE = 60


def filled(start: Selection, order: Iterable[Column], stop: Callable[[], bool]) -> Selection:
    """A set with all that can still be added, in this order, where it is worth something."""
    whole = Selection(start.rules, start.columns)
    for new in order:
        if stop():
            break
        if whole.has_room(new) and whole.gain(new) > 0 and whole.stays_sure(new):
            whole.add(new)
    return whole


def made_sure(start: Selection) -> Selection:
    """A set without the things that make it less sure than asked, those first that spare most doubt for their worth."""
    whole = start
    while len(whole) and not whole.is_sure:
        doubt = np.log(max(whole.sure, 1e-12))
        spared = [np.log(max(whole.sure_without(place), 1e-12)) - doubt for place in range(len(whole))]
        rates = [one / max(whole.loss(place), 1e-9) for place, one in enumerate(spared)]
        dearest = np.argsort(-np.array(rates), kind="stable")[: 1 + len(whole) // _AT_ONCE]
        whole = Selection(whole.rules, (one for place, one in enumerate(whole.columns) if place not in dearest))
    return whole


def exchanged(start: Selection, order: Sequence[Column], stop: Callable[[], bool]) -> Selection:
    """A set in which no one thing can be exchanged for a better one of these, as far as there is time."""
    whole, better = start, True
    while better:
        better = False
        for place in range(len(whole)):
            rest = whole.without(place)
            at_least = whole.total - rest.total + 1e-12
            for new in order:
                if stop():
                    return whole
                if rest.has_room(new) and rest.gain(new) > at_least and rest.stays_sure(new):
                    rest.add(new)
                    whole, better = rest, True
                    break
    return whole
