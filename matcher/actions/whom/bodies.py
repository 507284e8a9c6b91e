"""What is made to somebody's own measures: bodies beside the sizes of the catalogue, and variants that fit them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from matcher.actions.whom.everyone import Somebody
from matcher.knitting.accessory import Accessory
from matcher.knitting.bodies import Sizes
from matcher.knitting.calibration import Calibration
from matcher.knitting.fit.measured import FOLLOW, measured_body, with_body
from matcher.matching.variants import Knowledge, Variant, variants_of
from matcher.store.catalogue.catalogue import Catalogue


def body_of(name: str) -> str:
    """What the body of somebody's own measures is called among the sizes."""
    return f"{name} (measured)"


def with_bodies(sizes: Sizes, people: Iterable[Somebody]) -> Sizes:
    """The table of sizes with a body for each of these whose measures were taken."""
    of_people = [size for size in sizes.names if sizes.wearer(size) != "anyone"]
    for one in people:
        if one.person.measures:
            body, like = measured_body(sizes, one.size, one.person.measures, of_people)
            sizes = with_body(sizes, body_of(one.name), body, like)
    return sizes


def made_to_measure(one: Somebody, entry: Accessory, sizes: Sizes) -> bool:
    """Whether an accessory goes by a measure of hers, by none that nothing tells, and is made for such as her."""
    goes_by = body_measures(entry)
    taken = {follows for body in one.person.measures for follows in FOLLOW[body]}
    # No baby's hat for a grown head.
    like_her = any(sizes.wearer(size) == sizes.wearer(body_of(one.name)) for size in entry.sizes)
    return like_her and bool(goes_by & taken) and all(sizes.has(body_of(one.name), body) for body in goes_by)


def body_measures(entry: Accessory) -> frozenset[str]:
    """The measures of a body that an accessory goes by."""
    lengths = (length for zone in entry.zones for length in (zone.around, zone.around_end, zone.height))
    return frozenset(one.of for one in lengths if one is not None and one.of is not None)


def own_variants(
    people: Iterable[Somebody], catalogue: Catalogue, calibration: Calibration | None
) -> Mapping[str, Mapping[str, tuple[Variant, ...]]]:
    """By person and key, the variants to her own measures. catalogue : with bodies in its sizes."""
    known = Knowledge(catalogue.sizes, catalogue.motifs, catalogue.fabric, catalogue.classes, calibration)
    return {
        one.name: {
            key: variants_of(entry, known, (body_of(one.name),))
            for key, entry in catalogue.accessories.items()
            if made_to_measure(one, entry, catalogue.sizes)
        }
        for one in people
        if one.person.measures
    }
