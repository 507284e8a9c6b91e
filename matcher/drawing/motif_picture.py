"""A motif as it looks knitted, and as a chart to knit from."""

from __future__ import annotations

from collections.abc import Mapping

from matcher.drawing.chart_marks import LINE, all_coloured, bold_lines, ink_on, legend, numbers, symbol
from matcher.drawing.scene import Label, Scene, Shape, box
from matcher.drawing.stitches import Cell, Shown, code_of, row_of_stitches
from matcher.errors import BadInput
from matcher.knitting.motifs.motif import Motif
from matcher.materials.colours.colour import Colour
from matcher.reasons.reason import Words, reason
from matcher.reasons.style import PLAIN, Style

_MARGIN = 8.0  # mm of the fabric
_SIZE = 4.2  # of figures and words, mm of the fabric at a usual gauge
_MOST_STITCHES = 200_000


def motif_scene(
    motif: Motif,
    colours: Mapping[str, Colour] | None,
    stitches_10cm: float = 22,
    rows_10cm: float = 29,
    repeats: tuple[int, int] = (1, 1),
    numbers: bool = True,
    names: Mapping[str, str] | None = None,
    style: Style = PLAIN,
) -> Scene:
    """The motif as knitted, user units mm of the fabric, each stitch at its true width and height.

    colours: one for each role; None draws tints. repeats: how often it is shown across and up. numbers: rows from
    the bottom at the right, stitches from the right below. names: what stands behind each role in the list below;
    style: of the words of ours there.
    Raises BadInput for a role without a colour, a gauge or repeats that are not above 0, and a picture too large.
    """
    frame = _Frame(motif, stitches_10cm, rows_10cm, repeats, numbers)
    worn = all_coloured(motif.role_names, colours)
    shown = Shown(worn)
    ground: list[Shape] = []
    stitches: list[Shape] = []
    for row in range(frame.rows):
        cells = [frame.cell(row, column) for column in range(frame.columns)]
        codes = shown.row([motif.roles[frame.mark(row, column)] for column in range(frame.columns)])
        under, over = row_of_stitches(cells, codes)
        ground += under
        stitches += over
    return frame.finished(
        [*ground, *stitches], worn, names or {}, False, reason("Motif: {motif}", motif=motif.name), style
    )


def chart_scene(
    motif: Motif,
    colours: Mapping[str, Colour] | None,
    stitches_10cm: float = 22,
    rows_10cm: float = 29,
    names: Mapping[str, str] | None = None,
    style: Style = PLAIN,
) -> Scene:
    """The motif as a chart: a box a stitch, in its colour and with its role's symbol, so that it prints in grey too.

    Bold lines every ten stitches from the right and every ten rows from the bottom. The rest as `motif_scene`; a
    variegated yarn's boxes have its most frequent colour.
    """
    frame = _Frame(motif, stitches_10cm, rows_10cm, (1, 1), True)
    worn = all_coloured(motif.role_names, colours)
    of_role = {role: max(worn[role].stitches(), key=lambda one: one[1])[0] for role in motif.role_names}
    boxes: list[Shape] = []
    symbols: list[Shape] = []
    size = 0.74 * min(frame.width, frame.height)
    for row in range(frame.rows):
        for column in range(frame.columns):
            role = motif.roles[frame.mark(row, column)]
            cell, lab = frame.cell(row, column), of_role[role]
            x, y = cell.middle
            boxes.append(
                Shape(box(cell.x, cell.y, cell.width, cell.height), code_of(lab), LINE, 0.035 * cell.height, "stitch")
            )
            symbols += symbol(motif.role_names.index(role), x, y, size, ink_on(lab))
    lines = bold_lines(frame.columns, frame.rows, frame.width, frame.height, _MARGIN, _MARGIN)
    return frame.finished(
        [*boxes, *symbols, *lines], worn, names or {}, True, reason("Chart: {motif}", motif=motif.name), style
    )


class _Frame:
    """Where everything lies: the grid, the figures at its right and below it, the list of roles under it."""

    def __init__(
        self, motif: Motif, stitches_10cm: float, rows_10cm: float, repeats: tuple[int, int], figures: bool
    ) -> None:
        if not (stitches_10cm > 0 and rows_10cm > 0 and min(repeats) >= 1):
            what = reason("a picture needs a gauge and repeats above 0")
            raise BadInput(what, motif.name, reason("give stitches, rows and repeats"))
        self.motif = motif
        self.figures = figures
        self.width, self.height = 100 / stitches_10cm, 100 / rows_10cm
        self.columns, self.rows = motif.width * repeats[0], motif.height * repeats[1]
        if self.columns * self.rows > _MOST_STITCHES:
            raise BadInput(
                reason(
                    "{stitches} stitches by {rows} rows are too many to draw", stitches=self.columns, rows=self.rows
                ),
                motif.name,
                reason("take fewer repeats; at most {most} stitches are shown at once", most=_MOST_STITCHES),
            )
        # Figures fit beside a row and grow with a large grid, which is shown smaller.
        self.size = max(0.95 * self.height, min(_SIZE, self.height * 1.25), 0.016 * self.columns * self.width)

    def mark(self, row: int, column: int) -> str:
        """The character of the grid, the row counted from the bottom and the column from the left."""
        return self.motif.grid[row % self.motif.height][column % self.motif.width]

    def cell(self, row: int, column: int) -> Cell:
        top = _MARGIN + (self.rows - 1 - row) * self.height
        return Cell(_MARGIN + column * self.width, top, self.width, self.height)

    def finished(
        self,
        shapes: list[Shape],
        colours: Mapping[str, Colour],
        names: Mapping[str, str],
        symbols: bool,
        title: Words,
        style: Style,
    ) -> Scene:
        bottom = _MARGIN + self.rows * self.height
        labels: tuple[Label, ...] = ()
        beside = 0.0
        if self.figures:
            labels = numbers(self.columns, self.rows, self.width, self.height, _MARGIN, _MARGIN, self.size)
            bottom += 1.6 * self.size
            beside = (0.5 + 0.6 * len(str(self.rows))) * self.size
        top = bottom + 0.9 * self.size
        patches, words, wide, high = legend(
            self.motif.role_names, colours, names, _MARGIN, top, self.size * 1.1, symbols, style
        )
        return Scene(
            2 * _MARGIN + max(self.columns * self.width + beside, wide),
            top + high + 0.6 * _MARGIN,
            (*shapes, *patches),
            (*labels, *words),
            style.say(title),
            style.say(
                reason(
                    "{stitches} stitches by {rows} rows, read from the bottom row up and from right to left.",
                    stitches=self.columns,
                    rows=self.rows,
                )
            ),
        )
