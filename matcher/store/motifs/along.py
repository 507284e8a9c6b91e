"""The motif files that a bin's garments name, so that they go along where the bin is written out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from matcher.errors import MatcherError
from matcher.knitting.motifs.motif import Motif
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Words, reason
from matcher.store.motifs.files import motif_bytes, read_motif_bytes
from matcher.store.places import is_there, lies_in


def motifs_along(
    garments: Iterable[Mapping[str, str]], beside: Path, motifs: Iterable[Motif]
) -> tuple[Mapping[Path, bytes], tuple[Words, ...]]:
    """The files by their paths in the bin's folder `beside`, and what to say of those that stay behind.

    garments : their cells. motifs : those of the catalogue, which need no file. Only what is a motif, and lies in that
    folder, goes along: a bin from elsewhere carries off nothing of what lies around it.
    """
    known = {fold(name) for one in motifs for name in (one.key, one.name)}
    files: dict[Path, bytes] = {}
    said: list[Words] = []
    for cells in garments:
        name = cells.get("motif", "")
        path = beside / name
        if not name:
            continue
        if is_there(path) and lies_in(path, beside):
            try:
                data = motif_bytes(path)
                read_motif_bytes(data, path.name)
            except MatcherError as fault:
                stays = "{garment}: its motif {motif} does not go along: {fault}"
                said.append(reason(stays, garment=cells["garment"], motif=name, fault=fault.said))
            else:
                files[path.resolve().relative_to(beside.resolve())] = data
        elif fold(name) not in known:
            stays = "{garment}: its motif {motif} is no file beside the bin, so none goes along"
            said.append(reason(stays, garment=cells["garment"], motif=name))
    return files, tuple(said)
