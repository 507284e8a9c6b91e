"""Why a suggestion is worth knitting, as a knitter would say it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from matcher.actions.roles import Contrast, RoleYarn
from matcher.matching.pools import Pool, Stock
from matcher.matching.ranking.found import Found
from matcher.materials.rules import RankingRules
from matcher.reasons.reason import Term, Words, listed, reason

_NUMBERS = {3: "three", 4: "four", 5: "five", 6: "six"}
# A name that says whose it is, or begins with an article, takes no "your".
_HAS_OWNER = re.compile(r"(my|your|our|his|her|their|the|an?)\s|.*['\u2019]s\s", re.IGNORECASE)


@dataclass(frozen=True)
class Why:
    """Reasons, the weightiest first; `short` is the one to say where there is room for no more."""

    reasons: tuple[Words, ...]
    short: Words


def why(
    found: Found,
    stock: Stock,
    roles: Sequence[RoleYarn],
    contrasts: Sequence[Contrast],
    alike: Sequence[Words],
    rules: RankingRules,
) -> Why:
    """All that speaks for a suggestion, and against it.

    stock: where its pools stand. alike: roles that touch nothing of
    each other and are of one colour to the eye.
    """
    pools = [stock.pools[pool] for thread in found.threads for pool, _ in thread]
    doubled = [stock.pools[pool] for pool in found.doubled]
    kindred = _kindred(pools)
    used, read = _used(found, roles, rules), _read(kindred, contrasts, alike)
    reasons = (*used, *read, *_rest(found, doubled, rules)) or (reason("there is enough of it"),)
    return Why(reasons, kindred or reasons[0])


def yours(name: str) -> Words:
    """Something of hers by its name: "your grey yoke pullover", but "Dad's jumper"."""
    return name if _HAS_OWNER.match(name) else reason("your {name}", name=name)


def _used(found: Found, roles: Sequence[RoleYarn], rules: RankingRules) -> list[Words]:
    """What of a lot goes into it, of the lot of which most does."""
    taken = [(role.need_m / (role.need_m + role.left_m), role.lots[0].name) for role in roles if role.lots]
    part, lot = max(taken, key=lambda one: one[0], default=(0.0, ""))
    if part >= rules.used_up:
        return [reason("uses up the last of {lot}", lot=yours(lot))]
    if part > 0.5:
        return [reason("takes more than half of {lot}", lot=yours(lot))]
    return [reason("takes a good part of {lot}", lot=yours(lot))] if found.parts["use"] >= rules.good_use else []


def _read(kindred: Words, contrasts: Sequence[Contrast], alike: Sequence[Words]) -> list[Words]:
    """Why its colours belong together, and how they read: of colours that look alike no more than is true of those that
    touch."""
    if not contrasts:
        return [kindred] if kindred else []
    least = min((one.judged for one in contrasts), key=lambda judged: judged.reading)
    clear = least.verdict == "clear" and not least.guessed
    if alike:
        touching = reason("what touches reads clearly" if clear else "what touches is {verdict}", verdict=least.said)
        others = listed([reason("{roles} look alike", roles=roles) for roles in alike], "and")
        said = reason("{touching}, but {others}", touching=touching, others=others)
    elif clear:
        clearly = reason("its colours read clearly")
        return [reason("{kindred} and read clearly", kindred=kindred) if kindred else clearly]
    else:
        said = reason("their contrast is {verdict}" if kindred else "its colours are {verdict}", verdict=least.said)
    return [listed((kindred, said), between="; ") if kindred else said]


def _kindred(pools: Sequence[Pool]) -> Words:
    """What two or more lots have in common: all of them, else the two or more that do; "" where none have anything."""
    if len(pools) < 2:
        return ""
    every = "both" if len(pools) == 2 else reason("the {number}", number=Term(_NUMBERS.get(len(pools), "colours")))
    homes = [{lot.garment for lot in pool.lots if lot.garment} for pool in pools]
    shared = set.intersection(*homes)
    if shared:
        said = "both lived in {garment}" if len(pools) == 2 else "{every} lived together in {garment}"
        return reason(said, every=every, garment=yours(min(shared)))
    largest: list[str] = []
    home = ""
    for garment in sorted(set().union(*homes)):
        of_it = [pool.name for pool, garments in zip(pools, homes, strict=True) if garment in garments]
        if len(of_it) > max(1, len(largest)):
            largest, home = of_it, garment
    if largest:
        return reason("{lots} lived together in {garment}", lots=listed(largest, "and"), garment=yours(home))
    yarns = {pool.yarn.name.casefold().strip() for pool in pools}
    if len(yarns) == 1 and "" not in yarns:
        return reason("both are of one yarn") if len(pools) == 2 else reason("{every} are of one yarn", every=every)
    return ""


def _rest(found: Found, doubled: Sequence[Pool], rules: RankingRules) -> Iterator[Words]:
    parts = found.parts
    if parts["leftover"] >= rules.useful_leftover:
        yield reason("what is left over stays useful")
    elif parts["leftover"] < rules.short_leftover:
        yield reason("what is left over is too short for much")
    if parts["together"] < 1:
        yield reason("the yarns differ a little")
    for pool in doubled:
        yield reason("{lot} is held double, though it could carry colourwork by itself", lot=pool.name)
