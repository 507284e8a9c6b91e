"""What is to go with which sweater, as it stands in an address: her wishes, and the lots that she tapped."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from matcher.actions.desk import Desk
from matcher.actions.motifs.own import known_motif
from matcher.actions.partner.result import Partner
from matcher.web import figures

ROLE = "lot "  # what the name of a role's field begins with
_TEXTS = ("garment", "accessory", "motif", "for", "size", "swatch", "ease")
_MEASURES = ("head", "hand", "neck")
_ASKED = (*_TEXTS, *_MEASURES, "fit", "sure")


def asked_of(given: Mapping[str, str]) -> dict[str, str]:
    """Her wishes as she typed them, "" for none."""
    return {name: given.get(name, "").strip() for name in _ASKED}


def nothing_asked(asked: Mapping[str, str]) -> bool:
    """Whether there is no sweater, or nothing to go with it, yet."""
    return not asked["garment"] or not asked["accessory"]


def lots_of(given: Mapping[str, str]) -> list[str]:
    """What was tapped, as the action reads it."""
    return [
        f"{name.removeprefix(ROLE)}={value}" for name, value in given.items() if name.startswith(ROLE) and value.strip()
    ]


def wishes_of(asked: Mapping[str, str], desk: Desk) -> dict[str, Any]:
    """What she asked for as the action's plain values. Raises BadInput for what is no figure."""
    size = {name: asked[name] or None for name in ("size", "swatch")}
    measured = {f"{name}_cm": figures.cm(asked[name], f"{name} cm") for name in _MEASURES}
    return {
        **size,
        **measured,
        "garment": asked["garment"],
        "accessory": asked["accessory"],
        "whom": asked["for"] or None,
        "ease_percent": asked["ease"] or None,
        "motif": _motif_file(asked["motif"], desk),
        "fit": figures.whole(asked["fit"], "fit") or 1,
        "sure": figures.chance(asked["sure"], "sure"),
    }


def _motif_file(asked: str, desk: Desk) -> str | None:
    """Only what is known may be named here, so that no address of ours opens a file."""
    return known_motif(asked, desk).asked if asked else None


def named_lots(found: Partner) -> dict[str, str]:
    """The first lot of each role, which stands for its yarn."""
    return {role.role: role.lots[0].name for role in found.roles if role.lots}


def fields_of(asked: Mapping[str, str], lots: Mapping[str, str]) -> dict[str, str]:
    """All of it as the fields of a form."""
    return {**{k: v for k, v in asked.items() if v}, **{f"{ROLE}{role}": lot for role, lot in lots.items()}}


def query_of(asked: Mapping[str, str], lots: Mapping[str, str]) -> str:
    """The same as a query, which is also how it is kept as a bookmark."""
    return urlencode(fields_of(asked, lots))


def address_of(asked: Mapping[str, str], lots: Mapping[str, str]) -> str:
    """Where it is shown."""
    return f"/match/fit?{query_of(asked, lots)}"
