"""What the catalogue holds, for somebody who looks for a name."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from matcher.actions.desk import desk_of
from matcher.knitting.accessory import KINDS, Accessory
from matcher.knitting.motifs.motif import Motif


@dataclass(frozen=True)
class Accessories:
    """Every accessory, by kind and then by key."""

    entries: tuple[Accessory, ...]

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "accessories": [
                {
                    "key": one.key,
                    "name": one.name,
                    "kind": one.kind,
                    "classes": list(one.classes),
                    "sizes": list(one.sizes),
                    "roles": list(one.role_names),
                }
                for one in self.entries
            ]
        }


@dataclass(frozen=True)
class Motifs:
    """Every motif, by key."""

    motifs: tuple[Motif, ...]

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "motifs": [
                {
                    "key": one.key,
                    "name": one.name,
                    "width": one.width,
                    "height": one.height,
                    "roles": list(one.role_names),
                }
                for one in self.motifs
            ]
        }


def all_accessories(catalog: Path | str | None = None) -> Accessories:
    """Every accessory of the catalogue and of the knitter's own folder. Raises CatalogueError, NotFound, BadInput."""
    held = desk_of(None, catalog).catalogue.accessories.values()
    return Accessories(tuple(sorted(held, key=lambda one: (KINDS.index(one.kind), one.key))))


def all_motifs(catalog: Path | str | None = None) -> Motifs:
    """Every motif of the catalogue and of the knitter's own folder. Raises CatalogueError, NotFound, BadInput."""
    return Motifs(tuple(sorted(desk_of(None, catalog).catalogue.motifs.values(), key=lambda one: one.key)))
