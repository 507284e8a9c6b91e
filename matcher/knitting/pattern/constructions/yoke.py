"""The yoke of a seamless sweater: from the round that joins body and sleeves, over its bands, to the collar.

The stitches fall between the bands, in the plain round that ends each of them. Body, sleeves and underarms are in the
proportion of the percentage system: of the body's stitches 8 % wait at either underarm, on body and sleeve alike.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from matcher.knitting.fit.fitted import FittedPart
from matcher.knitting.pattern.constructions.parts import height_cm, width_cm
from matcher.knitting.pattern.constructions.tube import column
from matcher.knitting.pattern.courses import ChartBook
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.pattern import Bring, Join, Piece, Step
from matcher.knitting.pattern.trade import GAUGE
from matcher.reasons.quantities import Measure
from matcher.reasons.reason import Term, Words, reason


@dataclass(frozen=True)
class Joined:
    """Stitches at the round that joins body and sleeves; underarm: set aside at each underarm, on both of them."""

    body: int
    sleeve: int
    underarm: int

    @property
    def front(self) -> int:
        return (self.body - 2 * self.underarm) // 2

    @property
    def back(self) -> int:
        return self.body - 2 * self.underarm - self.front

    @property
    def of_sleeve(self) -> int:
        """What of a sleeve comes into the round."""
        return self.sleeve - self.underarm


def build(making: Making, book: ChartBook) -> Made:
    """One piece, which begins on the live stitches of body and sleeves."""
    parts = making.fitted.parts
    joined = joined_of(parts[0].first, making)
    piece = Piece(Term(making.accessory.name), column(making, book, _joining(joined)))
    return Made((piece,), tuple(_before(joined, parts, making)), tuple(_finishing(joined)))


def joined_of(stitches: int, making: Making) -> Joined:
    """Body, sleeves and underarms that join to so many stitches.

    The body has the share of them that the entry's first zone says; an even count joins to an even one.
    """
    around = making.accessory.zones[0].around
    times = around.times if around is not None and around.times > 1.0 else making.constants.yoke_join_share
    body = stitches - 2 * round(stitches * (1.0 - 1.0 / times) / 2.0)
    underarm = round(making.constants.underarm_share * body)
    return Joined(body, (stitches - body) // 2 + 2 * underarm, underarm)


def _joining(joined: Joined) -> tuple[Step, ...]:
    return (
        Bring(joined.of_sleeve, reason("the left sleeve")),
        Bring(joined.front, reason("the front")),
        Bring(joined.of_sleeve, reason("the right sleeve")),
        Bring(joined.back, reason("the back")),
        Join(reason("place a marker, where each round begins")),
    )


def _before(joined: Joined, parts: Sequence[FittedPart], making: Making) -> Iterator[Words]:
    yield reason(
        "Finished, the yoke measures {below} around where body and sleeves join and {neck} around at the neck, and is "
        "{high} high",
        below=Measure(width_cm(parts[0], making, parts[0].first)),
        neck=Measure(width_cm(parts[-1], making, parts[-1].last)),
        high=Measure(sum(height_cm(part, making) for part in parts)),
    )
    brought = any(role.bring for role in making.accessory.roles)
    if brought:
        yield reason("MC is the yarn of the sweater itself, which you bring")
    else:
        yield reason("MC of the yoke is counted here; body and sleeves below it need their own yarn")
    yield reason(
        "Knit the body in the round up to the underarms on {body} stitches, and both sleeves up to there on {sleeve}, "
        "at the {gauge} of the yoke; where yours have a few more or fewer, come to these numbers in their last round",
        body=joined.body,
        sleeve=joined.sleeve,
        gauge=GAUGE,
    )
    yield reason(
        "Put {underarm} stitches at each side of the body, and {underarm} under each sleeve, on waste yarn: these are "
        "the underarms",
        underarm=joined.underarm,
    )
    yield reason(
        "The round begins at the back of the left shoulder, and goes over the left sleeve, the front, the right sleeve "
        "and the back; where a band doesn't quite meet there, it shows least"
    )
    yield reason("Change to a shorter circular needle when the stitches no longer reach round")
    back = parts[-1].first * joined.back // parts[0].first
    yield reason(
        "If you want the neck higher behind, work short rows in the collar once its last decreases are made, with MC: "
        "turn at the marker, purl back over the {back} stitches of the back, turn and knit to the marker, then so "
        "again over {more} more at either end, wrapping the stitch at each turn; their yarn is not counted here",
        back=back,
        more=max(1, back // 6),
    )


def _finishing(joined: Joined) -> Iterator[Words]:
    yield reason(
        "Graft the {underarm} stitches of each underarm of the body to those of the sleeve, and close the small holes "
        "at both ends with the yarn that is left",
        underarm=joined.underarm,
    )
