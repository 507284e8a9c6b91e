"""A page to print: pictures, chart, tables and sentences on one HTML page that needs nothing else."""

from __future__ import annotations

import html
from dataclasses import dataclass

from matcher.drawing.papers import paper_of
from matcher.drawing.scene import FONTS, INK, Scene, svg
from matcher.reasons.reason import counted
from matcher.reasons.style import PLAIN, Style
from matcher.reasons.visible import visible

_WIDE = 1.8  # a picture so many times as wide as high takes the whole width of the page

# mm on paper, at most, for one mm of the fabric: of a chart alone, and of those that stand on the sheet before steps.
_CHART_MM, _FIRST_SHEET_MM = 1.3, 0.85


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
class PageThing:
    """One of several things on a page: a small picture, facts beside it, notes below them."""

    heading: str
    picture: Scene | None
    facts: tuple[tuple[str, str], ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class PageSteps:
    """What is done one after the other, line by line; `piece` where a piece of its own begins, with its name."""

    heading: str
    lines: tuple[str, ...]
    piece: str = ""


@dataclass(frozen=True)
class Page:
    """What is needed on paper. facts: label and words, beside the pictures; things: before all else; pictures and
    charts: caption and scene; steps: on a sheet of their own; lists: heading and sentences."""

    title: str
    subtitle: str
    pictures: tuple[tuple[str, Scene], ...] = ()
    charts: tuple[tuple[str, Scene], ...] = ()
    tables: tuple[PageTable, ...] = ()
    lists: tuple[tuple[str, tuple[str, ...]], ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    steps: tuple[PageSteps, ...] = ()
    things: tuple[PageThing, ...] = ()


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
.beside { display: flex; flex-wrap: wrap; gap: 4mm 8mm; align-items: flex-start; }
.beside > * { flex: 1 1 70mm; }
.beside svg { max-height: 88mm; }
dl { margin: 0; break-inside: avoid; display: grid; grid-template-columns: max-content 1fr; gap: 1mm 4mm; }
dt { color: #555; }
dd { margin: 0; }
.thing { display: flex; gap: 6mm; margin: 0 0 4mm; break-inside: avoid; font-size: 9.5pt; line-height: 1.3; }
.thing > :first-child { flex: 0 0 42mm; }
.thing svg { max-height: 38mm; }
.thing h2 { margin: 0 0 1mm; font-size: 12pt; }
.thing dl { gap: 0.4mm 4mm; }
.thing .note { margin: 1mm 0 0; }
.charts { display: flex; flex-wrap: wrap; gap: 4mm 10mm; align-items: flex-end; }
.chart { break-inside: avoid; }
figure.chart { flex: 0 1 auto; min-width: 48mm; max-width: 100%%; text-align: left; }
.chart div { max-width: 100%%; }
.chart figcaption { width: 0; min-width: 100%%; }
.chart svg { max-height: 200mm; }
.steps { columns: 80mm; column-gap: 8mm; margin-top: 7mm; font-size: 9.5pt; line-height: 1.38; }
.steps h2 { column-span: all; margin-top: 4mm; }
.steps h3 { margin: 2.6mm 0 0.8mm; font-size: 10.5pt; font-weight: 600; break-after: avoid; }
.steps p { margin: 0.6mm 0 0.6mm 4mm; text-indent: -4mm; break-inside: avoid; orphans: 2; widows: 2; }
@media print { .steps { break-before: page; margin-top: 0; } }
table { width: 100%%; border-collapse: collapse; font-variant-numeric: tabular-nums; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
th, td { padding: 1.1mm 3mm 1.1mm 0; text-align: left; vertical-align: top; border-bottom: 0.2mm solid #d5d5d5; }
th { font-weight: 600; border-bottom-color: #777; }
th.number, td.number { text-align: right; }
td.number, td:first-child { white-space: nowrap; }
.note { margin: 1.5mm 0 0; color: #555; font-size: 9.5pt; }
ul { margin: 0; padding-left: 5mm; font-size: 9.5pt; line-height: 1.38; }
li { margin: 0.8mm 0; break-inside: avoid; }
li:nth-last-child(-n+3):not(:last-child) { break-after: avoid; }
"""


def page_html(page: Page, paper: str, style: Style = PLAIN) -> str:
    """The page as HTML for paper "a4" or "letter"; pictures and style stand in it, and nothing is fetched.

    No row of a table and no picture is cut by the end of a page, and no last item of a list stands on one alone.
    style: of the words that are not in the page itself.
    Raises BadInput for another paper.
    """
    looks = _LOOKS % {"paper": paper_of(paper).name, "ink": INK, "fonts": FONTS}
    parts = [f"<h1>{escape(page.title)}</h1>"]
    if page.subtitle:
        parts.append(f'<p class="under">{escape(page.subtitle)}</p>')
    parts += [_thing(thing, f"i{number}-") for number, thing in enumerate(page.things, 1)]
    pictures = "".join(
        _figure(caption, scene, f"p{number}-") for number, (caption, scene) in enumerate(page.pictures, 1)
    )
    if pictures:
        pictures = f'<div class="pictures">\n{pictures}</div>'
    facts = _facts(page.facts) if page.facts else ""
    beside = len(page.pictures) == 1 and facts
    parts += [f'<div class="beside">\n{pictures}\n{facts}\n</div>'] if beside else [pictures, facts]
    parts += [_table(table) for table in page.tables]
    if page.charts:
        heading = escape(style.say(counted(len(page.charts), "Chart", "Charts")))
        scale = _FIRST_SHEET_MM if page.steps else _CHART_MM
        charts = "".join(_chart(*chart, scale, f"c{number}-") for number, chart in enumerate(page.charts, 1))
        parts.append(f'<section>\n<h2>{heading}</h2>\n<div class="charts">\n{charts}</div>\n</section>')
    if page.steps:
        parts.append(f'<section class="steps">\n{"".join(map(_steps, page.steps))}</section>')
    parts += [_list(heading, sentences) for heading, sentences in page.lists if sentences]
    body = "\n".join(filter(None, parts))
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
    return f"<figure{wide}>\n{svg(scene, names)}{said}</figure>\n"


def _chart(caption: str, scene: Scene, scale: float, names: str) -> str:
    """A small motif is not blown up to the whole page: a box of the chart comes out about life size."""
    said = f"<figcaption>{escape(caption)}</figcaption>\n" if caption else ""
    return f'<figure class="chart" style="width: {scale * scene.width:.0f}mm">\n{svg(scene, names)}{said}</figure>\n'


def _facts(facts: tuple[tuple[str, str], ...]) -> str:
    lines = "\n".join(f"<dt>{escape(label)}</dt><dd>{escape(words)}</dd>" for label, words in facts)
    return f"<dl>\n{lines}\n</dl>"


def _thing(thing: PageThing, names: str) -> str:
    picture = svg(thing.picture, names) if thing.picture is not None else ""
    notes = "".join(f'\n<p class="note">{escape(note)}</p>' for note in thing.notes)
    words = f"<h2>{escape(thing.heading)}</h2>\n{_facts(thing.facts)}{notes}"
    return f'<section class="thing">\n<div>{picture}</div>\n<div>\n{words}\n</div>\n</section>'


def _steps(steps: PageSteps) -> str:
    piece = f"<h2>{escape(steps.piece)}</h2>\n" if steps.piece else ""
    heading = f"<h3>{escape(steps.heading)}</h3>\n" if steps.heading else ""
    return piece + heading + "".join(f"<p>{escape(line)}</p>\n" for line in steps.lines)


def _table(table: PageTable) -> str:
    """A column of figures alone, whatever is empty in it, stands to the right."""
    filled = [[row[place] for row in table.rows if row[place]] for place in range(len(table.columns))]
    of_figures = [bool(cells) and all(map(_begins_with_figure, cells)) for cells in filled]

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
