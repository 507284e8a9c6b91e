"""The motif files that lie beside a bin."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from pathlib import Path

from matcher.errors import MatcherError
from matcher.knitting.motifs.motif import OWN_TALLEST, OWN_WIDEST, Motif
from matcher.store.motifs.files import read_motif
from matcher.store.places import lies_in

# All three are choices: in a folder that holds other things as well, looking must stay quick.
_MOST_FILES, _MOST_SIGNS = 400, 60
_MOST_BYTES = 4 * (OWN_WIDEST + 2) * OWN_TALLEST + 10_000
_ENDINGS = (".txt", ".png", ".gif")
# Names that one system or another keeps for its devices.
_DEVICES = {"con", "prn", "aux", "nul", *(f"{kind}{number}" for kind in ("com", "lpt") for number in range(10))}


def motif_files(folder: Path) -> dict[str, Motif]:
    """Her motifs in a folder, by the names of their files; what is no motif, or leads out of the folder, is let be."""
    try:
        files = sorted(path for path in folder.iterdir() if path.suffix.lower() in _ENDINGS)
    except OSError:
        return {}
    found = {}
    for path in files[:_MOST_FILES]:
        try:
            seen = path.stat()
            if not path.is_file() or seen.st_size > _MOST_BYTES or not lies_in(path, folder):
                continue
        except OSError:
            continue
        motif = _read(path, seen.st_mtime_ns, seen.st_size)
        if motif is not None:
            found[path.name] = motif
    return found


@lru_cache(maxsize=2 * _MOST_FILES)
def _read(path: Path, _changed: int, _size: int) -> Motif | None:
    try:
        return read_motif(path)
    except MatcherError:
        return None


def file_of(name: str) -> str:
    """The name of the file that a motif of this name is kept in: small letters, figures and dashes, on any system."""
    plain = unicodedata.normalize("NFKD", name.casefold()).encode("ascii", "ignore").decode()
    words = "".join(sign if sign.isalnum() else " " for sign in plain).split()
    stem = "-".join(words)[:_MOST_SIGNS].strip("-") or "motif"
    return f"motif-{stem}.txt" if stem in _DEVICES else f"{stem}.txt"
