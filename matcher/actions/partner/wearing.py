"""Who a partner is knitted for: the size or a measure, the gauge and where it is from."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from matcher.actions.names import find
from matcher.actions.needs import gauge_of_swatch
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import Gauge, gauge_of_tex, mid_gauge
from matcher.knitting.fit.cast_ons import Wearing
from matcher.knitting.fit.measured import LIMITS_CM, with_measured
from matcher.materials.lots import Garment
from matcher.materials.reading.units import show_cm
from matcher.materials.yarn import Yarn
from matcher.store.catalogue.catalogue import Catalogue

# The size of an entry for somebody whose size the sheet does not tell (as garment_kinds.csv has it).
_USUAL = "adult medium"
_EASE = re.compile(r"\s*([-+]?\d+(?:\.\d+)?)\s*%?\s*(?:\.\.+|to|\s)\s*([-+]?\d+(?:\.\d+)?)\s*%?\s*")
# Tighter than this no knitting stretches, and wider than this nothing is worn.
_EASE_LIMITS = (-50.0, 100.0)


@dataclass(frozen=True)
class Worn:
    """What `fits` needs; `like_size` is the catalogue's size whose other measures are taken."""

    wearing: Wearing
    size_words: str
    like_size: str
    gauge_from: str
    notes: tuple[str, ...]
    measured: tuple[str, float] | None = None  # what was measured, such as "head", and its cm

    def said(self, units: str) -> str:
        """The size, or the measure in her units."""
        return f"{self.measured[0]} {show_cm(self.measured[1], units)}" if self.measured else self.size_words


def worn_by(
    entry: Accessory,
    owner: Garment,
    catalogue: Catalogue,
    *,
    size: str | None,
    measured: Mapping[str, float | None],
    swatch: str | None,
    ease_percent: tuple[float, float] | None,
    main: Yarn | None,
) -> Worn:
    """Settle size and gauge. Raises BadInput and NotFound for what makes no sense."""
    rule = catalogue.fitting.get(entry.kind)
    if rule is None:
        raise BadInput(
            f"a {entry.kind} is knitted onto a garment, not fitted by itself",
            "--accessory",
            "name a hat, a cowl, mitts",
        )
    gauge, gauge_from = _gauge(swatch, owner, main, entry, catalogue)
    told = {dimension: cm for dimension, cm in measured.items() if cm is not None}
    options = [f"--{dimension}-cm" for dimension in told]
    if len(told) > 1 or (told and size is not None):
        both = [*(["--size"] if size is not None else []), *options]
        raise BadInput("more than one size is asked for", " ".join(both), "give one of them")
    if told:
        ((dimension, cm),) = told.items()
        return _measured(entry, catalogue, dimension, cm, rule_words=(gauge, gauge_from), ease=ease_percent)
    notes: tuple[str, ...] = ()
    if size is not None:
        wanted = find(size, entry.sizes, f"size of {entry.name}")
    else:
        wanted, notes = _usual_size(entry, owner, catalogue)
    wearing = Wearing(entry, wanted, catalogue.sizes, gauge, catalogue.fabric, rule, ease_percent)
    return Worn(wearing, wanted, wanted, gauge_from, notes)


def _usual_size(entry: Accessory, owner: Garment, catalogue: Catalogue) -> tuple[str, tuple[str, ...]]:
    """The size of the garment's wearer when the sheet names it, else the usual one of its kind."""
    wearer = " ".join(owner.wearer.casefold().split())
    likely = wearer if wearer in catalogue.sizes.names else catalogue.repairs.kind_of(owner).size
    for one in (likely, _USUAL, entry.sizes[-1]):
        if one in entry.sizes:
            break
    if one == likely or len(entry.sizes) == 1:
        return one, ()
    return one, (f"{entry.name} is not made in the size {likely}: this is {one}.",)


def _measured(
    entry: Accessory,
    catalogue: Catalogue,
    dimension: str,
    cm: float,
    *,
    rule_words: tuple[Gauge, str],
    ease: tuple[float, float] | None,
) -> Worn:
    option = f"--{dimension}-cm"
    used = {
        zone_dimension.of
        for zone in entry.zones
        for zone_dimension in (zone.around, zone.around_end, zone.height)
        if zone_dimension is not None and zone_dimension.of is not None
    }
    if dimension not in used:
        going = [one for one in LIMITS_CM if one in used]
        todo = f"give {' or '.join(f'--{one}-cm' for one in going)}" if going else "give --size"
        raise BadInput(f"{entry.name} does not go by the {dimension}", option, todo)
    low, high = LIMITS_CM[dimension]
    if not low <= cm <= high:
        raise BadInput(
            f"a {dimension} of {cm:g} cm is in no published table", option, f"give {low:g} to {high:g}, in cm"
        )
    sizes, like = with_measured(catalogue.sizes, dimension, cm, entry.sizes)
    gauge, gauge_from = rule_words
    wearing = Wearing(entry, sizes.names[-1], sizes, gauge, catalogue.fabric, catalogue.fitting[entry.kind], ease)
    notes = (f"The other measures are those of {like}, in proportion.",)
    return Worn(wearing, f"{dimension} {cm:g} cm", like, gauge_from, notes, (dimension, cm))


def _gauge(
    swatch: str | None, owner: Garment, main: Yarn | None, entry: Accessory, catalogue: Catalogue
) -> tuple[Gauge, str]:
    """The swatch asked for, else the garment's own, else the usual one of its main yarn, else of the entry."""
    if swatch is not None:
        return gauge_of_swatch(swatch, catalogue), "swatch"
    if owner.stitches_10cm and owner.rows_10cm:
        return Gauge.from_swatch(owner.stitches_10cm, owner.rows_10cm, catalogue.fabric), "garment"
    if owner.stitches_10cm:
        return Gauge.from_stitches(owner.stitches_10cm, catalogue.fabric), "garment"
    if main is not None:
        return gauge_of_tex(main.tex.mean, catalogue.fabric), "yarn"
    middle = entry.classes[len(entry.classes) // 2]
    return mid_gauge(middle, catalogue.fabric, catalogue.classes), "class"


def parse_ease(text: str | None) -> tuple[float, float] | None:
    """Least and most ease in percent from "-10..2"; None for None. Raises BadInput."""
    if text is None:
        return None
    matched = _EASE.fullmatch(text)
    if not matched:
        raise BadInput(f'found "{text}", expected least and most ease', "--ease-percent", 'write it as "-10..2"')
    least, most = float(matched[1]), float(matched[2])
    low, high = _EASE_LIMITS
    if least > most:
        raise BadInput(f"{least:g} is more than {most:g}", "--ease-percent", "give the smaller number first")
    if not (low <= least and most <= high):
        raise BadInput(
            f"an ease of {least if least < low else most:g} percent cannot be worn",
            "--ease-percent",
            f"give numbers from {low:g} to {high:g}",
        )
    return least, most
