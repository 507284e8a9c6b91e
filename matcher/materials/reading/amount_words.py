"""The grammar of amounts: words round a weight, ranges, balls and parts of balls, and sums of these."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import islice

from matcher.materials.estimate import Estimate, evenly
from matcher.materials.reading.amounts import AmountWord, AmountWords, Told, left_of, parts_of_a_ball
from matcher.materials.reading.amounts_abroad import in_english
from matcher.materials.reading.numerals import MASS_G, Unreadable, any_of, same_figure, tidy
from matcher.materials.reading.units import parse_mass_g, parse_number

_LONGEST, _DEEPEST, _MOST_SIGNS = 60, 6, 4  # choices: letters of an amount, words within words, sums
_COUNTS = {
    **{"a": 1, "an": 1, "single": 1, "one": 1, "two": 2, "couple": 2, "a couple": 2, "three": 3, "four": 4, "five": 5},
    **{"six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10},
}
_PARTS = {
    **dict.fromkeys(("half", "a half", "one half"), 1 / 2),
    **dict.fromkeys(("third", "a third", "one third"), 1 / 3),
    **dict.fromkeys(("two thirds", "two-thirds"), 2 / 3),
    **dict.fromkeys(("quarter", "a quarter", "one quarter", "a fourth"), 1 / 4),
    **dict.fromkeys(("three quarters", "three-quarters", "three quarter", "three fourths"), 3 / 4),
}
_NUMBER = r"\d+/\d+|\d+(?:[.,]\d+)?(?: \d+/\d+)?|[.,]\d+"
_UNIT = any_of(MASS_G)
_BALL = r"(?:balls?|skeins?|sks?|hanks?|cakes?)"
_WEIGHS = re.compile(r"(?:it )?(?:weighs|weighed|weight|total|in total|i have|have|left)[: ]+")
_TWICE = re.compile(r"(.+?)\s*[(\[](.+)[)\]]|(.+?)\s*(?:=|/|(,)(?=\s)|\()\s*(.+)")
_LEFT = re.compile(r"\s+(?:left ?over|left|remaining|in total|total|altogether|weighed|worth)$")
_RANGE = re.compile(rf"({_NUMBER})\s*({_UNIT})?\s*(?:-|to|or|up to)\s*({_NUMBER})(?!\d)\s*(.*)")
_GIVE = re.compile(r"(.+?)\s*\(?(?:±|\+/-|\+-|give or take|plus or minus)\s*(.+?)\)?")
_TIMES = re.compile(r"(\d+|[a-z]+)\s*[x*@]\s*(.+)")
_TIMES_LAST = re.compile(r"(.+?)\s*[x*@]\s*(\d+)")
_HOW_MANY = any_of((*_PARTS, *_COUNTS))
_BALLS = re.compile(
    rf"(?:({_NUMBER}|{_HOW_MANY})\s*)??(?:of )?(?:an? )?((?:full|whole|new|unused|complete) )?"
    rf"(?:({_NUMBER})\s*({_UNIT})\.?[- ])?((?:full|whole|new|unused|complete) )?(?<![a-z]){_BALL}"
)
_BALLS_OF = re.compile(rf"^(\d+) {_BALL} of ((?:{_NUMBER})\s*(?:{_UNIT}))\.?$")  # 2 balls of 50 g
_FULL = re.compile(rf"({_NUMBER}|{_HOW_MANY}) (?:full|whole|new|unused|complete)(?: ones?)?")
_ONE_FULL = rf"(?:(?:a|one|1) )?(?:full|whole|new|unused|complete) {_BALL}"
_USED = re.compile(r"(.+?)\s+(used|gone|used up|left|full|remaining)(?: up)?")
_EACH = re.compile(rf"(?:of )?({_NUMBER})\s*({_UNIT})\.?[- ]?(?:{_BALL}|each|(?:an?|per) {_BALL})")
_IN_PIECES = re.compile(r"(?:in )?([1-9]\d?) (?:pieces?|bits?|lengths?|ends?|balls?)")
_PERCENT = re.compile(rf"(\d+(?:[.,]\d+)?)\s*%(?:\s*(?:of )?(?:an? |the )?{_BALL})?")
_JOINED = re.compile(r"\s*(\+|&|\b(?:plus|and|with)\b)\s*|(?<=full) (?=\d)")
_NOTE = re.compile(r"(.*\S)\s*[(\[]([a-z ,.;:'!-]+)[)\]]")
_CHANGES = re.compile(  # words that say of which weight or how many a figure is
    r"\b(?:gross|net|with|incl|including|cone|tube|core|bag|box|wet|damp|was|not|no|each|per|half|quarter|third|used|gone"
    r"|sold|given|empty|none|minus|less|without|plus|and|more|of|oz|ounces?|g|grams?|lbs?|yds?|yards?|m|metres?)\b"
)
_TAKEN_OFF = re.compile(r"(.+?)\s*(?:\b(?:minus|less|but|missing|without)\b|- )\s*(.+)")


def told_amount(text: str, words: AmountWords) -> Told | None:
    """What an amount says in words; None where it says none."""
    plain = tidy(text).casefold().replace("×", "x").strip(" .;:")
    plain = re.sub(r"\b(\d+)-(?=\d+/\d)", r"\1 ", plain)  # 1-1/2
    plain = re.sub(r"^([\d.,/ ]*\d)\s*-?ish\s+(?=[a-z])", r"about \1 ", plain)  # 40-ish g
    plain = re.sub(rf"^([\d.,/ ]*\d)\s*\+\s*({_UNIT})$", r"\1 \2+", plain)  # 100+ g
    plain = re.sub(rf"^{_ONE_FULL} (?=\d[\d.,]*\s*(?:{_UNIT})$)", "", plain)  # a full ball 50 g
    if not plain or len(plain) > _LONGEST:
        return None
    plain = in_english(plain)
    plain = _BALLS_OF.sub(r"\1 x \2", plain)
    told = _Grammar(words).read(plain, 0)
    return told if told is not None and max(told.grams.mean, told.balls.mean) > 0 else None


class _Grammar:
    def __init__(self, words: AmountWords) -> None:
        self.words = words
        self._memory: dict[tuple[str, int], Told | None] = {}  # else words within words are read over and over

    def read(self, text: str, depth: int) -> Told | None:
        """The first way of reading the words that leads to an amount."""
        text = text.strip(" .;:")
        if not text or depth > _DEEPEST:
            return None
        if (text, depth) not in self._memory:
            ways = self._ways(text, depth + 1)
            self._memory[text, depth] = next((told for told in ways if told is not None), None)
        return self._memory[text, depth]

    def _ways(self, text: str, depth: int) -> Iterator[Told | None]:
        yield self._weight(text)
        yield self._part(text)
        yield self._give_or_take(text, depth)
        yield self._range(text, depth)
        yield self._balls(text)
        yield self._bare(text)
        yield self._said_twice(text, depth)
        yield self._after_a_word(text, depth)
        yield self._times(text, depth)
        yield self._before_a_word(text, depth)
        yield self._joined(text, depth)
        yield self._used(text, depth)
        yield self._with_a_note(text, depth)
        if left := _LEFT.search(text):
            yield self.read(text[: left.start()], depth)
        if weighs := _WEIGHS.match(text):
            yield self.read(text[weighs.end() :], depth)

    def _weight(self, text: str) -> Told | None:
        if (left := left_of(text)) is not None:
            return Told(Estimate(left, 0.0), guess=True)
        grams = _mass(text)
        return Told(Estimate(grams, 0.0), pieces=None) if grams else None

    def _by_eye(self, balls: float) -> Estimate:
        """So many balls, of which the last is judged by eye where it is not a whole one."""
        whole, part = math.floor(balls + 1e-9), balls - math.floor(balls + 1e-9)
        less = min(part, 1.0 - part) if part > 1e-9 else 0.0
        eye = self.words["by eye"]
        shift = Estimate(part - less, 0.0) + eye.range.times(less)
        return self.words["full"].range.times(whole) + shift if whole else shift

    def _some_balls(self, balls: float) -> Told:
        return Told(balls=self._by_eye(balls), pieces=max(1, math.ceil(balls - 1e-9)))

    def _part(self, text: str) -> Told | None:
        """Half, 1/3, 80 %: of a ball."""
        if text in _PARTS:
            return self._some_balls(_PARTS[text])
        if (part := parts_of_a_ball(text)) is not None:
            return self._some_balls(part)
        if text.startswith(("1 ", "one ")) and text.partition(" ")[2] in _PARTS:
            return self._some_balls(_PARTS[text.partition(" ")[2]])
        percent = _PERCENT.fullmatch(text)
        share = _number(percent[1]) if percent else None
        return self._some_balls(share / 100) if share is not None and 0 < share <= 100 else None

    def _give_or_take(self, text: str, depth: int) -> Told | None:
        found = _GIVE.fullmatch(text)
        amount = self.read(found[1], depth) if found else None
        by = _mass(found[2]) if found else None
        if amount is None or by is None or amount.balls.mean > 0:
            return None
        return Told(Estimate(amount.grams.mean, by), pieces=amount.pieces, guess=amount.guess)

    def _range(self, text: str, depth: int) -> Told | None:
        found = _RANGE.fullmatch(text)
        if not found:
            return None
        low = self.read(f"{found[1]} {found[2] or found[4]}", depth)
        high = self.read(f"{found[3]} {found[4] or found[2] or ''}", depth)
        if low is None or high is None:
            return None
        if low.balls.mean or high.balls.mean:
            if low.grams.mean or high.grams.mean or not low.balls.mean < high.balls.mean:
                return None
            return Told(balls=evenly(low.balls.mean, high.balls.mean), pieces=high.pieces)
        return Told(evenly(low.grams.mean, high.grams.mean)) if low.grams.mean < high.grams.mean else None

    def _balls(self, text: str) -> Told | None:
        found, full = _BALLS.fullmatch(text), _FULL.fullmatch(text)
        if not found and not full:
            return None
        how_many, number, unit = (found[1], found[3], found[4]) if found else (full[1] if full else None, None, "")
        count = 1.0 if how_many is None else _PARTS.get(how_many) or _COUNTS.get(how_many) or _number(how_many)
        if count is None or not 0 < count <= 1000:
            return None
        told = self._some_balls(count)
        if number is None:
            return told
        ball_g = _mass(f"{number} {unit}")
        return Told(told.balls.times(ball_g), pieces=told.pieces) if ball_g else None

    def _bare(self, text: str) -> Told | None:
        """Words that are an amount by themselves: scraps, full, part used."""
        for spelling, word in self.words.spelled:
            if text == spelling and word.of == "grams":
                return Told(word.range, guess=word.guess)
            if text == spelling and word.of == "ball":
                return Told(balls=word.range, pieces=1, guess=word.guess)
        return None

    def _said_twice(self, text: str, depth: int) -> Told | None:
        """Said twice, "1 ball (50 g)": the grams count; or a word behind, "40 g (approx)"."""
        found = _TWICE.fullmatch(text)
        if not found:
            return None
        before, behind, unclear = found[1] or found[3], found[2] or found[5], bool(found[4])
        if word := self._word(behind.strip(" .)")):
            return self._with(word, self.read(before, depth))
        one, other = self.read(before, depth), self.read(behind, depth)
        each, in_pieces = (one_of.fullmatch(found[2] or "") for one_of in (_EACH, _IN_PIECES))
        if one is not None and each and one.balls.mean and not one.grams.mean:
            ball_g = _mass(f"{each[1]} {each[2]}")
            return Told(one.balls.times(ball_g), pieces=one.pieces, guess=one.guess) if ball_g else None
        if one is not None and in_pieces and one.grams.mean and not one.balls.mean:
            return Told(one.grams, pieces=int(in_pieces[1]), guess=one.guess)
        if one is None or other is None:
            return None
        weighed = [told for told in (one, other) if not told.balls.mean]
        pieces = next((told.pieces for told in (one, other) if told.balls.mean), None)
        if len(weighed) == 2 and not same_figure(*(told.grams.mean for told in weighed)):
            return None
        if not weighed:
            return None
        # "1/2 ball (100 g)" may well be half of 100 g.
        far = any(weighed[0].grams.mean > self.words["usual ball"].high * told.balls.mean > 0 for told in (one, other))
        # With a comma between, it could be a sum as well: then what is read is the safe side.
        return Told(weighed[0].grams, pieces=pieces, guess=weighed[0].guess or far or (unclear and len(weighed) == 1))

    def _word(self, text: str) -> AmountWord | None:
        return next((one for spelling, one in self.words.spelled if spelling == text and one.of == "amount"), None)

    def _with(self, word: AmountWord, told: Told | None) -> Told | None:
        if told is None:
            return None
        scale = word.range
        return Told(told.grams.product(scale), told.balls.product(scale), told.pieces, told.guess or word.guess)

    def _after_a_word(self, text: str, depth: int) -> Told | None:
        for spelling, word in self.words.spelled:
            if word.of != "amount" or not text.startswith(spelling):
                continue
            rest = text[len(spelling) :].lstrip(".: ")
            if spelling[-1].isalpha() and text[len(spelling) : len(spelling) + 1].isalpha():
                continue
            told = self._with(word, self.read(rest.removeprefix("a ") if word.meaning == "most of" else rest, depth))
            if told is not None:
                return told
        return None

    def _before_a_word(self, text: str, depth: int) -> Told | None:
        for spelling, word in self.words.spelled:
            if word.of != "amount" or not text.endswith(spelling) or (len(spelling) == 1 and spelling.isalpha()):
                continue
            told = self._with(word, self.read(text[: -len(spelling)].rstrip("-, "), depth))
            if told is not None:
                return told
        return None

    def _times(self, text: str, depth: int) -> Told | None:
        first, last = _TIMES.fullmatch(text), _TIMES_LAST.fullmatch(text)
        found = (first[1], first[2]) if first else (last[2], last[1]) if last else None
        if found is None:
            return None
        times = _COUNTS.get(found[0]) or (int(found[0]) if found[0].isdecimal() else 0)
        one = self.read(found[1], depth)
        if one is None or not 0 < times <= 1000:
            return None
        # What is off with one of them is off with all.
        return Told(one.grams.times(times), one.balls.times(times), times * (one.pieces or 1), one.guess)

    def _joined(self, text: str, depth: int) -> Told | None:
        """Sums and differences: "1 ball + a bit", "50 g and 20 g", "50 g ball minus a bit"."""
        if half := re.fullmatch(rf"({_HOW_MANY}|\d+)(?: and a half| and half| & a half|\.5)\s*({_BALL})?", text):
            number = _COUNTS.get(half[1]) or (float(half[1]) if half[1].isdecimal() else None)
            return None if number is None else self._some_balls(number + 0.5)
        for sign in islice(_JOINED.finditer(text), _MOST_SIGNS):
            one, other = self.read(text[: sign.start()], depth), self.read(text[sign.end() :], depth)
            if one is not None and other is not None:
                pieces = (one.pieces or 1) + (other.pieces or 1)
                # A bit more than is said is a bit, whatever "a bit" may be by itself.
                return Told(one.grams + other.grams, one.balls + other.balls, pieces, one.guess)
        found = _TAKEN_OFF.fullmatch(text)
        if found is None:
            return None
        whole, off = self.read(found[1], depth), self.read(found[2], depth)
        if whole is None or off is None:
            return None
        grams, balls = whole.grams + off.grams.times(-1.0), whole.balls + off.balls.times(-1.0)
        if grams.mean < 0 and not balls.mean > 0:
            return None
        return Told(grams, balls, whole.pieces, whole.guess)

    def _with_a_note(self, text: str, depth: int) -> Told | None:
        """Words in brackets that no figure stands in, and that say nothing of a weight: "55 g (from the attic)"."""
        found = _NOTE.fullmatch(text)
        told = self.read(found[1], depth) if found and not _CHANGES.search(found[2]) else None
        return None if told is None else replace(told, guess=True)

    def _used(self, text: str, depth: int) -> Told | None:
        """Half used, 1/3 left, three quarters full."""
        found = _USED.fullmatch(text)
        told = self._part(found[1]) if found else None
        if not found or told is None:
            return None
        return told if not found[2].startswith(("used", "gone")) else self._some_balls(1.0 - told.balls.mean)


def _mass(text: str) -> float | None:
    """Grams of a weight alone; None for what is none, and for a fraction with no unit."""
    if parts_of_a_ball(text) is not None or re.fullmatch(r"\d+/\d+", text):
        return None
    try:
        return parse_mass_g(text)
    except Unreadable:
        return None


def _number(text: str) -> float | None:
    try:
        return parse_number(text)
    except Unreadable:
        return None
