"""An accessory to match a sweater: the motif fitted to a body, the colours shared out, the pictures written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from matcher.actions.asked import check_sure
from matcher.actions.desk import DeskLike, Shelf, desk_of
from matcher.actions.motifs.motif import motif_named
from matcher.actions.names import find
from matcher.actions.needs import find_accessory
from matcher.actions.partner.result import Partner
from matcher.actions.partner.wearing import Worn, parse_ease, worn_by
from matcher.actions.partner.words import shared_words
from matcher.actions.roles import Contrast, cautions_of, role_yarn, worst_together, yarn_warnings
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.calibration import calibrated
from matcher.knitting.fabric import tex_range
from matcher.knitting.fit.cast_ons import fits, remedies
from matcher.knitting.fit.fitted import Fitted, in_role_order
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.fit.parts import NoTube
from matcher.knitting.mending.reserve import ReserveGroup
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.needs import RoleNeed
from matcher.matching.contrast import judge, vanishing_words
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import Asked, lightness_order, sure_of
from matcher.matching.recolour.exchanges import Exchange, exchanges, short_roles
from matcher.matching.recolour.search import Progress
from matcher.matching.recolour.share import alternatives_of, asked_of, share_out
from matcher.matching.recolour.ways import Recolouring, most_of, recolour, suited
from matcher.matching.together import RuleVerdict, care_of
from matcher.materials.lots import Garment
from matcher.store.catalogue.catalogue import Catalogue

_RECOLOURINGS = 5
# Ways to share out grow with the power of the roles that are open: so many yarns are searched for up to three roles,
# for five and for more, all their ways exactly (choices: done in seconds).
_MOST_LOTS = ((3, 300), (5, 80), (16, 30))


def partner(
    bin: DeskLike = None,
    *,
    garment: str,
    accessory: str,
    motif: str | Path | None = None,
    size: str | None = None,
    head_cm: float | None = None,
    hand_cm: float | None = None,
    neck_cm: float | None = None,
    swatch: str | None = None,
    ease_percent: str | None = None,
    fit: int = 1,
    recolour: bool = False,
    sure: float | None = None,
    out: Path | str | None = None,
    catalog: Path | str | None = None,
    units: str = "metric",
    progress: Progress | None = None,
) -> Partner:
    """Fit the motif of a garment to an accessory, and share its leftovers out among the roles.

    Parameters
    ----------
    garment, accessory : their names, whatever their case; an accessory by its key too.
    motif : a file, or a motif of the catalogue, in place of the one that the garment names.
    size : of the catalogue; or one measure of the wearer [cm]. Left out: the garment's wearer, as far as known.
    swatch : "22 st x 30 rows" in 10 cm of plain knitting, in place of the garment's gauge.
    ease_percent : "-10..2", least and most in percent of the body's measure, in place of the catalogue's.
    fit : which of the fits to work out, 1 for the best. recolour : share all lots of the bin out anew.
    sure : the least chance that the yarn suffices. out : a folder for the pictures and the pages to print.
    progress : told of the search among the lots, as it goes on.

    Raises
    ------
    BadSheets, CatalogueError, NotFound, BadInput
    """
    desk = desk_of(bin, catalog)
    catalogue = desk.catalogue
    entry = find_accessory(accessory, catalogue)
    read = desk.bin
    owner = read.garments[find(garment, read.garments, "garment")]
    check_sure(sure)
    drawn = _motif(motif, owner, entry, catalogue, Path(read.source) if read.source else None)
    shelf = desk.shelf
    shared = share_out(sorted(drawn.role_names, key=in_role_order), shelf.pools, owner.name)
    worn = worn_by(
        entry,
        owner,
        catalogue,
        size=size,
        measured={"head": head_cm, "hand": hand_cm, "neck": neck_cm},
        swatch=swatch,
        ease_percent=parse_ease(ease_percent),
        main=next((pool.yarn for pool in shared.pools.values() if pool is not None), None),
    )
    try:
        found = fits(worn.wearing, drawn)
    except NoTube:
        raise BadInput(
            f"{entry.name} has no tube that a motif could run round", "--accessory", "name a hat, a cowl, mitts ..."
        ) from None
    if not 1 <= fit <= len(found):
        raise BadInput(f"there is no fit {fit}", "--fit", f"there are {len(found)}; give 1 to {len(found)}")
    chosen = found[fit - 1]
    told = desk.history.calibration

    def needs(one: Fitted) -> tuple[RoleNeed, ...]:
        counted = needs_of_fitted(one, catalogue.fabric)
        return calibrated(counted, entry, told, from_swatch=one.gauge.from_swatch_rows)

    asked = asked_of(chosen, needs)
    pools: dict[str, Pool | None] = {role: shared.pools.get(role) for role in asked.roles}
    notes = [*read.notes, *worn.notes, *shared_words(shared.by_lightness, pools, owner)]
    if motif is None and not owner.motif:
        notes.append(f"{owner.name} names no motif; this one is the accessory's own. --motif takes another.")
    if chosen.repeats == 1 and chosen.off_by_cm > 0:
        notes.append(f"One repeat is {chosen.repeat} stitches, more than the whole piece is to have.")
    least = sure if sure is not None else catalogue.ranking.sure_at_least
    wanted = lightness_order({role: pool.colour for role, pool in pools.items() if pool is not None}) or None
    ways: tuple[Recolouring, ...] = ()
    if recolour:
        ways = _recolourings(
            asked, _searched(asked, asked.roles, shelf, owner, catalogue, notes), wanted, catalogue, progress
        )
        if ways:
            pools = dict(zip(asked.roles, ways[0].pools, strict=True))
        else:
            notes.append("No other yarn of the bin has the thickness and the metres: the colours stay as they were.")
    certain = _sure(asked, pools)
    short: tuple[Exchange, ...] = ()
    if certain < least:
        others = alternatives_of(worn.wearing, drawn, chosen, needs)
        short = exchanges(
            asked,
            pools,
            _searched(asked, short_roles(asked, pools, least), shelf, owner, catalogue, notes),
            others,
            wanted,
            catalogue.contrast,
            catalogue.together,
            catalogue.fabric,
            catalogue.vision,
            least,
            progress=progress,
        )
    plans = tuple(
        role_yarn(need, [(pool, 1)] if (pool := pools[need.role]) is not None else (), shelf.groups)
        for need in asked.needs
    )
    given = [pool for pool in pools.values() if pool is not None]
    together = worst_together([[(pool, 1)] for pool in given], entry.next_to_skin, catalogue.together)
    contrasts = _contrasts(asked, pools, catalogue, entry.least_contrast or "quiet")
    made = Partner(
        garment=owner,
        accessory=entry,
        motif=drawn,
        worn=worn,
        fits=found,
        fit=chosen,
        remedies=remedies(worn.wearing, drawn) if chosen.off_by_cm > 0 else (),
        roles=plans,
        contrasts=contrasts,
        exchanges=short,
        recolourings=ways,
        sure=certain,
        sure_at_least=least,
        kept=_kept(shelf, owner),
        care=str(care_of(pool.yarn for pool in given)) if given else "no yarn is chosen yet",
        together=together,
        warnings=_warnings(chosen, asked, pools, contrasts, together, catalogue),
        cautions=_cautions(entry, worn, chosen, given, catalogue),
        notes=tuple(notes),
    )
    if out is None:
        return made
    from matcher.actions.partner.sheet import write_partner

    return replace(made, files=write_partner(made, Path(out), catalogue, units))


def _motif(
    asked: str | Path | None, owner: Garment, entry: Accessory, catalogue: Catalogue, source: Path | None
) -> Motif:
    """The motif asked for, else the garment's, else the accessory's own."""
    beside = None if source is None else source if source.is_dir() else source.parent
    if asked is not None:
        return motif_named(str(asked), catalogue, beside)
    if owner.motif:
        return motif_named(owner.motif, catalogue, beside)
    own = next((zone.motif for zone in entry.zones if zone.motif), None)
    if own is None:
        raise BadInput(
            f"neither {owner.name} nor {entry.name} names a motif",
            "--motif",
            "give one here, or write it into the column motif of the garments",
        )
    return catalogue.motifs[own]


def _recolourings(
    asked: Asked,
    pools: Sequence[Pool],
    wanted: tuple[str, ...] | None,
    catalogue: Catalogue,
    progress: Progress | None,
) -> tuple[Recolouring, ...]:
    rules = (catalogue.contrast, catalogue.together, catalogue.fabric, catalogue.vision)
    return recolour(asked, pools, wanted, *rules, top=_RECOLOURINGS, progress=progress)


def _searched(
    asked: Asked, open_roles: Sequence[str], shelf: Shelf, owner: Garment, catalogue: Catalogue, notes: list[str]
) -> Sequence[Pool]:
    """The pools to search for the roles that are open: all of them, or in a very large bin fewer, which is said."""
    suits = suited(shelf.pools, asked, catalogue.fabric)
    most = next(lots for roles, lots in _MOST_LOTS if len(open_roles) <= roles)
    if len(open_roles) < 2 or len(suits) <= most:
        return shelf.pools
    said = (
        f"{len(suits)} yarns of the bin have the thickness: colours were looked for among those of {owner.name} "
        f"and the longest others, {most} in all."
    )
    if said not in notes:
        notes.append(said)
    return most_of(suits, owner.name, most)


def _sure(asked: Asked, pools: Mapping[str, Pool | None]) -> float:
    given = [pool for role in asked.roles if (pool := pools[role]) is not None]
    return sure_of(asked.needs, given) if len(given) == len(asked.roles) else 0.0


def _contrasts(
    asked: Asked, pools: Mapping[str, Pool | None], catalogue: Catalogue, least: str
) -> tuple[tuple[Contrast, int], ...]:
    """Each pair of roles that touch in the fabric, with the sides they share; the pair that shares most first."""
    found = []
    for a, b, sides in asked.touching():
        first, second = pools[a], pools[b]
        if first is not None and second is not None:
            judged = judge(first.colour, second.colour, catalogue.vision, catalogue.contrast, least)
            found.append((Contrast((a, b), judged), sides))
    return tuple(sorted(found, key=lambda one: -one[1]))


def _kept(shelf: Shelf, owner: Garment) -> tuple[ReserveGroup, ...]:
    return tuple(group for group in shelf.groups if group.garment == owner.name and group.reserve_m > 0)


def _warnings(
    fitted: Fitted,
    asked: Asked,
    pools: Mapping[str, Pool | None],
    contrasts: Sequence[tuple[Contrast, int]],
    together: Sequence[RuleVerdict],
    catalogue: Catalogue,
) -> tuple[str, ...]:
    words = [str(one.reason) for one in together if one.verdict != "fits"]
    low, high = tex_range(asked.gauge, catalogue.fabric)
    given = [pool for pool in pools.values() if pool is not None]
    for pool in dict.fromkeys(given):
        tex = pool.yarn.tex.mean
        if not low <= tex <= high:
            how = "thin" if tex < low else "thick"
            words.append(
                f"{pool.name} is {how} for this gauge ({tex:.0f} tex; {low:.0f} to {high:.0f} suit): swatch first"
            )
    words += map(str, yarn_warnings(given))
    words += [
        f"the longest float of {role} passes {passed} stitches: catch it inside"
        for role, passed in fitted.longest_floats.items()
        if passed > catalogue.fabric.long_float
    ]
    many = sum(len(set(row)) >= catalogue.fabric.many_colours for part in fitted.parts for row in part.rows)
    if many:
        words.append(f"{many} {'round uses' if many == 1 else 'rounds use'} three colours or more at once")
    words += [
        f"{one.roles[0]} and {one.roles[1]}: {vanishing_words(one.judged.vanishing)}"
        for one, _ in contrasts
        if one.judged.vanishing >= 0.05
    ]
    return tuple(dict.fromkeys(words))


def _cautions(
    entry: Accessory, worn: Worn, fitted: Fitted, pools: Sequence[Pool], catalogue: Catalogue
) -> tuple[str, ...]:
    found = cautions_of(entry, worn.like_size, pools, catalogue)
    long = max(fitted.longest_floats.values(), default=0) > catalogue.fabric.long_float
    return tuple(dict.fromkeys((*found, *((catalogue.cautions["floats"],) if long else ()))))
