"""Short codes of lots: what stands on a tag, and what is typed to name a lot by its tag."""

from __future__ import annotations

from collections.abc import Container
from zlib import crc32

from matcher.materials.reading.names import fold

# No letter or digit that is taken for another one (0 O, 1 I L, U V), so a code can be read off a worn tag.
LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
LENGTH = 5


def is_code(text: str) -> bool:
    """Whether a cell holds a code as it stands on a tag."""
    return len(text) == LENGTH and set(text) <= set(LETTERS)


def code_of(name: str, taken: Container[str] = ()) -> str:
    """The short code of a lot's name, always the same one; another when that is taken already."""
    tries = 0
    while True:
        number = crc32(f"{fold(name)}\n{tries or ''}".encode("utf-8", "surrogatepass"))
        letters = []
        for _ in range(LENGTH):
            number, place = divmod(number, len(LETTERS))
            letters.append(LETTERS[place])
        code = "".join(letters)
        if code not in taken:
            return code
        tries += 1
