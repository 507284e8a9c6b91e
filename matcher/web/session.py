"""What belongs to one browser: a token that its changes bring along, messages for its next page, how things are said.

Sessions live in memory and end with the server or the browser; how things are said is kept in a cookie of its own.
"""

from __future__ import annotations

import secrets
import threading
import time
from collections import OrderedDict
from dataclasses import dataclass, field
from typing import cast, get_args

from matcher.reasons.style import Style, Units
from matcher.web.words import page_style

COOKIE = "matcher-session"
SAID = "matcher-said"
_MOST, _IDLE_S = 200, 12 * 3600.0  # sessions that are kept, and for how long unused; both choices
THEMES = ("auto", "light", "dark")
DECIMALS = {"point": ".", "comma": ","}
TRADE = ("american", "british")


@dataclass(frozen=True)
class HowSaid:
    """How one browser is spoken to; anything unknown is the usual."""

    units: Units = "metric"
    decimal: str = "point"
    trade: str = "american"
    theme: str = "auto"

    @classmethod
    def read(cls, cookie: str) -> HowSaid:
        """From a cookie, such as "mixed.comma.british.dark"."""
        given = (*cookie.split("."), "", "", "", "")[:4]
        units, decimal, trade, theme = given
        return cls(
            cast(Units, units) if units in get_args(Units) else "metric",
            decimal if decimal in DECIMALS else "point",
            trade if trade in TRADE else "american",
            theme if theme in THEMES else "auto",
        )

    def cookie(self) -> str:
        """As `read` reads it."""
        return f"{self.units}.{self.decimal}.{self.trade}.{self.theme}"

    def style(self) -> Style:
        """The words of the page in this manner."""
        return page_style(self.units, DECIMALS[self.decimal], british=self.trade == "british")


@dataclass
class Session:
    """One browser. demo: it looks at the demo, though there is a bin. inside: it gave the pass phrase."""

    name: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    token: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    messages: list[tuple[str, str]] = field(default_factory=list)
    demo: bool = False
    inside: bool = False
    typed: tuple[str, dict[str, str]] = ("", {})
    """The page and the fields of a form that was refused, so that nothing has to be typed twice."""
    kept: dict[str, object] = field(default_factory=dict)
    """What a view of several pages keeps between them, such as a workbook that is being taken in."""
    used: float = field(default_factory=time.monotonic)

    def tell(self, kind: str, said: str) -> None:
        """Say something on the next page. kind: "done", "short" (done, but yarn may run out), "note" or "wrong"."""
        self.messages.append((kind, said))
        del self.messages[:-20]

    def told(self) -> list[tuple[str, str]]:
        """What is to be said now; said once."""
        said, self.messages = self.messages, []
        return said


class Sessions:
    """All browsers of this server; the longest unused goes when there are too many, and first of those outside."""

    def __init__(self) -> None:
        self._by_name: OrderedDict[str, Session] = OrderedDict()
        self._lock = threading.Lock()

    def find(self, name: str | None) -> Session | None:
        """The session of a cookie; None for one that nobody gave out or that lay unused too long."""
        with self._lock:
            found = self._by_name.get(name or "")
            if found is None or time.monotonic() - found.used > _IDLE_S:
                return None
            found.used = time.monotonic()
            self._by_name.move_to_end(found.name)
            return found

    def begin(self) -> Session:
        """A new one."""
        made = Session()
        with self._lock:
            self._by_name[made.name] = made
            while len(self._by_name) > _MOST:
                outside = (name for name, one in self._by_name.items() if not one.inside and one is not made)
                del self._by_name[next(outside, next(iter(self._by_name)))]
        return made

    def end(self, session: Session) -> None:
        """It is known no more."""
        with self._lock:
            self._by_name.pop(session.name, None)
