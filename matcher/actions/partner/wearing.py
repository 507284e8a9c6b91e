"""Who a partner is knitted for: the size or a measure, the gauge and where it is from."""

from __future__ import annotations

from dataclasses import dataclass

from matcher.actions.meant import size_meant
from matcher.actions.needs import gauge_of_swatch
from matcher.actions.partner.wishes import Wishes
from matcher.actions.whom.bodies import body_measures
from matcher.actions.whom.everyone import Somebody
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.bodies import Sizes
from matcher.knitting.fabric import Gauge, gauge_of_tex, mid_gauge
from matcher.knitting.fit.cast_ons import Wearing
from matcher.knitting.fit.measured import LIMITS_CM, with_measured
from matcher.materials.lots import Garment
from matcher.materials.yarn import Yarn
from matcher.reasons.quantities import Measure, Number
from matcher.reasons.reason import Field, Term, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue

# The size of an entry for somebody whose size the sheet does not tell (as garment_kinds.csv has it).
_USUAL = "adult medium"


@dataclass(frozen=True)
class Worn:
    """What `fits` needs; `like_size` is the catalogue's size whose other measures are taken."""

    wearing: Wearing
    size: Words  # of the catalogue, or what was measured
    like_size: str
    gauge_from: str  # "swatch", "garment", "yarn" or "class"
    notes: tuple[Words, ...] = ()


@dataclass(frozen=True)
class _Sized:
    """A size in a table of bodies, which a measured one was added to."""

    name: str
    said: Words
    like: str
    sizes: Sizes
    notes: tuple[Words, ...] = ()


def worn_by(
    entry: Accessory,
    owner: Garment,
    catalogue: Catalogue,
    wishes: Wishes,
    main: Yarn | None,
    told: list[Words],
    person: Somebody | None = None,
) -> Worn:
    """Settle size and gauge; main: the yarn of the first role; told: is given how her
    words were read; person: who it is for, as far as that is known.

    Raises BadInput and NotFound for what makes no sense.
    """
    rule = catalogue.fitting.get(entry.kind)
    if rule is None:
        raise BadInput(
            reason("a {kind} is knitted onto a garment, not fitted by itself", kind=Term(entry.kind)),
            Field("accessory"),
            reason("name a hat, a cowl, mitts"),
        )
    gauge, gauge_from = _gauge(wishes.swatch, owner, main, entry, catalogue)
    asked = [*([Field("size")] if wishes.size is not None else []), *(_MEASURES[one] for one in wishes.measured)]
    if len(asked) > 1:
        raise BadInput(
            reason("more than one size is asked for"), listed(asked, between=" "), reason("give one of them")
        )
    if wishes.measured:
        ((dimension, cm),) = wishes.measured.items()
        sized = _measured(entry, catalogue, dimension, cm)
    elif wishes.size is not None:
        what = reason("size of {accessory}", accessory=entry.name)
        name = size_meant(wishes.size, catalogue.sizes, entry.sizes, what, told)
        sized = _Sized(name, Term(name), name, catalogue.sizes)
    elif measured := _taken(entry, person):
        sized = _measured(entry, catalogue, *measured)
    else:
        sized = _usual_size(entry, owner, catalogue, person.size if person is not None else "")
    wearing = Wearing(entry, sized.name, sized.sizes, gauge, catalogue.fabric, rule, wishes.ease_percent)
    return Worn(wearing, sized.said, sized.like, gauge_from, sized.notes)


_MEASURES = {"head": Field("head cm"), "hand": Field("hand cm"), "neck": Field("neck cm")}


def _taken(entry: Accessory, person: Somebody | None) -> tuple[str, float] | None:
    """The measure of hers that an accessory goes by, and its centimetres; None where it was not taken."""
    goes_by = body_measures(entry)
    taken = person.person.measures if person is not None else {}
    return next(((body, cm) for body, cm in taken.items() if body in goes_by and body in _MEASURES), None)


def _usual_size(entry: Accessory, owner: Garment, catalogue: Catalogue, hers: str) -> _Sized:
    """Her size when it is known, else the usual one of the garment's kind."""
    likely = hers or catalogue.repairs.kind_of(owner).size
    one = next(size for size in (likely, _USUAL, entry.sizes[-1]) if size in entry.sizes)
    sized = _Sized(one, Term(one), one, catalogue.sizes)
    if one == likely or len(entry.sizes) == 1:
        return sized
    words = "{accessory} isn't made in size {likely}, so this is {size}."
    note = reason(words, accessory=entry.name, likely=Term(likely), size=Term(one))
    return _Sized(one, Term(one), one, catalogue.sizes, (note,))


def _measured(entry: Accessory, catalogue: Catalogue, dimension: str, cm: float) -> _Sized:
    """The body that was measured; raises BadInput for a measure that the accessory does not go by, or beyond bounds."""
    used = body_measures(entry)
    if dimension not in used:
        going = [_MEASURES[one] for one in _MEASURES if one in used] or [Field("size")]
        what = reason("{accessory} isn't sized by the {body}", accessory=entry.name, body=Term(dimension))
        raise BadInput(what, _MEASURES[dimension], reason("give {fields}", fields=listed(going, "or", " or ")))
    low, high = LIMITS_CM[dimension]
    if not low <= cm <= high:
        what = reason("no published table has a {body} of {cm} centimetres", body=Term(dimension), cm=Number(cm, 2))
        todo = reason("give {low} to {high}", low=Number(low), high=Number(high))
        raise BadInput(what, _MEASURES[dimension], todo)
    sizes, like = with_measured(catalogue.sizes, dimension, cm, entry.sizes)
    said = reason("{body} {measure}", body=Term(dimension), measure=Measure(cm))
    note = reason("The other measures are those of {size}, in proportion.", size=Term(like))
    return _Sized(sizes.names[-1], said, like, sizes, (note,))


def _gauge(
    swatch: str | None, owner: Garment, main: Yarn | None, entry: Accessory, catalogue: Catalogue
) -> tuple[Gauge, str]:
    """The swatch asked for, else the garment's own, else the usual one of its main yarn, else of the entry."""
    if swatch is not None:
        return gauge_of_swatch(swatch, catalogue, entry.firmness), "swatch"
    if owner.stitches_10cm and owner.rows_10cm:
        return Gauge.from_swatch(owner.stitches_10cm, owner.rows_10cm, catalogue.fabric), "garment"
    if owner.stitches_10cm:
        return Gauge.from_stitches(owner.stitches_10cm, catalogue.fabric), "garment"
    if main is not None:
        return gauge_of_tex(main.tex.mean, catalogue.fabric, entry.firmness), "yarn"
    middle = entry.classes[len(entry.classes) // 2]
    return mid_gauge(middle, catalogue.fabric, catalogue.classes, entry.firmness), "class"
