"""Which panels show an accessory, and what is said below them."""

from __future__ import annotations

from dataclasses import replace

from matcher.drawing.laid.column import column
from matcher.drawing.laid.mitten import mittens
from matcher.drawing.laid.panel import Panel, Straight
from matcher.drawing.laid.pieces import bunting, earflaps, piece, strip
from matcher.drawing.laid.rows import FLAT
from matcher.drawing.laid.sock import is_sock, sock
from matcher.drawing.laid.yoke import yoke
from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted
from matcher.reasons.reason import Words, reason

_BETWEEN = 28.0  # mm between pieces that lie beside one another
_LONG = 5.0  # what is so many times as long as wide lies on its side


def panels_of(
    accessory: Accessory | None, fitted: Fitted, constants: FabricConstants
) -> tuple[list[Panel], list[Words]]:
    """Everything that is seen, and sentences of what is not. Without an accessory its kind and folds are not known."""
    kind = accessory.kind if accessory is not None else ""
    said: list[Words] = []
    pair = mittens(fitted, constants)
    if pair:
        return pair, said
    if fitted.pieces > 1:
        alike = "two alike; one is shown" if fitted.pieces == 2 else "{pieces} alike; one is shown"
        said.append(reason(alike, pieces=fitted.pieces))
    if is_sock(fitted):
        return sock(accessory, fitted, constants), said
    if kind == "yoke" and not fitted.extra:
        return yoke(fitted, constants), said
    whole = bunting(fitted, constants) or (earflaps(accessory, fitted, constants) if kind == "hat" else [])
    if whole:
        return whole, []
    flat = fitted.parts[0].shape in FLAT
    main = strip(kind, fitted, constants) if flat else column(accessory, fitted, constants)
    for part, pieces in fitted.extra:
        new = piece(fitted, part, constants)
        below = new.rows[-1].top > _LONG * max(row.width for row in new.rows)
        main.append(_below(main, new) if below else _beside(main, new))
        many = reason("{part}, {pieces} in all", part=part.part, pieces=pieces)
        named = part.part if pieces == fitted.pieces else many
        said.append(reason("below it: {part}" if below else "beside it: {part}", part=named))
    return main, said


def _beside(panels: list[Panel], new: Panel) -> Panel:
    """A panel to the right of others, on the same line."""
    right = max(x for panel in panels for x, _ in panel.corners())
    low = max(y for panel in panels for _, y in panel.corners())
    left = min(x for x, _ in new.corners())
    return replace(new, place=new.place.moved(right + _BETWEEN - left, low))


def _below(panels: list[Panel], new: Panel) -> Panel:
    """Something long and narrow, on its side below others."""
    turned = replace(new, place=Straight(quarters=1))
    left = min(x for panel in panels for x, _ in panel.corners())
    low = max(y for panel in panels for _, y in panel.corners())
    x, y = min(x for x, _ in turned.corners()), min(y for _, y in turned.corners())
    return replace(turned, place=turned.place.moved(left - x, low + _BETWEEN - y))
