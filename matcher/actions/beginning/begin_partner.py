"""A partner put on the needles."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from matcher.actions.beginning.begin import begin
from matcher.actions.keeping.done import Done
from matcher.actions.partner.result import Partner
from matcher.actions.place import Place
from matcher.errors import BadInput
from matcher.knitting.pattern.minded import mind_words
from matcher.reasons.reason import Field, Term, listed, reason


def begin_partner(
    found: Partner,
    *,
    name: str | None = None,
    anyway: bool = False,
    mending: str | None = None,
    bin: Place = None,
    catalog: Path | str | None = None,
) -> Done:
    """Claim what it takes. What the partner says itself is not said again. Raises as `begin`, and BadInput
    for a role without yarn."""
    missing = [Term(role.role) for role in found.roles if not role.lots]
    if missing:
        what = reason("there is no yarn for {roles} yet", roles=listed(missing, "and", " and "))
        todo = reason("{recolour} shares all lots out anew", recolour=Field("recolour"))
        raise BadInput(what, Field("begin"), todo)
    done = begin(recipe=found.recipe, name=name, anyway=anyway, mending=mending, bin=bin, catalog=catalog)
    said = {*map(mind_words, found.warnings), *found.cautions}
    return replace(done, notes=tuple(one for one in done.notes if one not in said))
