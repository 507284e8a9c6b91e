"""What a way to stand in changes, to be said: gauge, look, dye lot, wash, fibre, and how it goes with the rest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from matcher.matching.instead.beside import Asked, Beside
from matcher.matching.instead.rules import Rules
from matcher.matching.instead.way import Way, Weigher
from matcher.matching.pools import Pool
from matcher.matching.together import Handling, RuleVerdict, beside, factor, handling_of, thickness
from matcher.materials.care import gentlest, label_words
from matcher.materials.yarn import Yarn
from matcher.reasons.quantities import Number, StitchGauge
from matcher.reasons.reason import Term, Words, listed, reason

_SAME_GAUGE = 0.02  # of the stitches: below half a stitch in 10 cm, which no swatch tells


def look_verdict(one: Beside, rules: Rules) -> str:
    """What the eye says of a pool beside the asked yarn."""
    limits = rules.instead
    if one.delta_e <= rules.identify.perceptible_delta_e:
        return "looks the same"
    if one.delta_e <= limits.hardly_delta_e:
        return "hardly to be told apart"
    if one.delta_e > limits.most_delta_e:
        return "another colour"
    # Lightness is said where it makes half of what is seen, or more.
    lighter, darker, other = _NEAR if one.delta_e <= limits.shade_delta_e else _FAR
    if abs(one.delta_l) < one.delta_e / 2.0:
        return other
    return lighter if one.delta_l > 0 else darker


_NEAR = ("a shade lighter", "a shade darker", "a shade off")
_FAR = ("clearly lighter", "clearly darker", "clearly another hue")


def stays(way: Way, weigher: Weigher) -> tuple[Words, ...]:
    """What of gauge, wash and fibre is as before."""
    asked = weigher.asked
    kept = {
        "gauge": not list(_gauge(way, weigher)),
        "wash": not list(_wash(way, asked)),
        "fibre": not list(_fibre(way, asked, weigher.rules)),
    }
    return tuple(Term(name) for name, same in kept.items() if same)


def look_words(one: Beside, rules: Rules) -> Words:
    """The verdict with its figures."""
    if one.delta_e < 0.05:
        return Term(look_verdict(one, rules))
    return reason(
        "{verdict} (CIEDE2000 {apart}, lightness {lighter})",
        verdict=Term(look_verdict(one, rules)),
        apart=Number(one.delta_e, 1),
        lighter=_signed(one.delta_l),
    )


def _signed(delta_l: float) -> Words:
    if abs(delta_l) < 0.05:
        return reason("the same")
    up = "{much} more" if delta_l > 0 else "{much} less"
    return reason(up, much=Number(abs(delta_l), 1))


def changes(way: Way, weigher: Weigher, rest: Sequence[Pool]) -> tuple[Words, ...]:
    """All that a way changes, gauge first. rest: what else the piece is, or was, knitted in."""
    asked, rules = weigher.asked, weigher.rules
    return (
        *_gauge(way, weigher),
        *_look(way, asked, rules),
        *_bath(way, asked),
        *_wash(way, asked),
        *_fibre(way, asked, rules),
        *_with_rest(way, asked, rest, rules),
    )


def _gauge(way: Way, weigher: Weigher) -> Iterator[Words]:
    asked = weigher.asked
    before, after = (weigher.gauge(tex).stitches_10cm for tex in (asked.yarn.tex.mean, way.tex.mean))
    if abs(after / before - 1.0) > _SAME_GAUGE:
        yield reason("usual gauge {after}, before {before}", after=StitchGauge(after), before=StitchGauge(before))
    verdict = thickness(way.tex.mean, asked.yarn.tex.mean, weigher.rules.together).verdict
    if verdict != "fits":
        yield reason("clearly thicker: swatch first" if after < before else "clearly thinner: swatch first")


def _look(way: Way, asked: Asked, rules: Rules) -> Iterator[Words]:
    if asked.colour is not None:
        seen = way.worst_seen
        said = look_words(seen, rules)
        yield said if len(way.members) == 1 else reason("{lot} is {look}", lot=seen.name, look=said)
    if way.marl:
        names = listed((one.name for one in way.members), "and")
        yield (
            reason("a marl: {lots} both show", lots=names)
            if len(way.members) == 2
            else reason("a marl: {lots} all show", lots=names)
        )
    if asked.colour is None:
        return
    for one in way.members:
        kind = one.pool.colour.kind
        if kind != asked.colour.kind and kind != "solid":
            yield reason("{lot} is {kind}", lot=one.name, kind=Term(_KINDS[kind]))


_KINDS = {"heather": "heathered", "variegated": "of several colours"}


def _bath(way: Way, asked: Asked) -> Iterator[Words]:
    """Dye lots of lots that follow each other, and of the same yarn and colour."""
    if way.joined:
        baths = [one.pool.dye_lot or reason("not written down") for one in way.members]
        if len({one.name for one in way.members}) > 1:
            if not any(one.pool.dye_lot for one in way.members):
                yield reason("no dye lots are written down; alternate the lots every two rows where they meet")
                return
            each = listed(
                (reason("{lot} {bath}", lot=one.name, bath=bath) for one, bath in zip(way.members, baths, strict=True)),
            )
            yield reason("dye lots: {each}; alternate them every two rows where they meet", each=each)
        return
    one = way.members[0].pool
    if len(way.members) == 1 and asked.colour == one.colour and way.members[0].one_yarn:
        if way.members[0].kin == 1.0:
            yield reason("the same yarn, colour and dye lot")
        elif one.dye_lot and asked.lot is not None and asked.lot.dye_lot:
            said = "the same yarn and colour in dye lot {other}, not {own}: compare them in daylight"
            yield reason(said, other=one.dye_lot, own=asked.lot.dye_lot)
        else:
            yield reason("the same yarn and colour, perhaps of another dye lot: compare them in daylight")


def _wash(way: Way, asked: Asked) -> Iterator[Words]:
    wash = gentlest(one.pool.yarn.wash for one in way.members)
    if wash != asked.yarn.wash:
        known, label = asked.yarn.wash != "unknown", label_words(wash)
        yield reason("{label}; before: {was}", label=label, was=label_words(asked.yarn.wash)) if known else label


def _fibre(way: Way, asked: Asked, rules: Rules) -> Iterator[Words]:
    blends = list(dict.fromkeys(one.pool.yarn.blend for one in way.members))
    if blends != [asked.yarn.blend]:
        fibres = listed((blend.words() for blend in blends), between="; ")
        known = asked.yarn.blend.known
        yield reason("{fibre}; before: {was}", fibre=fibres, was=asked.yarn.blend.words()) if known else fibres
    own = handling_of(asked.yarn, rules.together)
    said: dict[Words, None] = {}
    for one in way.members:
        said |= dict.fromkeys(_handles(own, handling_of(one.pool.yarn, rules.together), asked.yarn, one.pool.yarn))
    yield from said


def _handles(own: Handling, other: Handling, asked: Yarn, yarn: Yarn) -> Iterator[Words]:
    """What differs in how two yarns behave."""
    if other.felts is not own.felts:
        if other.felts:
            yield reason("felts when it is rubbed in warm water")
        elif other.felts is None:
            yield reason("may felt: wash by hand, cool")
        elif own.felts:
            yield reason("doesn't felt")
    if other.inelastic is True and own.inelastic is False:
        yield reason("has less give: ribs hold less")
    elif other.inelastic is False and own.inelastic is True:
        yield reason("springs back more")
    if other.halo is True and own.halo is False:
        yield reason("hairy: its halo softens what is knitted with it")
    elif other.halo is False and own.halo is True:
        yield reason("has no halo")
    if own.known and not other.known:
        yield reason("try it against the skin for an hour first")
    elif own.known and yarn.blend.animal and not asked.blend.animal:
        yield reason("holds animal fibre: try it against the skin first")


def _with_rest(way: Way, asked: Asked, rest: Sequence[Pool], rules: Rules) -> Iterator[Words]:
    """Other yarns of the garment beside which it is worse than the asked one was."""
    now = {pool.name: min(_goes(one.pool.yarn, way.tex.mean, pool, rules) for one in way.members) for pool in rest}
    before = {pool.name: _goes(asked.yarn, asked.yarn.tex.mean, pool, rules) for pool in rest}
    worse = [name for name, goes in now.items() if goes < before[name]]
    if apart := [name for name in worse if now[name] == 0]:
        said = "too different in thickness for one fabric with {lots} of the same garment"
        yield reason(said, lots=listed(apart, "and"))
    if hard := [name for name in worse if now[name] > 0]:
        yield reason("hard together with {lots} of the same garment", lots=listed(hard, "and"))


def _goes(yarn: Yarn, tex: float, other: Pool, rules: Rules) -> float:
    verdicts: tuple[RuleVerdict, ...] = (thickness(tex, other.yarn.tex.mean, rules.together),)
    verdicts += beside(handling_of(yarn, rules.together), handling_of(other.yarn, rules.together))
    return factor(verdicts, rules.together)
