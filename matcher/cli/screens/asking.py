"""What her sheets do not say, asked at the terminal, one short question each; answers are kept as she gives them."""

from __future__ import annotations

from pathlib import Path

import typer

from matcher.actions.keeping.look import Look, answer, look
from matcher.actions.keeping.questions import Question
from matcher.cli.screens import screen as show
from matcher.cli.screens.reading import show_reading
from matcher.errors import BadInput, NotFound
from matcher.reasons.reason import counted, reason
from matcher.reasons.style import Style
from matcher.reasons.visible import visible

_HOW = (
    "{n} question. Press Enter for what stands in brackets, or - to leave a cell empty; Ctrl-C stops.",
    "{n} questions. Press Enter for what stands in brackets, or - to leave a cell empty; Ctrl-C stops and keeps your "
    "answers.",
)


def ask_all(file: Path, bin: Path | None, catalog: Path | None, style: Style, *, shown: bool) -> bool:
    """Show how the sheets are read, once, and ask what cannot be worked out; whether anything was asked.

    shown: whether the reading goes to stdout.
    """
    passed: set[Question] = set()
    left: set[tuple[str, int]] = set()  # rows of which nothing more need be asked
    kept = rounds = 0
    try:
        while True:
            seen = look(file, bin=bin, passed=passed, catalog=catalog)
            if shown and not rounds:
                show_reading(seen.understood, seen.follows, style)
            if not seen.questions:
                return bool(rounds)
            rounds += 1
            show.note(counted(len(seen.questions), *_HOW))
            for number, one in enumerate(seen.questions, 1):
                if not one.rows or not one.rows <= left:
                    if _asked(seen, one, number, style):
                        kept += 1
                        continue
                    left |= one.leaves_out
                passed.add(one)
    except BaseException:
        if kept:
            said = counted(
                kept,
                "Your answer is kept: the same command goes on from there.",
                "Your {n} answers are kept: the same command goes on from there.",
            )
            show.note("")
            show.note(said)
        raise


def _asked(seen: Look, question: Question, number: int, style: Style) -> bool:
    """Ask until the answer makes sense; whether there was one."""
    show.note(reason("{number}. {asks}", number=number, asks=question.asks), style)
    while True:
        given = typer.prompt(f"  [{visible(style.say(question.otherwise))}]", default="", show_default=False, err=True)
        try:
            return answer(seen, question, str(given))
        except (BadInput, NotFound) as fault:
            show.note(f"  {style.sentence(fault.said)}", style)
