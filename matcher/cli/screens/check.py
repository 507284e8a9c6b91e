"""The files of a bin looked over: how much there is, how it was read, and remarks."""

from __future__ import annotations

from matcher.actions.check import Checked
from matcher.actions.reading import listed_by_check, read_with
from matcher.cli.screens import console as show
from matcher.cli.screens.reading import show_reading
from matcher.reasons.reason import Words, counted, listed, reason
from matcher.reasons.style import Style


def show_checked(found: Checked, style: Style) -> None:
    """The reading, said once; "all in order" only where that is true."""
    screen = show.console()
    lots = counted(len(found.bin.lots), "{n} lot", "{n} lots")
    garments = counted(len(found.bin.garments), "{n} garment", "{n} garments")
    number = len(found.bin.people)
    people = [counted(number, "{n} person", "{n} people")] if number else []
    both: Words = listed((lots, garments, *people), "and")
    guessed = read_with(found.understood)
    if found.in_order:
        both = reason("{both}, all in order", both=both)
    elif guessed:
        both = reason("{both}, with {guessed}", both=both, guessed=guessed)
    bad = len({(fault.where, fault.row) for fault in found.faults if fault.row})
    if bad:
        both = counted(bad, "{both}; {n} row can't be read", "{both}; {n} rows can't be read", both=both)
    if not found.faults or found.bin.lots:
        show.say(screen, style.sentence(both))
    show_reading(found.understood, found.follows, style)
    if found.notes and not found.in_order:
        show.say(screen, style.say(reason("Remarks")), style="bold")
    for remark in listed_by_check(found.notes):
        show.say(screen, style.say(remark), 3)
