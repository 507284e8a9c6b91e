"""Days as people write them: "2026-11-25", "25 Nov 2026", "Nov 25, 2026", "25.11.2026"."""

from __future__ import annotations

import re

_FORMS = ("%d %B %Y", "%d %b %Y", "%B %d %Y", "%b %d %Y")
_FIGURES = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})")


def read_day(text: str) -> str:
    """A day such as 2026-11-25, or "" where none can be read.

    Of figures with strokes nobody knows whether the month comes first: they are read where only one way makes a day.
    """
    from datetime import date, datetime

    plain = " ".join(re.sub(r"(?<=\d)(?:st|nd|rd|th)\b|[,]", " ", text.strip()).split())
    try:
        return date.fromisoformat(plain[:10]).isoformat()
    except ValueError:
        pass
    for form in _FORMS:
        try:
            return datetime.strptime(plain, form).date().isoformat()
        except ValueError:
            continue
    figures = _FIGURES.fullmatch(plain)
    if not figures:
        return ""
    ways = set()
    for day, month in ((figures[1], figures[2]), (figures[2], figures[1])):
        try:
            ways.add(date(int(figures[3]), int(month), int(day)).isoformat())
        except ValueError:
            continue
    if "." in text and len(ways) == 2:  # with points the day comes first
        return date(int(figures[3]), int(figures[2]), int(figures[1])).isoformat()
    return ways.pop() if len(ways) == 1 else ""
