"""A motif: a grid of stitches by role, and what can be counted on it."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from matcher.errors import CatalogueError
from matcher.knitting.motifs.grid import both, longest_of_all, touching
from matcher.materials.reading.names import LONGEST_NAME, readable
from matcher.materials.reading.numerals import Unreadable, shorten
from matcher.reasons.reason import Term, reason

# Stitches and rows at most (both choices): an entry of the catalogue, and a grid of the knitter's own, which may be
# the chart of a whole yoke.
WIDEST, TALLEST = 64, 128
OWN_WIDEST, OWN_TALLEST = 400, 400


BOTTOM_UP, TOP_DOWN = "bottom to top", "top to bottom"


@dataclass(frozen=True)
class Motif:
    """A repeat of a stranded chart. `grid[0]` is the bottom row; one character a stitch.

    All counts are for one repeat, worked in the round and stacked: the right edge meets the left one, the
    top row meets the bottom row of the next repeat.
    """

    key: str
    name: str
    grid: tuple[str, ...]
    roles: Mapping[str, str] = field(hash=False)  # character -> role
    source: str = "own"
    how_obtained: str = "choice"
    licence: str = ""

    @property
    def width(self) -> int:
        """Stitches in a repeat."""
        return len(self.grid[0])

    @property
    def height(self) -> int:
        """Rows in a repeat."""
        return len(self.grid)

    @cached_property
    def size(self) -> int:
        """Stitches in the whole repeat, all rows."""
        return self.width * self.height

    @cached_property
    def role_names(self) -> tuple[str, ...]:
        """Roles that the motif uses, in the order its file names them."""
        return tuple(dict.fromkeys(self.roles.values()))

    @cached_property
    def stitches(self) -> dict[str, int]:
        """Stitches of each role."""
        counted = Counter(self.roles[mark] for row in self.grid for mark in row)
        return {role: counted[role] for role in self.role_names}

    @cached_property
    def shares(self) -> dict[str, float]:
        """Share of the stitches of each role; they sum to 1."""
        return {role: count / self.size for role, count in self.stitches.items()}

    @cached_property
    def floats(self) -> dict[str, int]:
        """Stitches that each role passes behind: in every row where it is used, all the other stitches."""
        passed = dict.fromkeys(self.role_names, 0)
        for row in self.grid:
            for role, own in Counter(self.roles[mark] for mark in row).items():
                passed[role] += self.width - own
        return passed

    @cached_property
    def float_shares(self) -> dict[str, float]:
        """Stitches passed behind by each role, for one stitch of the motif."""
        return {role: count / self.size for role, count in self.floats.items()}

    @cached_property
    def longest_float(self) -> dict[str, int]:
        """Longest run of stitches that a role passes behind, round the edge of the repeat."""
        longest = longest_of_all(self.named_rows)
        return {role: longest.get(role, 0) for role in self.role_names}

    @cached_property
    def named_rows(self) -> tuple[tuple[str, ...], ...]:
        """The grid with the role of each stitch, bottom row first."""
        return tuple(tuple(self.roles[mark] for mark in row) for row in self.grid)

    @cached_property
    def touching(self) -> tuple[Mapping[frozenset[str], int], Mapping[frozenset[str], int]]:
        """Sides that two different roles share between neighbours of a row, and upwards."""
        return touching(self.named_rows, stacked=True)

    @cached_property
    def edges(self) -> dict[frozenset[str], int]:
        """Sides that two different roles share, sideways and upwards, both round the edge of the repeat."""
        return both(self.touching)

    @cached_property
    def colours_a_row(self) -> tuple[int, ...]:
        """How many roles each row uses, bottom row first."""
        return tuple(len({self.roles[mark] for mark in row}) for row in self.grid)


def parse_motif(text: str, file: str, key: str = "", most: tuple[int, int] = (WIDEST, TALLEST)) -> Motif:
    """Read a motif file: `name: value` lines, an empty line, then the grid.

    The bottom row comes first, unless a line `rows: top to bottom` says otherwise. Spaces between stitches are let be.

    most: stitches and rows that the grid may have. Raises CatalogueError with the row (its line in the file) and
    the column (stitch, from the left) of the fault.
    """
    heads, grid, first = _split(text.lstrip("\ufeff"), file)
    for needed in ("name", "roles"):
        if not heads.get(needed):
            raise CatalogueError(
                file, needed, reason("a motif needs a line `{needed}: ...` above its grid", needed=needed)
            )
    if len(heads["name"]) > LONGEST_NAME:
        raise CatalogueError(file, "name", reason("a name has at most {most} characters", most=LONGEST_NAME))
    order = heads.get("rows", BOTTOM_UP)
    if order not in (BOTTOM_UP, TOP_DOWN):
        said = "'{order}' isn't an order; write '{up}', or '{down}' for a grid as it looks"
        raise CatalogueError(file, "rows", reason(said, order=order, up=BOTTOM_UP, down=TOP_DOWN))
    roles = _roles(heads["roles"], file)
    if " " not in roles:  # spaces between stitches are for the eye
        grid = [row.replace(" ", "") for row in grid]
    if not grid:
        raise CatalogueError(file, "grid", reason("no grid found below the empty line"))
    width, edge = len(grid[0]), "bottom" if order == BOTTOM_UP else "top"
    for number, row in enumerate(grid):
        where = f"line {first + number}"
        if len(row) != width:
            said = "this row has {here} stitches and the {edge} row {width}; all must be alike"
            raise CatalogueError(file, where, reason(said, here=len(row), edge=Term(edge), width=width))
        for place, mark in enumerate(row, start=1):
            if mark not in roles:
                said = "'{mark}' isn't one of the roles '{roles}'"
                why = reason(said, mark=shorten(mark), roles="".join(roles))
                raise CatalogueError(file, f"{where}, stitch {place}", why)
    if width > most[0] or len(grid) > most[1]:
        said = "{width} stitches by {rows} rows; at most {widest} by {tallest} is allowed"
        why = reason(said, width=width, rows=len(grid), widest=most[0], tallest=most[1])
        raise CatalogueError(file, "grid", why)
    motif = Motif(
        key=key,
        name=heads["name"],
        grid=tuple(grid if order == BOTTOM_UP else reversed(grid)),
        roles=roles,
        source=heads.get("source", ""),
        how_obtained=heads.get("how_obtained", ""),
        licence=heads.get("licence", ""),
    )
    for role, count in motif.stitches.items():
        if count == 0:
            raise CatalogueError(file, "roles", reason("'{role}' has no stitch in the grid", role=role))
    return motif


def _split(text: str, file: str) -> tuple[dict[str, str], list[str], int]:
    """Head lines, grid rows, and the line number of the first grid row."""
    heads: dict[str, str] = {}
    lines = [line.rstrip() for line in text.splitlines()]
    number = 0
    for number, line in enumerate(lines, start=1):
        if not line:
            break
        word, colon, value = line.partition(":")
        if not colon:
            raise CatalogueError(file, f"line {number}", reason("expected `name: value`, an empty line, then the grid"))
        if word.strip() in heads:
            raise CatalogueError(file, f"line {number}", reason("`{word}:` stands twice", word=word.strip()))
        try:
            heads[word.strip()] = readable(value)
        except Unreadable as fault:
            raise CatalogueError(file, f"line {number}", fault.said) from None
    start = number
    while start < len(lines) and not lines[start]:
        start += 1
    grid = lines[start:]
    while grid and not grid[-1]:
        grid.pop()
    return heads, grid, start + 1


def _roles(text: str, file: str) -> dict[str, str]:
    """Read `. main, x contrast 1` into {".": "main", "x": "contrast 1"}."""
    roles: dict[str, str] = {}
    for part in text.split(","):
        mark, _, role = part.strip().partition(" ")
        role = role.strip()
        if len(mark) != 1 or not role:
            said = "'{part}': expected one character, a space, and the role, as `. main`"
            raise CatalogueError(file, "roles", reason(said, part=part.strip()))
        if len(role) > LONGEST_NAME or not mark.isprintable() or unicodedata.combining(mark):
            said = "'{part}' isn't a sign that can be seen and a role of at most {most} characters"
            raise CatalogueError(file, "roles", reason(said, part=shorten(part.strip()), most=LONGEST_NAME))
        if mark in roles or role in roles.values():
            raise CatalogueError(file, "roles", reason("'{part}' is named twice", part=part.strip()))
        roles[mark] = role
    return roles
