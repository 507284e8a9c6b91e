"""A question put otherwise: more of a lot, a reserve given up, a decision taken back, less that is asked for."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from matcher.actions.ranking.question import Question
from matcher.materials.lots import KEEP, Decision, Lot
from matcher.materials.yarn import MeasuringRules, length_on_hand
from matcher.reasons.quantities import Band, Chance, Length, Mass
from matcher.reasons.reason import Action, Field, Reason, Term, Words, counted, listed, reason
from matcher.reasons.style import Sayable

RESERVE, DECISION, CLAIM = "reserve", "decision", "claim"


@dataclass(frozen=True)
class Step:
    """One change. what : a word for it. lot : the lot that is changed, "" for none. grams, metres : how much of it.

    to : what is asked for in place of what was asked.
    """

    what: str
    said: Words
    lot: str = ""
    grams: float | None = None
    metres: float | None = None
    to: Sayable | str | float | None = None

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        return {
            "change": self.what,
            "lot": self.lot or None,
            "grams": None if self.grams is None else round(self.grams, 2),
            "metres": None if self.metres is None else round(self.metres, 2),
            "to": self.to,
            "said": self.said,
        }


@dataclass(frozen=True)
class Way:
    """Changes that together let something in. question : as it is put then. into : "possible" or "in the list"."""

    steps: tuple[Step, ...]
    question: Question = field(repr=False)
    into: str = "possible"

    @property
    def said(self) -> Words:
        return listed((step.said for step in self.steps), "and")

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        return {"steps": [step.as_dict() for step in self.steps], "lets_in": self.into, "said": self.said}


def with_lots(question: Question, changed: Iterable[Lot]) -> Question:
    """The question of a bin in which some lots are otherwise."""
    desk, by_name = question.desk, {lot.name: lot for lot in changed}
    lots = tuple(by_name.get(lot.name, lot) for lot in desk.bin.lots)
    return replace(question, desk=desk.with_(bin=replace(desk.bin, lots=lots)))


def with_more(question: Question, grams: Mapping[str, float]) -> Question:
    """More of some lots [g], by their names."""
    rules = question.desk.catalogue.measuring
    lots = (heavier(lot, grams[lot.name], rules) for lot in question.desk.bin.lots if lot.name in grams)
    return with_lots(question, lots)


def heavier(lot: Lot, grams: float, rules: MeasuringRules) -> Lot:
    """The lot when so many grams more of it are found, in as many pieces."""
    mass_g = lot.mass_g + grams
    length = length_on_hand(mass_g, lot.yarn.tex, lot.pieces, lot.yarn.blend, rules, lot.mass_sd_g)
    return replace(lot, mass_g=mass_g, length=length)


def more(question: Question, grams: Mapping[str, int]) -> Way:
    """More of some lots, with what that is in metres, and in balls where the label says what one weighs."""
    there = {lot.name: lot for lot in question.desk.bin.lots}
    return Way(tuple(_more(there[name], g) for name, g in grams.items() if g), with_more(question, grams))


def _more(lot: Lot, grams: int) -> Step:
    metres = 1000.0 * grams / lot.yarn.tex.mean
    said: Words = reason("{mass} more of {lot} ({length})", mass=Mass(grams), lot=lot.name, length=Length(metres))
    if lot.ball_g:
        balls = math.ceil(grams / lot.ball_g)
        one = "{mass} more of {lot} ({length}: one {ball} ball)"
        many = "{mass} more of {lot} ({length}: {n} balls of {ball})"
        mass, length, ball = Mass(grams), Length(metres), Band(lot.ball_g)
        said = counted(balls, one, many, mass=mass, lot=lot.name, length=length, ball=ball)
    return Step("more yarn", said, lot.name, grams, metres)


@dataclass(frozen=True)
class Hold:
    """Metres of a lot that something holds back: a garment's reserve, her decision, or what is on the needles."""

    what: str
    lot: Lot
    metres: float

    def step(self) -> Step:
        """Giving it up."""
        if self.what == RESERVE:
            template = "give up the {metres} of {lot} that are kept for mending {garment}"
            if not self.lot.garment:
                template = "give up the {metres} of {lot} that you keep"
        elif self.what == DECISION:
            template = "offer {lot} again, which you decided to keep"
        else:
            template = "give up what is on the needles with {metres} of {lot}"
        said = reason(template, metres=Length(self.metres), lot=self.lot.name, garment=self.lot.garment)
        return Step(self.what, said, self.lot.name, metres=self.metres)


def holds(question: Question) -> list[Hold]:
    """All that holds back yarn, the fewest metres first."""
    desk = question.desk
    held = {name: metres for group in desk.undecided.groups for name, metres in group.held.items()}
    found = [Hold(RESERVE, lot, held[lot.name]) for lot in desk.bin.lots if held.get(lot.name, 0.0) > 0]
    found += [
        Hold(DECISION, lot, desk.undecided.free[lot.name].mean)
        for lot in desk.bin.lots
        if lot.name in desk.decisions and desk.decisions[lot.name].advice == KEEP
    ]
    found += [Hold(CLAIM, lot, lot.claimed_m) for lot in desk.bin.lots if lot.claimed_m > 0]
    return sorted(found, key=lambda one: (one.metres, one.lot.name))


def given_up(question: Question, several: Iterable[Hold]) -> Way:
    """Without some of what holds yarn back."""
    several = tuple(several)
    by_name = {lot.name: lot for lot in question.desk.bin.lots}
    for hold in several:
        lot = by_name[hold.lot.name]
        if hold.what == RESERVE:
            by_name[lot.name] = replace(lot, reserve_m=0.0)
        elif hold.what == CLAIM:
            by_name[lot.name] = replace(lot, claimed_m=0.0)
    taken_back = {hold.lot.name for hold in several if hold.what == DECISION}
    bin = question.desk.bin
    decisions = {name: one for name, one in bin.decisions.items() if name not in taken_back}
    bin = replace(bin, lots=tuple(by_name.values()), decisions=decisions)
    return Way(tuple(hold.step() for hold in several), replace(question, desk=question.desk.with_(bin=bin)))


def put_away(question: Question, lot: str) -> Way:
    """A lot is out of the way: as if she had decided to keep it."""
    bin = question.desk.bin
    bin = replace(bin, decisions={**bin.decisions, lot: Decision(KEEP, "")})
    keep = Action("triage", (Field("lot", "LOT"), Field("decide", "keep")))
    step = Step("lot away", reason("keep {lot} out of it ({keep})", lot=lot, keep=keep), lot)
    return Way((step,), replace(question, desk=question.desk.with_(bin=bin)), "in the list")


def wishing(question: Question, step: Step, **wishes: Any) -> Way:
    """Something else is asked for."""
    return Way((step,), replace(question, wishes=replace(question.wishes, **wishes)))


def surer(question: Question, hundredths: int) -> Way:
    """Less sure."""
    chance = hundredths / 100.0
    said = reason("be content to be {sure} sure", sure=Chance(chance))
    return wishing(question, Step("sure", said, to=chance), sure=chance)


def quieter(question: Question, level: str) -> Way:
    """Colours that read less well."""
    said = reason("be content with colours that are {level}", level=Term(level))
    return wishing(question, Step("contrast", said, to=level), least_contrast=level)


def held_together(question: Question) -> Way:
    """Strands of different lots may be held together."""
    step = Step("held together", reason("hold strands of different lots together"), to="held together")
    return wishing(question, step, held_together=True)


def seen_ordinarily(question: Question) -> Way:
    """Ordinary eyes alone decide."""
    step = Step("eyes", reason("let only ordinary eyes decide"), to="ordinary")
    return Way((step,), replace(question, eyes="ordinary", known=None))


def meeting(question: Question) -> Way:
    """No yarns are kept apart."""
    desk = question.desk
    step = Step("apart", reason("let yarns meet that you wished to keep apart"))
    return Way((step,), replace(question, desk=desk.with_(wishes=replace(desk.wishes, apart=())), known=None))


def of_kind(question: Question, kind: str) -> Way:
    """Its kind is asked for, whatever she never wants."""
    said = reason("ask for it with {kind}", kind=Field("kind", kind))
    return wishing(replace(question, known=None), Step("kind", said, to=kind), kinds=(kind,))


def sized(question: Question, size: str, anybody: bool) -> Way:
    """In another size; for anybody, or for those that are asked for."""
    said: Reason = reason("make it in {size}", size=Term(size))
    if anybody:
        said = reason("make it in {size}, for anybody whom it suits", size=Term(size))
    whom = () if anybody else question.whom
    return wishing(replace(question, whom=whom, known=None), Step("size", said, to=size), sizes=(size,))
