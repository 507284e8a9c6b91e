"""An accessory to match a sweater: the motif fitted to a body, the colours shared out, the pictures written."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from pathlib import Path

from matcher.actions.asked import eyes_asked
from matcher.actions.desk import DeskLike, desk_of
from matcher.actions.partner.choices import offered
from matcher.actions.partner.fitting import Fitting, fitting_of
from matcher.actions.partner.judging import Judged, judged_of
from matcher.actions.partner.page import write_partner
from matcher.actions.partner.result import Partner
from matcher.actions.partner.settle import Settled, settle
from matcher.actions.partner.sharing import Shared, shared_of
from matcher.actions.partner.wishes import Wishes, parse_ease
from matcher.actions.roles import role_yarn
from matcher.errors import BadInput
from matcher.matching.recolour.search import Progress
from matcher.reasons.reason import Field, reason
from matcher.reasons.style import PLAIN, Style


def partner(
    bin: DeskLike = None,
    *,
    garment: str,
    accessory: str,
    motif: str | Path | None = None,
    lots: Sequence[str] = (),
    whom: str | None = None,
    size: str | None = None,
    head_cm: float | None = None,
    hand_cm: float | None = None,
    neck_cm: float | None = None,
    swatch: str | None = None,
    ease_percent: str | None = None,
    fit: int = 1,
    recolour: bool = False,
    offer: int = 0,
    ways: bool = True,
    sure: float | None = None,
    eyes: str | None = None,
    out: Path | str | None = None,
    replace: bool = False,
    mending: str | None = None,
    catalog: Path | str | None = None,
    style: Style = PLAIN,
    progress: Progress | None = None,
) -> Partner:
    """Fit the motif of a garment to an accessory, and share its leftovers out among the roles.

    Parameters
    ----------
    garment, accessory : their names, whatever their case; an accessory by its key too.
    motif : a file, or a motif of the catalogue, in place of the one that the garment names.
    lots : those that she names for some of the roles, "main=navy" or in the order of the roles.
    whom : who it is for, in place of the garment's wearer: their size or measures, what their skin bears, their eyes.
    size : of the catalogue; or one measure of the wearer [cm]. Left out: that of whom it is for, as far as known.
    swatch : "22 st x 30 rows" in 10 cm of plain knitting, in place of the garment's gauge.
    ease_percent : "-10..2", least and most in percent of the body's measure, in place of the catalogue's.
    fit : which of the fits to work out, 1 for the best. recolour : share all lots of the bin out anew.
    offer : for each role find so many yarns of the bin that it could be knitted in. ways : look for ways out where a
        colour is short, which takes longest.
    sure : the least chance that the yarn suffices. eyes : whose decide besides ordinary ones: "ordinary" (none), "red",
        "green", "red-green", "blue" (blind) or "any" of these; left out, those of whom it is for.
    out : a folder for the pictures and the pages to print.
    replace : write over files of other content there.
    mending : which repairs to keep yarn for where a garment's own row leaves it open, one of `MENDING`.
    style : how those say things. progress : told of the search among the lots, as it goes on.

    Raises
    ------
    BadSheets, CatalogueError, NotFound, BadInput
    """
    measured = {"head": head_cm, "hand": hand_cm, "neck": neck_cm}
    told = {body: cm for body, cm in measured.items() if cm is not None}
    seen = None if eyes is None else eyes_asked(eyes)
    if recolour and lots:
        what = reason("lots are named, and all are to be shared out anew")
        raise BadInput(what, Field("lots"), reason("leave out one or the other"))
    wishes = Wishes(motif, size, told, swatch, parse_ease(ease_percent), fit, recolour, sure, seen, whom, tuple(lots))
    settled = settle(desk_of(bin, catalog, mending), garment, accessory, wishes)
    fitting = fitting_of(settled)
    shared = shared_of(settled, fitting, progress, ways=ways)
    made = _told(settled, fitting, shared, judged_of(settled, fitting, shared))
    if offer:
        made = dataclasses.replace(made, offered=offered(settled, fitting, shared, offer))
    if out is None:
        return made
    return dataclasses.replace(made, files=write_partner(made, Path(out), settled.desk.catalogue, style, replace))


def _told(settled: Settled, fitting: Fitting, shared: Shared, judged: Judged) -> Partner:
    groups, owner = settled.desk.shelf.groups, settled.garment
    return Partner(
        garment=owner,
        accessory=settled.accessory,
        motif=settled.motif,
        worn=settled.worn,
        fits=fitting.fits,
        fit=fitting.chosen,
        remedies=fitting.remedies,
        roles=tuple(
            role_yarn(need, [(pool, 1)] if (pool := shared.pools[need.role]) is not None else (), groups)
            for need in fitting.asked.needs
        ),
        contrasts=judged.contrasts,
        exchanges=shared.exchanges,
        recolourings=shared.recolourings,
        sure=shared.sure,
        sure_at_least=settled.sure_at_least,
        kept=tuple(group for group in groups if group.garment == owner.name and group.reserve_m > 0),
        care=judged.care,
        together=judged.together,
        warnings=judged.warnings,
        cautions=judged.cautions,
        notes=(*settled.notes, *fitting.notes, *shared.notes),
        people=(settled.person.name,) if settled.person is not None else (),
    )
