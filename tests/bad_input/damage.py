"""Damage to good files and words, the same for the same seed: flips, cuts, splices, repeats, and odd numbers."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable
from random import Random

ODD = (
    "0 -1 1e308 1e-300 -0.0 nan inf 9223372036854775808 "
    + "9" * 5000
    + " 1e999999 ½ ٣ 0x10 1/0 50% 4,000 # [ ] {} \" ' =1+1 "
    "\u202e \x1b[31m \x00 \ud800 é 🧶 ../.. /dev/zero %s {0} ; -- None true lab(1,2,3) #fff main=navy"
).split(" ")
_NUMBER = re.compile(rb"\d+(?:\.\d+)?")


def _place(random: Random, data: bytes) -> tuple[int, int]:
    start = random.randrange(len(data) + 1)
    return start, min(len(data), start + random.choice((1, 2, 8, 64, 512)))


def _flip(random: Random, data: bytes) -> bytes:
    changed = bytearray(data)
    for _ in range(random.choice((1, 1, 3, 10))):
        changed[random.randrange(len(data))] ^= 1 << random.randrange(8)
    return bytes(changed)


def _cut(random: Random, data: bytes) -> bytes:
    start, end = _place(random, data)
    return data[:start] if random.random() < 0.3 else data[:start] + data[end:]


def _splice(random: Random, data: bytes) -> bytes:
    (start, end), at = _place(random, data), random.randrange(len(data) + 1)
    return data[:at] + data[start:end] + data[at + random.choice((0, end - start)) :]


def _repeat(random: Random, data: bytes) -> bytes:
    start, end = _place(random, data)
    return data[:start] + data[start:end] * random.choice((2, 10, 1000)) + data[end:]


def _odd_number(random: Random, data: bytes) -> bytes:
    numbers = list(_NUMBER.finditer(data))
    if not numbers:
        return _odd_word(random, data)
    chosen = random.choice(numbers)
    return data[: chosen.start()] + _odd(random) + data[chosen.end() :]


def _odd_word(random: Random, data: bytes) -> bytes:
    start, end = _place(random, data)
    return data[:start] + _odd(random) + data[random.choice((start, end)) :]


def _odd(random: Random) -> bytes:
    return random.choice(ODD).encode("utf-8", "surrogatepass")


def damaged(random: Random, data: bytes) -> bytes:
    """The bytes with one to three kinds of damage."""
    kinds: tuple[Callable[[Random, bytes], bytes], ...] = (_flip, _cut, _splice, _repeat, _odd_number, _odd_word)
    for _ in range(random.choice((1, 1, 2, 3))):
        data = random.choice(kinds)(random, data or b"0")
    return data


def damaged_inside(random: Random, data: bytes) -> bytes:
    """A zip with one of its parts damaged, and packed again; or damaged as it is."""
    if random.random() < 0.25:
        return damaged(random, data)
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new:
        chosen = random.choice(old.namelist())
        for name in old.namelist():
            new.writestr(name, damaged(random, old.read(name)) if name == chosen else old.read(name))
    return packed.getvalue()


def damaged_words(random: Random, words: tuple[str, ...]) -> tuple[str, ...]:
    """A command with one of its words damaged, left out or doubled; those after --out and the like stay."""
    free = [at for at, word in enumerate(words) if at and not (words[at - 1] in KEPT or word in KEPT)]
    at = random.choice(free)
    if (choice := random.random()) < 0.1:
        return words[:at] + words[at + 1 :]
    if choice < 0.2:
        return words[:at] + words[at : at + 1] * 2 + words[at + 1 :]
    given = _odd(random) if choice < 0.6 else damaged(random, words[at].encode())
    # As the system hands bytes over: without zeros, and not without end.
    word = given.replace(b"\0", b"")[:100_000].decode("utf-8", "surrogateescape")
    return words if word.startswith("-") and KEPT & {word.partition("=")[0]} else (*words[:at], word, *words[at + 1 :])


KEPT = {"--bin", "--out", "--svg", "--png", "--csv", "--grid", "--distances", "--replace"}
"""Options that name places to write, which no damage may move elsewhere."""
