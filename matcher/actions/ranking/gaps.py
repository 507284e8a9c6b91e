"""What is missing from a bin, as a person and a program get it: yarns to buy, what they open, what does without."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.ranking.suggestion import Suggestion
from matcher.matching.gap.find import Purchase
from matcher.materials.colours.cielab import Lab, hex_from_lab
from matcher.materials.colours.ranges import range_figures
from matcher.reasons.quantities import Band, Chance, Length
from matcher.reasons.reason import Action, Field, Term, Words, counted, listed, reason
from matcher.reasons.style import Units

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Opened:
    """A thing that a purchase makes possible: as it would be suggested, and the least balls that do."""

    suggestion: Suggestion
    balls: int

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        return {**self.suggestion.as_dict(), "balls": self.balls}


@dataclass(frozen=True)
class Finishes:
    """What a purchase does for a wanted set, all of it planned again with it.

    wants : what it adds to the set; missing : what still can't be. sure : that the yarn lasts for all that can.
    """

    wants: tuple[Words, ...]
    missing: tuple[Words, ...]
    sure: float

    @property
    def said(self) -> Words:
        """What it finishes, and how that is known."""
        said = "with it the set is whole: it adds {wants}; all of it was planned again with this yarn, {sure} sure"
        if self.missing:
            said = (
                "it adds {wants}; {missing} still can't be made; the set was planned again with this yarn, {sure} sure"
            )
        wants, missing = listed(self.wants, "and"), listed(self.missing, "and")
        return reason(said, wants=wants, missing=missing, sure=Chance(self.sure, 1))

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        return {"wants": list(self.wants), "missing": list(self.missing), "sure": round(self.sure, 6)}


@dataclass(frozen=True)
class OfSet:
    """The set that is to be finished: her wants, and what of them can't be made yet."""

    wants: tuple[str, ...]
    missing: tuple[Words, ...]

    @property
    def said(self) -> Words:
        """What is missing of it."""
        if self.missing:
            return reason("missing from the set: {wants}", wants=listed(self.missing, "and"))
        set_of = Action("set", (Field("want", f'"{", ".join(self.wants)}"'),))
        return reason("nothing is missing: all of it can be made; {set} shows how", set=set_of)


@dataclass(frozen=True)
class ToBuy:
    """A yarn to buy. examples: colours of its range by their words; opens: what it makes possible, the best first.

    range_called: what the whole range is called. finishes: what it does for the set that was asked for. cut_short:
    whether there were too many ways to hold strands together to try them all, so that `opens` may not tell of the best.
    """

    purchase: Purchase
    examples: tuple[tuple[str, Lab], ...]
    range_called: Words
    opens: tuple[Opened, ...]
    finishes: Finishes | None = None
    cut_short: bool = False

    @property
    def yarn(self) -> Words:
        """The class and the fibre: "class 3 (light), wool"."""
        of_class = self.purchase.offer.of_class
        name, fibre = Term(of_class.name.casefold()), Term(self.purchase.offer.kind.fibre.name)
        return reason("class {number} ({name}), {fibre}", number=of_class.number, name=name, fibre=fibre)

    @property
    def amount(self) -> Words:
        """The balls: "3 balls of 50 g"."""
        return balls_of(self.purchase.offer.balls, self.purchase.offer.ball_g)

    @property
    def other_balls(self) -> Words:
        """The same in other balls: "6 of 25 g or 2 of 100 g"."""
        offer = self.purchase.offer
        others = [one for one in self.purchase.balls if one[1] != offer.ball_g]
        return listed([reason("{n} of {mass}", n=n, mass=Band(ball_g)) for n, ball_g in others], "or")

    @property
    def band(self) -> Words:
        """What the band of a ball says: "107 to 150 m in 50 g"."""
        ball_g = self.purchase.offer.ball_g
        thin, thick = self.purchase.tex
        least, most = Length(1000.0 * ball_g / thick), Length(1000.0 * ball_g / thin)
        said = "{least} in {mass}" if str(least) == str(most) else "{least} to {most} in {mass}"
        return reason(said, least=least, most=most, mass=Band(ball_g))

    @property
    def balls_said(self) -> Words:
        """Other balls that do as well, and what to look for on the band."""
        if any(ball_g != self.purchase.offer.ball_g for _, ball_g in self.purchase.balls):
            return reason("or {others}; its band says {band}", others=self.other_balls, band=self.band)
        return reason("its band says {band}", band=self.band)

    @property
    def colour(self) -> Words:
        """The range of colours in words."""
        names = listed([Term(name) for name, _ in self.examples], "or")
        if self.purchase.any_colour:
            return reason("any colour, such as {names}", names=names)
        return reason("{range}; such as {names}", range=self.range_called, names=names)

    @property
    def colour_figures(self) -> Words | None:
        """The range in figures, as the working behind the words; None where any colour does."""
        if self.purchase.any_colour:
            return None
        return range_figures(self.purchase.colours.low, self.purchase.colours.high)

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        one, offer = self.purchase, self.purchase.offer
        return {
            "class": offer.of_class.number,
            "class_name": offer.of_class.name,
            "fibre": offer.kind.fibre.name,
            "wash": offer.kind.wash,
            "grams": offer.grams,
            "balls": offer.balls,
            "ball_g": offer.ball_g,
            "other_balls": [{"balls": n, "ball_g": g} for n, g in one.balls if g != offer.ball_g],
            "metres": round(1000.0 * offer.grams / one.tex[1], 1),
            "tex": {"low": round(one.tex[0], 1), "high": round(one.tex[1], 1), "tried": round(offer.tex, 1)},
            "colours": {
                "low": _lab(one.colours.low),
                "high": _lab(one.colours.high),
                "tried": _lab(offer.lab),
                "any": one.any_colour,
                "examples": [{"word": word, "code": hex_from_lab(lab)} for word, lab in self.examples],
            },
            "opens": [opened.as_dict() for opened in self.opens],
            **({} if self.finishes is None else {"finishes": self.finishes.as_dict()}),
        }


def balls_of(number: int, ball_g: float) -> Words:
    """So many balls: "one ball of 50 g", "3 balls of 50 g"."""
    return counted(number, "one ball of {mass}", "{n} balls of {mass}", mass=Band(ball_g))


def _lab(lab: Lab) -> dict[str, float]:
    return dict(zip("lab", (round(one, 1) + 0.0 for one in lab), strict=True))


@dataclass(frozen=True)
class Without:
    """A way to make something without buying."""

    how: Words
    suggestion: Suggestion

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        return {**self.suggestion.as_dict(), "how": self.how}


@dataclass(frozen=True)
class Gaps:
    """All that `gap` found.

    possible: the wanted thing, where it can be made as it is. never: names of what no purchase that was tried opens;
    more: of what others open than are shown. tried: how many classes, kinds of fibre, colours and amounts, and beside
    how many of her yarns;
    held_together: whether new yarn was tried held together with other lots. of_set: the set to finish, where one was
    asked for.
    """

    sure_at_least: float
    most_grams: float
    to_buy: tuple[ToBuy, ...]
    without: tuple[Without, ...]
    possible: tuple[Suggestion, ...]
    never: tuple[str, ...]
    more: tuple[str, ...]
    tried: tuple[int, int, int, int, int]
    held_together: bool
    notes: tuple[Words, ...] = ()
    files: tuple[Path, ...] = ()
    of_set: OfSet | None = None

    def __iter__(self) -> Iterator[ToBuy]:
        return iter(self.to_buy)

    def __len__(self) -> int:
        return len(self.to_buy)

    @property
    def said(self) -> tuple[Words, ...]:
        """What is beside the purchases: what none of them opens, what others would, and that nothing is missing."""
        told: list[Words] = []
        if self.never:
            never = listed(map(Term, self.never), "or", "; ")
            told.append(reason("no single purchase that was tried makes {names} possible", names=never))
        if self.more:
            more, ask = listed(map(Term, self.more), "and", "; "), Field("accessory")
            said = "other purchases make {names} possible: ask for one with {accessory}"
            told.append(reason(said, names=more, accessory=ask))
        if any(one.cut_short for one in self.to_buy):
            told.append(
                reason(
                    "there are so many ways to hold strands together that not all were tried for what new yarn makes "
                    "possible: better ones may be missing"
                )
            )
        if not (self.to_buy or self.never or self.possible or self.of_set):
            told.append(reason("nothing of several colours is missing: all of it can be made from what is free"))
        return tuple(told)

    @property
    def set_said(self) -> tuple[Words, ...]:
        """What is missing from the set that was asked for, and whether one purchase finishes it."""
        if self.of_set is None:
            return ()
        if not self.of_set.missing or any(one.finishes and not one.finishes.missing for one in self.to_buy):
            return (self.of_set.said,)
        none = "no single purchase that was tried finishes it; these come nearest"
        if not self.to_buy:
            none = "no single purchase that was tried finishes it"
        return self.of_set.said, reason(none)

    @property
    def how_complete(self) -> Words:
        """What was tried, and what that leaves open."""
        classes, kinds, colours, amounts, lots = self.tried
        sure = "a yarn between these may make more possible"
        if not self.held_together:
            sure = "none of it was held together with your lots; other yarns and ways may make more possible"
        return reason(
            "tried were {classes} classes, {kinds} kinds of fibre, {colours} colours, {amounts} up to {most}, "
            "beside {lots}; {sure}",
            sure=reason(sure),
            lots=counted(lots, "one yarn of yours", "{n} yarns of yours"),
            classes=classes,
            kinds=kinds,
            colours=colours,
            amounts=counted(amounts, "one amount", "{n} amounts"),
            most=Band(self.most_grams),
        )

    def as_dict(self, units: Units = "metric") -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say in these units. Figures are metric."""
        return {
            "sure_at_least": self.sure_at_least,
            "units": units,
            "most_grams": self.most_grams,
            "purchases": [one.as_dict() for one in self.to_buy],
            "without": [one.as_dict() for one in self.without],
            "possible": [one.as_dict() for one in self.possible],
            "never": list(self.never),
            "more": list(self.more),
            "tried": dict(zip(("classes", "fibres", "colours", "amounts", "beside"), self.tried, strict=True)),
            "held_together": self.held_together,
            **({} if self.of_set is None else {"set_missing": list(self.of_set.missing)}),
            "notes": list(self.notes),
            "files": [str(path) for path in self.files],
        }

    def frame(self) -> pd.DataFrame:
        """One row for each thing that a purchase opens, as a pandas frame."""
        import pandas as pd

        rows = []
        for number, one in enumerate(self.to_buy, 1):
            offer = one.purchase.offer
            for opened in one.opens:
                made = opened.suggestion
                rows.append(
                    {
                        "purchase": number,
                        "class": offer.of_class.number,
                        "fibre": offer.kind.fibre.name,
                        "grams": offer.grams,
                        "balls": offer.balls,
                        "colours": " / ".join(word for word, _ in one.examples),
                        "opens": made.accessory,
                        "size": made.size,
                        "least_balls": opened.balls,
                        "sure": made.sure,
                        "score": made.score,
                    }
                )
        return pd.DataFrame(rows, columns=list(COLUMNS))


COLUMNS: Sequence[str] = (
    *("purchase", "class", "fibre", "grams", "balls", "colours"),
    *("opens", "size", "least_balls", "sure", "score"),
)
