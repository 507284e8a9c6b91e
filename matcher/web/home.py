"""The door of the home network: a pass phrase that is shown once, few tries, and what may be seen before it is given.

Only the phrase's hash is kept (argon2id), in memory, and it ends with the server. On this machine itself there is no
door: whoever sits here could start the page anyway.
"""

from __future__ import annotations

import ipaddress
import re
import secrets
import socket
import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from starlette.types import Scope

from matcher.errors import BadInput
from matcher.reasons.reason import Field, reason
from matcher.web.session import Session

_WORDS = 5  # of some 250 each: 2^39 phrases, of which the waits below let nobody try more than a few thousand a day
_FREE_TRIES = 10  # of all addresses together, before all of them wait
_LONGEST_S, _LONGEST_OF_ALL_S = 900.0, 60.0  # waits, choices
_ADDRESSES = 500  # whose tries are counted, a choice
_OUTSIDE = ("/door",)


@dataclass
class _Tries:
    failed: int = 0
    until: float = 0.0


class Door:
    """Lets sessions in that brought the phrase. now: seconds that only rise."""

    def __init__(self, phrase: str, now: Callable[[], float] = time.monotonic) -> None:
        from argon2 import PasswordHasher

        self._hasher = PasswordHasher()
        self._hash = self._hasher.hash(folded(phrase))
        self._now, self._lock = now, threading.Lock()
        self._tries: OrderedDict[str, _Tries] = OrderedDict()
        self._all = _Tries()

    def __call__(self, scope: Scope, session: Session) -> bool:
        """Whether this request may go on; from outside only to the door itself and to what it looks like."""
        if _here(scope):
            session.inside = True
        if session.inside:
            return True
        scope["state"]["outside"] = True
        return scope["path"] in _OUTSIDE or scope["path"].startswith("/static/")

    def wait_s(self, address: str) -> float:
        """For how long this address may not try, seconds."""
        with self._lock:
            return self._wait_s(address)

    def right(self, given: str, address: str) -> bool:
        """Whether it is the phrase; whoever must wait is not even listened to. One is looked at at a time."""
        from argon2.exceptions import VerificationError

        with self._lock:
            if self._wait_s(address) > 0:
                return False
            try:
                self._hasher.verify(self._hash, folded(given))
            except VerificationError:
                self._failed(address)
                return False
            self._tries.pop(address, None)
            self._all.failed //= 2
            return True

    def _wait_s(self, address: str) -> float:
        own = self._tries.get(address)
        return max(0.0, self._all.until - self._now(), own.until - self._now() if own else 0.0)

    def _failed(self, address: str) -> None:
        own = self._tries.setdefault(address, _Tries())
        self._tries.move_to_end(address)
        while len(self._tries) > _ADDRESSES:
            self._tries.popitem(last=False)
        own.failed += 1
        own.until = self._now() + min(_LONGEST_S, 2.0 ** min(own.failed - 1, 20))
        self._all.failed += 1
        if self._all.failed >= _FREE_TRIES:
            self._all.until = self._now() + min(_LONGEST_OF_ALL_S, 2.0 ** min(self._all.failed - _FREE_TRIES, 20))


def _here(scope: Scope) -> bool:
    """Whether it came to an address of this machine that no other can reach."""
    address, _ = scope.get("server") or ("", None)
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False


def folded(phrase: str) -> str:
    """A phrase as it is compared: its words in small letters, whatever stands between them."""
    return " ".join(re.findall(r"[^\W\d_]+", phrase[:400].casefold()))


def new_phrase() -> str:
    """Words that nobody can guess, to be read from one screen and typed on another."""
    return " ".join(secrets.choice(words()) for _ in range(_WORDS))


@cache
def words() -> tuple[str, ...]:
    """The words that phrases are made of."""
    return tuple(Path(__file__).with_name("phrase_words.txt").read_text("utf-8").split())


def home_address() -> str:
    """The address of this machine on the home network. Nothing is sent to find it.

    Raises BadInput where it is on none, and where its address could be reached from all over the world.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as tried:
        try:
            tried.connect(("192.0.2.1", 9))  # asks only which way it would go; an address of RFC 5737
            found = str(tried.getsockname()[0])
        except OSError:
            found = "127.0.0.1"
    address = ipaddress.ip_address(found)
    if address.is_loopback or address.is_unspecified:
        todo = reason("connect it, or leave {home} out", home=Field("home"))
        raise BadInput(reason("this machine is on no network"), Field("home"), todo)
    if not address.is_private:
        what = reason("the address {address} is no home network's", address=found)
        raise BadInput(what, Field("home"), reason("others than your household could reach it"))
    return found
