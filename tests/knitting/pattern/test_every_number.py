"""No number of a page's steps is idle: with any of them one higher the knitter is stuck, or something else is knitted."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

import pytest
from knitter import knit
from listed import CATALOGUE, listed, middle
from listed import page as page_of
from printed_lines import Work, read_line
from printed_page import Stuck, read_page


def one_higher(page: str) -> Iterator[tuple[str, str]]:
    """The page with each number of its instructions one higher, and the line that is so changed."""
    steps = page[page.index("\nCast on") :]
    kept = page[: len(page) - len(steps)]
    joined = re.sub(r"\n {4}(?=\S)", " ", steps)
    for section in read_page(page).pieces[0].sections:
        for line in section.lines:
            if read_line(line) is None or line not in joined:
                continue
            for number in re.finditer(r"(?<![A-Z])\d+(?!tog)", line):
                changed = f"{line[: number.start()]}{int(number[0]) + 1}{line[number.end() :]}"
                yield changed, kept + joined.replace(line, changed, 1)


def works(page: str) -> list[tuple[Counter[str], list[tuple[Work, ...]]]]:
    """What is done with the needles, piece by piece and round by round."""
    return [(off.edges, [course.works for course in off.courses]) for off in knit(page)]


@pytest.mark.parametrize("key", ["egg-cosy", "wrist-warmers-stranded", "mitts-fingerless-dots"])
def test_every_number_counts(key: str):
    one = CATALOGUE.accessories[key]
    page = page_of(listed(one, one.sizes[0], middle(one, one.classes[-1])))
    knitted = works(page)
    idle, tried = [], 0
    for line, wrong in one_higher(page):
        tried += 1
        try:
            if works(wrong) == knitted:
                idle.append(line)
        except Stuck:
            pass
    assert tried > 20
    assert idle == []
