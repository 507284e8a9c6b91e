"""An accessory as the catalogue describes it: roles, and zones that are simple solids."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from matcher.knitting.bodies import Sizes
from matcher.knitting.motifs.motif import Motif

SMALL = "small"
KINDS = ("hat", "cowl", "mitts", "headband", "neck", "socks", "cuffs", "yoke", SMALL)
# Ways to knit a thing (knitting/pattern/constructions); "" is worked out from the zones.
CONSTRUCTIONS = (
    "",
    "tube",
    "earflap hat",
    "mitts",
    "socks",
    "yoke",
    "strip",
    "joined strip",
    "buttoned strip",
    "folded strip",
    "gathered strip",
    "cushion",
    "triangle",
    "pouch",
    "parts",
)
SHAPES = ("tube", "flat", "crown", "frustum", "triangle", "piece")


@dataclass(frozen=True)
class Dimension:
    """A length taken from the body with ease, or given outright in cm."""

    of: str | None = None
    times: float = 1.0
    ease_percent: float = 0.0
    ease_cm: float = 0.0
    cm: float | None = None

    def in_cm(self, sizes: Sizes, size: str) -> float:
        """Centimetres for a size: of * times * (1 + ease_percent / 100) + ease_cm, or `cm`."""
        if self.cm is not None:
            return self.cm
        if self.of is None:
            raise ValueError("a dimension needs `of` or `cm`")
        return sizes.dimension(size, self.of) * self.times * (1.0 + self.ease_percent / 100.0) + self.ease_cm


@dataclass(frozen=True)
class Role:
    """One colour's part; `bring` when the knitter brings this yarn and it is not matched from lots."""

    name: str
    bring: bool = False


@dataclass(frozen=True)
class Zone:
    """One simple solid of one structure, in one role or in a motif.

    `around` stands for the width too when the shape is flat or a triangle. Shape "piece" gives `stitches`
    (and `rows`, or `height`) outright, the same for every size. turned: the part of its height, 0 to 1, that is turned
    over to the outside when it is worn: of the last zone its end, of an earlier one its beginning.
    """

    name: str
    shape: str
    structure: str
    count: int = 1
    around: Dimension | None = None
    around_end: Dimension | None = None
    height: Dimension | None = None
    role: str | None = None
    motif: str | None = None
    stitches: int | None = None
    rows: int | None = None
    turned: float = 0.0


@dataclass(frozen=True)
class Accessory:
    """A catalogue entry: a thing to knit. `key` is the file's stem; `own` marks the knitter's own entries.

    firmness: so many times firmer than the ball band says is it knitted. construction: one of `CONSTRUCTIONS`.
    """

    key: str
    name: str
    kind: str
    sizes: tuple[str, ...]
    classes: tuple[int, ...]
    roles: tuple[Role, ...]
    zones: tuple[Zone, ...]
    next_to_skin: bool = True
    firmness: float = 1.0
    construction: str = ""
    least_contrast: str | None = None
    practice: str | None = None
    practice_exempt: str | None = None
    cautions: tuple[str, ...] = ()
    note: str = ""
    source: str = "own"
    how_obtained: str = "choice"
    own: bool = False

    @property
    def small(self) -> bool:
        """Whether it is one of the little things that take ends of yarn, such as a cosy or a pincushion."""
        return self.kind == SMALL

    @property
    def several_colours(self) -> bool:
        """Whether it is knitted in more than one colour."""
        return len(self.roles) > 1

    @property
    def role_names(self) -> tuple[str, ...]:
        """Names of the roles, in the order of the file."""
        return tuple(role.name for role in self.roles)


def contrast_pairs(accessory: Accessory, motifs: Mapping[str, Motif]) -> dict[tuple[str, str], int]:
    """Pairs of roles that lie side by side in its motifs, with the number of edges they share.

    Names within a pair stand in the order of the accessory's roles, and so do the pairs.
    """
    keys = tuple(dict.fromkeys(zone.motif for zone in accessory.zones if zone.motif))
    return dict(_pairs(accessory.role_names, tuple(motifs[key] for key in keys)))


@lru_cache(maxsize=512)
def _pairs(names: tuple[str, ...], motifs: tuple[Motif, ...]) -> tuple[tuple[tuple[str, str], int], ...]:
    found: dict[tuple[str, str], int] = {}
    order = {name: place for place, name in enumerate(names)}
    for motif in motifs:
        for edge, count in motif.edges.items():
            first, second = sorted(edge, key=lambda name: order.get(name, len(order)))
            found[first, second] = found.get((first, second), 0) + count
    return tuple(sorted(found.items(), key=lambda item: tuple(order.get(name, 0) for name in item[0])))


def longest_float(accessory: Accessory, motifs: Mapping[str, Motif]) -> int:
    """Longest float of the accessory, in stitches; a motif whose rows are of one colour each has none."""
    keys = {zone.motif for zone in accessory.zones if zone.motif}
    return max((length for key in keys for length in motifs[key].longest_float.values()), default=0)
