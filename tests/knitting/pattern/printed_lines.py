"""One line of a printed pattern as an instruction; whatever is none is a remark. Nothing of the builder is used."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple

from printed_page import Stuck

# What each abbreviation takes from the needle, leaves on it, and how many loops of yarn it makes.
WORTH: dict[str, tuple[int, int, int]] = {
    "k": (1, 1, 1), "p": (1, 1, 1), "k2tog": (2, 1, 1), "ssk": (2, 1, 1), "p2tog": (2, 1, 1), "s2kp": (3, 1, 1),
    "m1p": (0, 1, 1), "m1l": (0, 1, 1), "m1r": (0, 1, 1), "kfb": (1, 2, 2), "sl": (1, 1, 0), "co": (0, 1, 1), "pu": (0, 1, 1),
    "yo": (0, 1, 1), "pfb": (1, 2, 2),
}  # fmt: skip


class Work(NamedTuple):
    """One operation; "hold" puts a stitch on the holder, "all k" works every stitch that is left but the last `but`."""

    op: str
    colour: str = ""
    holder: str = ""
    but: int = 0


@dataclass(frozen=True)
class ChartRows:
    """Rows first to last of a chart, so many times side by side. less: stitches left out at its beginning and end."""

    chart: str
    first: int
    last: int
    times: int
    less: tuple[int, int] = (0, 0)


@dataclass(frozen=True)
class Courses:
    """Rounds or rows first to last: they repeat others, or do `parts` one after the other, works or rows of charts.

    repeat: first and last of what comes again, and how many more times. after: the stitches said at the end.
    """

    flat: bool
    first: int
    last: int
    side: str = ""
    repeat: tuple[int, int, int] | None = None
    parts: tuple[ChartRows | tuple[Work, ...], ...] = ()
    after: int | None = None


@dataclass(frozen=True)
class Act:
    """Anything else: "cast on", "bring", "join", "rest", "take up", "pick up", "finish", "times". stitches: as said; after: as said."""

    what: str
    stitches: int = 0
    after: int | None = None
    colour: str = ""
    holder: str = ""
    how: str = ""


_COURSES = re.compile(r"(Round|Rounds|Row|Rows) (\d+)(?: (?:to|and) (\d+))?(?: \((right|wrong) side\))?: (.*)$")
_REPEAT = re.compile(r"repeat (rounds?|rows?) (\d+)(?: (?:to|and) (\d+))?, (?:once more|(\d+) more times)$")
_CHART = re.compile(
    r"chart (\w+), rows? (\d+)(?: (?:to|and) (\d+))?, (?:once|(\d+) times)( round)?"
    r"(, leaving out the very first (?:stitch|(\d+) stitches))?(, leaving out the very last (?:stitch|(\d+) stitches))?$"
)
_COUNT = re.compile(r"^(.*): (\d+) stitch(?:es)?$")
_WITH = re.compile(r"with (MC|CC\d+), (.*)$")
_HOLD = re.compile(r"put (\d+) stitch(?:es)? on hold for the (.+)$")
_TO_THE_LAST = re.compile(r"(knit|purl) to the (?:end|last stitch|last (\d+) stitches)$")
_OP = re.compile(r"(k2tog|ssk|p2tog|s2kp|m1l|m1r|m1p|kfb|pfb|yo|(?:k|p|sl|co|pu)(\d+))(?: (MC|CC\d+))?$")
_COLOUR = r"(?: with (?P<colour>MC|CC\d+))?"
_ACTS = [
    ("cast on", rf"Cast on (?P<n>\d+) stitch(?:es)?{_COLOUR}$"),
    ("cast on", rf"Cast on (?P<n>\d+) stitch(?:es)?{_COLOUR} beside them: (?P<after>\d+) stitches$"),
    ("bring", r"Take (?P<n>\d+) live stitch(?:es)? of (?P<how>.+) on the needle: (?P<after>\d+) stitch(?:es)?$"),
    ("times", r"Work this section (?P<n>\d+) times$"),
    ("join", r"Join to a round: .+$"),
    ("rest", r"(?:Cut the yarn, and put|Put) all (?P<n>\d+) stitches on hold for the (?P<holder>.+)$"),
    ("take up", r"Take the stitches on hold for the (?P<holder>.+) back on the needle: (?P<after>\d+) stitch(?:es)?$"),
    ("pick up", rf"Pick up and knit (?P<n>\d+) stitch(?:es)?{_COLOUR} (?P<how>.*): (?P<after>\d+) stitch(?:es)?$"),
    ("finish", rf"(?P<how>Bind|Cast) off all (?P<n>\d+) stitches{_COLOUR}(?: in rib)?(?:,? loosely, so that the edge stretches)?$"),
    ("finish", r"Cut the yarn, (?P<how>draw) the end through the (?P<n>\d+) stitches, twice, and pull it tight$"),
    ("finish", rf"Divide the (?P<n>\d+) stitches on two needles, (?P<after>\d+) each, and (?P<how>graft) them together{_COLOUR}$"),
    ("finish", rf"Divide the (?P<n>\d+) stitches on two needles, (?P<after>\d+) each, right sides in, and (?P<how>bind|cast) off both together{_COLOUR}$"),
]  # fmt: skip
_LIKE_AN_ACT = re.compile(
    r"(Rounds?|Rows?|Cast on|Bind off|Cast off|Pick up|Divide|Put all|Take the|Cut the yarn)\b.*\d"
)


def read_line(line: str) -> Courses | Act | None:
    """The instruction; None for a remark. Raises Stuck for what looks like one and cannot be read."""
    text = line.removesuffix(".")
    if courses := _COURSES.match(text):
        return _courses(*courses.groups())
    for what, shape in _ACTS:
        if act := re.match(shape, text):
            said = act.groupdict()
            after = said.get("after")
            how = {"Bind": "bind off", "Cast": "bind off", "bind": "three needles", "cast": "three needles"}
            found = said.get("how") or ""
            return Act(
                what, int(said.get("n") or 0), int(after) if after else None, said.get("colour") or "",
                said.get("holder") or "", how.get(found, found),
            )  # fmt: skip
    if _LIKE_AN_ACT.match(text):
        raise Stuck(f"cannot be read: {line}")
    return None


def _courses(kind: str, first: str, last: str | None, side: str | None, body: str) -> Courses:
    flat = kind.startswith("Row")
    one, end = int(first), int(last or first)
    if kind.endswith("s") != (end > one):
        raise Stuck(f"{kind} {first} to {last}")
    after = None
    if counted := _COUNT.match(body):
        body, after = counted[1], int(counted[2])
    if again := _REPEAT.match(body):
        if again[1].startswith("row") != flat:
            raise Stuck(f"rows repeat rounds: {body}")
        repeat = int(again[2]), int(again[3] or again[2]), int(again[4] or 1)
        return Courses(flat, one, end, side or "", repeat=repeat, after=after)
    parts = tuple(_part(part, flat) for part in body.split(", then "))
    return Courses(flat, one, end, side or "", parts=parts, after=after)


def _part(text: str, flat: bool) -> ChartRows | tuple[Work, ...]:
    if chart := _CHART.match(text):
        name, first, last, times, rounds, start, starts, finish, ends = chart.groups()
        if rounds and flat:
            raise Stuck(f"rows don't go round: {text}")
        if last and int(last) <= int(first):
            raise Stuck(f"rows don't go up: {text}")
        less = (int(starts or 1) if start else 0, int(ends or 1) if finish else 0)
        return ChartRows(name, int(first), int(last or first), int(times or 1), less)
    colour = ""
    if alone := _WITH.match(text):
        colour, text = alone[1], alone[2]
    return tuple(one._replace(colour=one.colour or colour) for one in _works(text))


def _works(text: str) -> list[Work]:
    """ "k2, (k2tog, k3 MC) 4 times" with everything written out."""
    if text in ("knit", "purl"):
        return [Work("all k" if text == "knit" else "all p")]
    found: list[Work] = []
    for item in _items(text):
        if item.startswith("("):
            inner, _, times = item[1:].rpartition(") ")
            said = re.match(r"(?:once|(\d+) times)$", times)
            if said is None:
                raise Stuck(f"how often? {item}")
            found += _works(inner) * int(said[1] or 1)
        elif item in ("turn", "pm"):
            found.append(Work(item))
        elif held := _HOLD.match(item):
            found += [Work("hold", "", held[2])] * int(held[1])
        elif most := _TO_THE_LAST.match(item):
            last = 0 if item.endswith("end") else int(most[2] or 1)
            found.append(Work("all k" if most[1] == "knit" else "all p", but=last))
        elif op := _OP.match(item):
            name = re.sub(r"\d+$", "", op[1]) if op[2] else op[1]
            found += [Work(name, op[3] or "")] * int(op[2] or 1)
        else:
            raise Stuck(f"cannot be read: {item}")
    return found


def _items(text: str) -> list[str]:
    """Parted at the commas that stand in no brackets."""
    depth, start, found = 0, 0, []
    for place, sign in enumerate(text):
        depth += {"(": 1, ")": -1}.get(sign, 0)
        if sign == "," and not depth:
            found.append(text[start:place].strip())
            start = place + 1
    if depth:
        raise Stuck(f"brackets don't match: {text}")
    return [*found, text[start:].strip()]
