"""What is asked of the list of suggestions, as the address of a page says it: the same as the command's options."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import parse_qsl, urlencode

from starlette.requests import Request

from matcher.errors import BadInput
from matcher.reasons.reason import Field, reason
from matcher.web import figures

_SEVERAL = ("whom", "kind", "size", "lot")
_ONE = ("garment", "sure", "contrast", "eyes", "top")
_TICKED = ("colourwork", "single", "all")
_MOST = 40  # values of one kind; a choice
_LONGEST = 50  # suggestions that a page shows; a choice


@dataclass(frozen=True)
class Asked:
    """Fields by name, in their order, each with what was typed; empty ones are left out."""

    fields: tuple[tuple[str, str], ...] = ()

    @classmethod
    def of(cls, request: Request) -> Asked:
        """Out of the address."""
        return cls._known(request.query_params.multi_items())

    @classmethod
    def read(cls, query: str) -> Asked:
        """Out of what `query` wrote."""
        return cls._known(parse_qsl(query, max_num_fields=500))

    @classmethod
    def _known(cls, given: list[tuple[str, str]]) -> Asked:
        found: dict[tuple[str, str], None] = {}
        for name in (*_SEVERAL, *_ONE, *_TICKED):
            typed = [text.strip() for field, text in given if field == name and text.strip()]
            for text in typed[:_MOST] if name in _SEVERAL else typed[-1:]:
                found[(name, text)] = None
        return cls(tuple(found))

    @property
    def query(self) -> str:
        """As it stands in an address, "" for nothing asked."""
        return urlencode(self.fields)

    def at(self, path: str) -> str:
        """An address with it."""
        return f"{path}?{self.query}" if self.fields else path

    def several(self, name: str) -> tuple[str, ...]:
        """All values of a field."""
        return tuple(text for field, text in self.fields if field == name)

    def one(self, name: str) -> str:
        """The value of a field, "" for none."""
        return next(iter(self.several(name)), "")

    def options(self) -> Mapping[str, Any]:
        """As `suggest` takes it. Raises BadInput for a figure that is none."""
        return {
            **self.of_why(),
            "kind": self.several("kind"),
            "size": self.several("size"),
            "lot": self.several("lot"),
            "garment": self.one("garment") or None,
            "colourwork": bool(self.one("colourwork")),
        }

    def of_why(self) -> Mapping[str, Any]:
        """The part of it that `why` takes too."""
        return {
            "whom": self.several("whom"),
            "sure": figures.number(self.one("sure"), "sure"),
            "top": self._top(),
            "least_contrast": self.one("contrast") or None,
            "eyes": self.one("eyes") or None,
            "held_together": not self.one("single"),
            "varied": not self.one("all"),
        }

    def _top(self) -> int:
        text = self.one("top")
        if not text:
            return 10
        if not text.isdecimal() or len(text) > 9 or not 1 <= int(text) <= _LONGEST:
            what = reason('"{text}" isn\'t a number of suggestions', text=text)
            raise BadInput(what, Field("top"), reason("give 1 to {most}", most=_LONGEST))
        return int(text)
