"""A page read as a browser without scripts reads it: its forms with what they would send, its ids, links and words."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = ("area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr")


@dataclass
class Form:
    """method: "get" or "post"; fields: what it would send if nothing more were typed or chosen; names: all fields."""

    method: str
    action: str
    fields: dict[str, str] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)
    """Every field's name with its kind: "hidden", "text", "checkbox", "select", "textarea" ..."""
    words: str = ""


@dataclass
class Markup:
    """What stands on a page."""

    forms: list[Form] = field(default_factory=list)
    ids: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    tags: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    words: str = ""

    def form(self, action: str, **fields: str) -> Form:
        """The form that sends to an address, and has these values in it already."""
        found = [one for one in self.forms if one.action == action and fields.items() <= one.fields.items()]
        assert found, f"no form sends to {action}: {sorted({one.action for one in self.forms})}"
        return found[0]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.read = Markup()
        self._form: Form | None = None
        self._select: tuple[str, bool] | None = None
        self._area = ""
        self._silent = 0
        self._heard: list[str] = []
        self._said: dict[int, list[str]] = {}

    def whole(self) -> Markup:
        """What was read; its words with single spaces."""
        self.read.words = " ".join("".join(self._heard).split())
        for place, form in enumerate(self.read.forms):
            form.words = " ".join("".join(self._said.get(place, ())).split())
        return self.read

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        had = {name: value or "" for name, value in attrs}
        self.read.tags.append((tag, had))
        if "id" in had:
            self.read.ids.append(had["id"])
        if tag in ("script", "style"):
            self._silent += 1
        elif tag == "a" and "href" in had:
            self.read.links.append(had["href"])
        elif tag == "form":
            self._form = Form(had.get("method", "get").lower(), had.get("action", ""))
            self.read.forms.append(self._form)
        elif tag in ("input", "select", "textarea", "button"):
            self._field(tag, had)
        elif tag == "option" and self._select and self._form is not None:
            name, first = self._select
            if "selected" in had or first:
                self._form.fields[name] = had.get("value", "")
            self._select = (name, False)

    def _field(self, tag: str, had: dict[str, str]) -> None:
        of = had.get("form")
        form = self._form if of is None else None
        name = had.get("name", "")
        if form is None or not name or "disabled" in had:
            return
        kind = had.get("type", "text" if tag == "input" else tag)
        form.names.setdefault(name, kind)
        if tag == "select":
            self._select = (name, True)
        elif tag == "textarea":
            self._area = name
            form.fields[name] = ""
        elif tag == "input" and kind in ("checkbox", "radio"):
            if "checked" in had:
                form.fields[name] = had.get("value", "on")
        elif tag == "input" and kind not in ("submit", "file", "image", "reset"):
            form.fields[name] = had.get("value", "")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = None
        elif tag == "select":
            self._select = None
        elif tag == "textarea":
            self._area = ""
        elif tag in ("script", "style") and self._silent:
            self._silent -= 1

    def handle_data(self, data: str) -> None:
        if self._silent:
            return
        if self._area and self._form is not None:
            self._form.fields[self._area] += data
        self._heard.append(data)
        if self._form is not None:
            self._said.setdefault(len(self.read.forms) - 1, []).append(data)


def read(html: str) -> Markup:
    """What stands on a page; its words with single spaces."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader.whole()
