"""What may stand in each column of a collection from a file: a column's fault is told once, by its first row."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.errors import Fault
from matcher.materials.collection import Collection, Floats, Several
from matcher.materials.reading.names import LONGEST_NAME
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Term, Words, listed, reason
from matcher.reasons.visible import HIDDEN
from matcher.store.collection.kinds import figures_found

Flags = npt.NDArray[np.bool_]

# Choices: far beyond what anybody has, so that a figure in another unit is noticed and no sum overflows.
_MOST_M, _MOST_TEX = 1e7, 1e5
_TEX_FROM, _WASH = ("ball band", "tex", "class"), ("hand", "machine", "unknown")


@dataclass(frozen=True)
class _Check:
    """good : of each row. figures : the column, where it holds any, so that what was found is told."""

    column: str
    good: Flags
    expected: Words
    figures: Floats | Several | npt.NDArray[np.intp] | None = None


def faults_of(collection: Collection, where: str, before: int = 0) -> Iterator[Fault]:
    """What is wrong with the values, where the file has the right columns of the right types. before : so many rows of
    the file stand before these."""
    for check in _checks(collection):
        if not check.good.all():
            row = int(np.argmin(check.good))
            yield Fault(where, row + before + 1, check.column, _found(check.figures, row), check.expected)


def _found(figures: Floats | Several | npt.NDArray[np.intp] | None, row: int) -> Words:
    if figures is None:
        return ""
    return figures_found(figures.of(row) if isinstance(figures, Several) else figures[row])


def _checks(one: Collection) -> Iterator[_Check]:
    numbers = np.char.isalnum(one.number.values.astype(np.str_))
    yield _Check("lot", _each(one.number, numbers, least=1), reason("a lot's code or number"))
    yield _Check("lot", _each(one.number, _told_once(one)), reason("each lot of a member once"))
    classes = (one.weight_class >= 0) & (one.weight_class <= 7)
    yield _Check("class", classes, reason("a class from 0 to 7"), one.weight_class)
    yield _Check("tex", _within(one.tex, 0.0, _MOST_TEX), reason("grams in 1000 m, above zero"), one.tex)
    yield _Check("tex_sd", _within(one.tex_sd, 0.0, _MOST_TEX, zero=True), reason("a standard deviation"), one.tex_sd)
    yield _Check("free_m", _within(one.free_m, 0.0, _MOST_M), _metres(), one.free_m)
    free_sds = _within(one.free_sd_m, 0.0, _MOST_M, zero=True)
    yield _Check("free_sd_m", free_sds, reason("a standard deviation"), one.free_sd_m)
    balls = np.isnan(one.ball_g) | _within(one.ball_g, 0.0, _MOST_TEX)
    yield _Check("ball_g", balls, reason("grams above zero"), one.ball_g)
    light, tint = one.lab.values[:, 0], np.abs(one.lab.values[:, 1:]).max(axis=1, initial=0.0)
    labs = (light >= 0) & (light <= 100) & (tint <= 160)
    within = reason("L* from 0 to 100, a* and b* within 160 of 0")
    yield _Check("lab", _each(one.lab, labs, least=1), within, one.lab)
    shares = _each(one.share, one.share.values > 0) & (one.share.number == one.lab.number)
    total = np.add.reduceat(np.append(one.share.values, 0.0), one.share.start[:-1]) if len(one) else np.zeros(0)
    whole = reason("a share above 0 for each colour, 1 together")
    yield _Check("share", shares & (np.abs(total - 1.0) < 1e-6), whole, one.share)
    sds = _each(one.lab_sd, np.isfinite(one.lab_sd.values).all(axis=1) & (one.lab_sd.values >= 0).all(axis=1))
    spread = (one.lab_sd.number == 0) | (one.lab_sd.number == one.lab.number)
    yield _Check("lab_sd", sds & spread, reason("three spreads for each colour, or none"), one.lab_sd)
    yield _Check("garment", _each(one.garment, one.garment.values > 0), reason("whole numbers from 1"), one.garment)
    yield _Check("apart", _each(one.apart, one.apart.values != 0), reason("whole numbers other than 0"), one.apart)
    for name, column, known in (("tex_from", one.tex_from, _TEX_FROM), ("wash", one.wash, _WASH)):
        good = np.array([text in known for text in column.values], dtype=bool)
        yield _Check(name, good[column.at], listed(map(Term, known), "or"))
    texts = (("code", one.member), ("place", one.place), ("yarn", one.yarn), ("colour", one.colour))
    for name, column in (*texts, ("dye_lot", one.dye_lot)):
        seen = [len(text) <= LONGEST_NAME and not HIDDEN.search(text) and "\n" not in text for text in column.values]
        plain = reason("at most {most} letters that can be seen, on one line", most=LONGEST_NAME)
        yield _Check(name, np.array(seen, dtype=bool)[column.at], plain)


def _told_once(one: Collection) -> Flags:
    """Numbers that no lot before has of the same member: of two that are told alike nobody knew which is meant."""
    rows = np.repeat(np.arange(len(one)), one.number.number)
    signs = one.number.values.astype(np.str_)
    width = max(1, signs.dtype.itemsize // 4)
    # Each number as the letters it has, and whose it is, made one: quicker than to compare a million texts.
    marks = one.member.at[rows].astype(np.uint64)
    for letters in np.ascontiguousarray(signs).view(np.uint32).reshape(len(signs), width).T.astype(np.uint64):
        marks = (marks ^ letters) * np.uint64(0x9E3779B97F4A7C15)
        marks ^= marks >> np.uint64(32)
    marks.sort()
    good = np.ones(len(signs), dtype=bool)
    if (marks[1:] == marks[:-1]).any():  # a lot told twice, or two with one mark
        _, first = np.unique(np.rec.fromarrays([one.member.at[rows], signs]), return_index=True)
        good[:] = False
        good[first] = True
    return good


def _metres() -> Words:
    return reason("metres above zero, at most {most}", most=Number(_MOST_M))


def _within(figures: Floats, low: float, high: float, zero: bool = False) -> Flags:
    """Nothing that is no figure is within anything."""
    above = figures >= low if zero else figures > low
    return np.asarray(above & (figures <= high))


def _each(column: Several, good: Flags, least: int = 0) -> Flags:
    """Rows of which all figures are good, and that have at least so many."""
    bad = np.concatenate([[0], np.cumsum(~good)])
    return np.asarray((bad[column.start[1:]] == bad[column.start[:-1]]) & (column.number >= least))
