"""A page to print: pictures, chart, tables and sentences on one HTML page that needs nothing else."""

from __future__ import annotations

import html
from collections.abc import Mapping
from dataclasses import dataclass

from matcher.drawing.scene import FONTS, INK, Scene, svg
from matcher.errors import BadInput
from matcher.reasons.reason import Field, listed, reason
from matcher.reasons.style import PLAIN, Style
from matcher.reasons.visible import visible

PAPERS: Mapping[str, str] = {"a4": "A4", "letter": "letter"}
_WIDE = 1.8  # a picture so many times as wide as high takes the whole width of the page

_CHART_MM = 1.3  # mm on paper, at most, for one mm of the fabric


@dataclass(frozen=True)
class PageTable:
    """A table: each row has one cell for each column (else ValueError); the note stands below it."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"{self.heading}: found {len(row)} cells, expected {len(self.columns)}: {row}")


@dataclass(frozen=True)
class Page:
    """What one accessory needs on paper. pictures: caption and scene; lists: heading and sentences."""

    title: str
    subtitle: str
    pictures: tuple[tuple[str, Scene], ...] = ()
    chart: Scene | None = None
    tables: tuple[PageTable, ...] = ()
    lists: tuple[tuple[str, tuple[str, ...]], ...] = ()


# Fills of an SVG print by themselves; the stripes of tables are asked for. The chart is never larger than a page.
_LOOKS = """\
@page { size: %(paper)s; margin: 14mm 15mm 16mm; }
* { box-sizing: border-box; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
body { margin: 0 auto; max-width: 180mm; padding: 6mm 0; color: %(ink)s; background: #fff; color-scheme: light;
  font: 10.5pt/1.45 %(fonts)s; overflow-wrap: break-word; }
@media screen and (max-width: 190mm) { body { padding: 6mm; } }
@media print { body { padding: 0; max-width: none; } }
h1 { margin: 0; font-size: 20pt; line-height: 1.2; font-weight: 600; }
.under { margin: 1mm 0 6mm; color: #555; font-size: 11pt; }
h2 { margin: 7mm 0 2mm; font-size: 13pt; font-weight: 600; break-after: avoid; }
.pictures { display: flex; flex-wrap: wrap; gap: 4mm; justify-content: center; align-items: flex-end; }
figure { margin: 0; flex: 1 1 70mm; max-width: 125mm; break-inside: avoid; text-align: center; }
figure.wide { flex-basis: 100%%; max-width: 100%%; }
svg { display: block; width: 100%%; height: auto; max-height: 105mm; }
figcaption { margin-top: 1mm; color: #555; font-size: 9.5pt; }
.chart { break-inside: avoid; }
.chart svg { max-height: 200mm; }
table { width: 100%%; border-collapse: collapse; font-variant-numeric: tabular-nums; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
th, td { padding: 1.1mm 3mm 1.1mm 0; text-align: left; vertical-align: top; border-bottom: 0.2mm solid #d5d5d5; }
th { font-weight: 600; border-bottom-color: #777; }
th.number, td.number { text-align: right; }
td.number, td:first-child { white-space: nowrap; }
.note { margin: 1.5mm 0 0; color: #555; font-size: 9.5pt; }
ul { margin: 0; padding-left: 5mm; }
li { margin: 0.8mm 0; break-inside: avoid; }
"""


def page_html(page: Page, paper: str, style: Style = PLAIN) -> str:
    """The page as HTML for paper "a4" or "letter"; pictures and style stand in it, and nothing is fetched.

    No row of a table and no picture is cut by the end of a page. style: of the words that are not in the page itself.
    Raises BadInput for another paper.
    """
    if paper not in PAPERS:
        what = reason('"{paper}" isn\'t a paper this tool prints on', paper=paper)
        raise BadInput(what, Field("paper"), reason("take {papers}", papers=listed(PAPERS, "or")))
    looks = _LOOKS % {"paper": PAPERS[paper], "ink": INK, "fonts": FONTS}
    parts = [f"<h1>{escape(page.title)}</h1>"]
    if page.subtitle:
        parts.append(f'<p class="under">{escape(page.subtitle)}</p>')
    if page.pictures:
        figures = "\n".join(
            _figure(caption, scene, f"p{number}-") for number, (caption, scene) in enumerate(page.pictures, 1)
        )
        parts.append(f'<div class="pictures">\n{figures}\n</div>')
    if page.chart is not None:
        # A small motif is not blown up to the whole page: a box of the chart comes out a little over life size.
        most = f"max-width: {_CHART_MM * page.chart.width:.0f}mm"
        heading = escape(style.say(reason("Chart")))
        parts.append(
            f'<section class="chart">\n<h2>{heading}</h2>\n<div style="{most}">\n{svg(page.chart)}</div>\n</section>'
        )
    parts += [_table(table) for table in page.tables]
    parts += [_list(heading, sentences) for heading, sentences in page.lists if sentences]
    body = "\n".join(parts)
    language = escape(style.language.info().get("language") or "en")
    return (
        f'<!DOCTYPE html>\n<html lang="{language}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(page.title)}</title>\n<style>\n{looks}</style>\n</head>\n"
        f"<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


def _figure(caption: str, scene: Scene, names: str) -> str:
    wide = ' class="wide"' if scene.width >= _WIDE * scene.height else ""
    said = f"<figcaption>{escape(caption)}</figcaption>\n" if caption else ""
    return f"<figure{wide}>\n{svg(scene, names)}{said}</figure>"


def _table(table: PageTable) -> str:
    """A column of figures alone stands to the right."""
    of_figures = [
        bool(table.rows) and all(_begins_with_figure(row[place]) for row in table.rows)
        for place in range(len(table.columns))
    ]

    def cells(tag: str, row: tuple[str, ...]) -> str:
        opened = (f'<{tag} class="number">' if figures else f"<{tag}>" for figures in of_figures)
        return "".join(f"{start}{escape(cell)}</{tag}>" for start, cell in zip(opened, row, strict=True))

    head = f"<thead>\n<tr>{cells('th', table.columns)}</tr>\n</thead>"
    body = "\n".join(f"<tr>{cells('td', row)}</tr>" for row in table.rows)
    note = f'\n<p class="note">{escape(table.note)}</p>' if table.note else ""
    grid = f"<table>\n{head}\n<tbody>\n{body}\n</tbody>\n</table>"
    return f"<section>\n<h2>{escape(table.heading)}</h2>\n{grid}{note}\n</section>"


def _begins_with_figure(cell: str) -> bool:
    return cell.lstrip("-–−±<>~ ")[:1].isdigit()


def _list(heading: str, sentences: tuple[str, ...]) -> str:
    items = "\n".join(f"<li>{escape(sentence)}</li>" for sentence in sentences)
    return f"<section>\n<h2>{escape(heading)}</h2>\n<ul>\n{items}\n</ul>\n</section>"


def escape(text: str) -> str:
    """Text as it stands in a page: nothing in it is obeyed."""
    return html.escape(visible(text))
