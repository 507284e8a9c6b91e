"""What is known of one lot: whether its weight can be right, whether it could be named, and what to write down."""

from __future__ import annotations

from matcher.materials.care import label_words
from matcher.materials.lots import Lot
from matcher.materials.rules import TriageRules
from matcher.reasons.quantities import Band, Length, Mass, Tex
from matcher.reasons.reason import Term, Words, counted, listed, reason


def doubt(lot: Lot, rules: TriageRules) -> Words | None:
    """Why the weight cannot be right, if it cannot."""
    if lot.ball_g and lot.mass_g > lot.pieces * lot.ball_g * rules.overweight_ratio:
        return counted(
            lot.pieces,
            "{mass} in {n} piece is more than balls of {ball} weigh",
            "{mass} in {n} pieces is more than balls of {ball} weigh",
            mass=Mass(lot.mass_g),
            ball=Band(lot.ball_g),
        )
    there = Length(lot.length.mean)
    if lot.reserve_m is not None and lot.reserve_m > lot.length.mean + rules.nothing_m:
        held = "you hold back {held}, but its weight says only {there}"
        return reason(held, held=Length(lot.reserve_m), there=there)
    if lot.claimed_m > lot.length.mean + rules.nothing_m:
        claimed = "{claimed} are on the needles, but its weight said only {there}"
        return reason(claimed, claimed=Length(lot.claimed_m), there=there)
    return None


def nameable(lot: Lot) -> bool:
    """Whether a label could be written from what is known: what it is (by name or by its ball band), and of what."""
    return lot.yarn.blend.known and (bool(lot.yarn.name) or lot.yarn.tex_from != "class")


_LABELS = {"no": reason("no label"), "partly": reason("the label is incomplete")}


def facts(lot: Lot) -> Words:
    """What a tag can say, and what it cannot."""
    yarn = lot.yarn
    known: list[Words] = [text for text in (yarn.name, lot.colour_name) if text]
    if yarn.tex_from == "class":
        known.append(reason("class {number}", number=yarn.weight_class))
    else:
        known.append(reason("{tex}", tex=Tex(yarn.tex.mean)))
    if yarn.blend.known:
        known.append(yarn.blend.words())
    if yarn.wash != "unknown":
        known.append(label_words(yarn.wash))
    if lot.dye_lot:
        known.append(reason("dye lot {name}", name=lot.dye_lot))
    known.append(reason("{mass}, about {length}", mass=lot.weight, length=Length(lot.length.mean)))
    lacking = {
        "yarn": bool(yarn.name),
        "fibre": yarn.blend.known,
        "wash": yarn.wash != "unknown",
        "dye lot": bool(lot.dye_lot),
    }
    label = _LABELS.get(lot.label, reason("label not recorded"))
    said = reason("{label}; known: {facts}", label=label, facts=listed(known))
    missing = [Term(name) for name, there in lacking.items() if not there]
    return reason("{said}; not known: {facts}", said=said, facts=listed(missing)) if missing else said
