"""A cell that says how much there is, as a mass with its spread and words for it: "50% of a ball of 50 g: 25 g"."""

from __future__ import annotations

import re

from matcher.materials.estimate import Estimate
from matcher.materials.reading.amounts import Amount, AmountWords, Told, plain_amount
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import LENGTH_M, NUMBER, Unreadable, any_of, parse_number, tidy
from matcher.reasons.quantities import Band, Mass, Number, Share
from matcher.reasons.reason import Words, counted, reason

_EXPECTED = reason("a weight such as 41, about 40 g or half a ball")
_OF_BALL = "{balls} of {ball}"


LENGTH = re.compile(rf"({NUMBER})\s*({any_of(LENGTH_M)})(?![^\W\d_])")
"""A length with its unit, in an amount."""


def heard_amount(text: str, words: AmountWords, ball_g: float | None = None, tex: float | None = None) -> Heard[Amount]:
    """How much a cell says.

    ball_g: what a full ball weighs by its band [g]; tex: grams in 1000 m, of which a length that is left is weighed;
    None where they are not known. Raises Unreadable, as a weight does, for what neither a weight nor these words say.
    """
    try:
        plain = plain_amount(tidy(text))
    except Unreadable as fault:
        told = _in_words(text, words) or _in_words(_weighed(text, tex), words)
        if told is None:
            raise Unreadable(text, fault.expected if fault.mend else _EXPECTED, fault.mend) from None
    else:
        if plain is not None:
            return Heard(plain)
        told = _in_words(text, words)
        assert told is not None, text
    ball = words.usual_ball_g if ball_g is None else Estimate(ball_g, 0.0)
    mass = told.mass(ball)
    if mass.mean <= 0:
        raise Unreadable(text, _EXPECTED, reason("that leaves nothing"))
    sure = not told.guess and (ball_g is not None or not told.balls.mean)
    return Heard(Amount(mass, told.pieces), _taken(told, mass, Band(ball.mean), ball_g is not None), sure)


def _in_words(text: str, words: AmountWords) -> Told | None:
    from matcher.materials.reading.amount_words import told_amount  # many patterns, and most sheets weigh in figures

    return told_amount(text, words)


def _weighed(text: str, tex: float | None) -> str:
    """The text with every length in it as the grams that it weighs: "about 20 m" of 400 tex is "about 8 g"."""
    if tex is None:
        return ""

    def grams(found: re.Match[str]) -> str:
        try:
            return " ".join((format(parse_number(found[1]) * LENGTH_M[found[2]] * tex / 1000.0, ".6f"), "g"))
        except Unreadable:
            return found[0]

    each = re.sub(r"(\d)\s*(-|to)\s*(\d+(?:[.,]\d+)?)\s*([a-z]+)", r"\1 \4 \2 \3 \4", tidy(text).casefold())
    return LENGTH.sub(grams, each)


def _taken(told: Told, mass: Estimate, ball: Band, known: bool) -> Words:
    """What was made of it: "50% of a ball of 50 g: 25 g, give or take 6 g"."""
    taken: Words = reason("{mass}, give or take {sd}", mass=Mass(mass.mean), sd=Mass(mass.sd))
    if mass.sd < 1e-9:
        taken = reason("{mass}", mass=Mass(mass.mean))
    if told.pieces is not None and told.pieces > 1:
        taken = counted(told.pieces, "{taken}, in {n} piece", "{taken}, in {n} pieces", taken=taken)
    if not told.balls.mean:
        return taken
    whole = _balls(told.balls.mean)
    if told.grams.mean:
        more = "{balls} and {more}" if told.grams.mean > 0 else "{balls} less {more}"
        whole = reason(more, balls=whole, more=Mass(abs(told.grams.mean)))
    of = "{balls}, guessing {ball} a ball" if not known else "{balls} at {ball} a ball" if told.grams.mean else _OF_BALL
    return reason("{balls}: {taken}", balls=reason(of, balls=whole, ball=ball), taken=taken)


def _balls(number: float) -> Words:
    if number < 1 - 1e-9:
        return reason("{share} of a ball", share=Share(number))
    if abs(number - round(number)) < 1e-9:
        return counted(round(number), "{n} ball", "{n} balls")
    return reason("{n} balls", n=Number(number, 2))
