"""Whether a cluster has the very matcher that runs here: another can't read what it is sent, or answers otherwise."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from matcher.errors import BadInput
from matcher.reasons.reason import Words, listed, reason

_SIGN = 8  # letters of a sign: a choice, enough to tell apart what one group of people ever has


def edition() -> str:
    """The matcher of this process: its version, and a sign of its program's files, which differ between versions too.

    Workers are asked by this very name: an older matcher, which has it not, is told by its version alone.
    """
    try:
        return f"{version('matcher')} ({_sign()})"
    except PackageNotFoundError:  # it runs from its folder, and was never installed
        return _sign()


@cache
def _sign() -> str:
    root = Path(__file__).parents[2]
    files = sorted(root.rglob("*.py"), key=lambda file: file.relative_to(root).parts)
    names = [file.relative_to(root).as_posix().encode() for file in files]
    parts = (b"%s\n%s\n" % (name, file.read_bytes()) for name, file in zip(names, files, strict=True))
    return sha256(b"".join(parts)).hexdigest()[:_SIGN]


def check_same(client: Any, address: str) -> None:
    """Raises BadInput where the scheduler or a worker has another matcher than this process, or none."""
    here = edition()
    if others := list(_others(client, here)):
        what = reason(
            "this is matcher {here}, and in the cluster at {address} {others}",
            here=here,
            address=address,
            others=listed(others, "and"),
        )
        raise BadInput(what, "", reason("install this one there too, start the cluster anew, and ask again"))


def _others(client: Any, here: str) -> Iterator[Words]:
    """Who has another one: the scheduler, and workers, each other matcher of theirs once."""
    versions = client.get_versions(packages=["matcher"])
    found: str | Exception
    try:
        found = client.run_on_scheduler(edition)
    except (ImportError, AttributeError) as error:
        found = error
    there = _told(found, versions["scheduler"])
    if there not in ("", here):
        yield reason("the scheduler has {there}", there=there)
    workers: Mapping[str, str | Exception] = client.run(edition, on_error="return")
    told = {_told(one, versions["workers"].get(worker, {})) for worker, one in workers.items()}
    for there in sorted(told - {"", here}, key=str):
        yield reason("workers have {there}", there=there)


def _told(found: str | Exception, known: Mapping[str, Any]) -> Words:
    """The edition there; "" of a worker that went away meanwhile. known : what Dask says of that process."""
    if isinstance(found, str):
        return found
    if isinstance(found, OSError):
        return ""
    # It has none, or one that knows no editions; of a worker Dask hands on an error's words alone.
    number = known.get("packages", {}).get("matcher")
    return reason("{version} (an older one)", version=str(number)) if number else reason("none")
