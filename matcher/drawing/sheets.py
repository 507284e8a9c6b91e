"""Sheets of paper that a scene fills, as a page of HTML to be printed at full size."""

from __future__ import annotations

from collections.abc import Sequence

from matcher.drawing.page import escape
from matcher.drawing.scene import Scene, svg
from matcher.errors import BadInput
from matcher.reasons.reason import Field, listed, reason

PAPERS = {"a4": ("A4", 210.0, 297.0), "letter": ("letter", 215.9, 279.4)}
_STYLE = """\
@page { size: %(paper)s; margin: 0; }
* { box-sizing: border-box; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
body { margin: 0; background: #fff; color-scheme: light; }
.page { width: %(width)smm; height: %(height)smm; overflow: hidden; break-after: page; }
.page:last-child { break-after: auto; }
svg { display: block; width: 100%%; height: 100%%; }
"""


def size_of(paper: str) -> tuple[float, float]:
    """Width and height [mm] of "a4" or "letter". Raises BadInput for another paper."""
    if paper not in PAPERS:
        what = reason('"{paper}" is no paper this tool prints on', paper=paper)
        raise BadInput(what, Field("paper"), reason("give {papers}", papers=listed(PAPERS, "or")))
    _, width, height = PAPERS[paper]
    return width, height


def sheets_html(sheets: Sequence[Scene], paper: str, title: str) -> str:
    """Scenes in mm of a paper's size, each on a sheet of its own; everything stands in the one file.

    Raises BadInput for another paper.
    """
    width, height = size_of(paper)
    css = _STYLE % {"paper": PAPERS[paper][0], "width": f"{width:g}", "height": f"{height:g}"}
    body = "\n".join(f'<div class="page">\n{svg(sheet, f"t{number}-")}</div>' for number, sheet in enumerate(sheets, 1))
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f"<title>{escape(title)}</title>\n<style>\n{css}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )
