"""Sheets of paper that a scene fills, as a page of HTML to be printed at full size."""

from __future__ import annotations

from collections.abc import Sequence

from matcher.drawing.page import escape
from matcher.drawing.papers import paper_of
from matcher.drawing.scene import Scene, svg

_STYLE = """\
@page { size: %(paper)s; margin: 0; }
* { box-sizing: border-box; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
body { margin: 0; background: #fff; color-scheme: light; }
.page { width: %(width)smm; height: %(height)smm; overflow: hidden; break-after: page; }
.page:last-child { break-after: auto; }
svg { display: block; width: 100%%; height: 100%%; }
h1 { position: absolute; margin: 0; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%%); }
"""


def sheets_html(sheets: Sequence[Scene], paper: str, title: str) -> str:
    """Scenes in mm of a paper's size, each on a sheet of its own; everything stands in the one file.

    Raises BadInput for another paper.
    """
    on = paper_of(paper)
    width, height = on.size
    css = _STYLE % {"paper": on.name, "width": f"{width:g}", "height": f"{height:g}"}
    body = "\n".join(f'<div class="page">\n{svg(sheet, f"t{number}-")}</div>' for number, sheet in enumerate(sheets, 1))
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f"<title>{escape(title)}</title>\n<style>\n{css}</style>\n</head>\n<body>\n"
        f"<main>\n<h1>{escape(title)}</h1>\n{body}\n</main>\n</body>\n</html>\n"
    )
