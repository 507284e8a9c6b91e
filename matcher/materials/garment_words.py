"""What became of a garment, and what kind it is, as people write it: "given to my sister", "yoke jumper, size M"."""

from __future__ import annotations

import re
from collections.abc import Collection
from functools import lru_cache

from matcher.materials.reading.heard import Heard
from matcher.materials.reading.names import SHORTEST, did_you_mean, fold, slip_of
from matcher.materials.reading.numerals import Unreadable, any_of
from matcher.reasons.reason import Term, Words, reason

STATUSES = WORN, GIVEN, GONE = "worn", "given", "gone"
"""What becomes of garments: she or somebody near wears it; somebody has it who may bring it back; it is no more."""

MEANS: dict[str, Words] = {
    WORN: reason("worn: yarn is kept for mending and plans"),
    GIVEN: reason("given away: yarn is kept for mending, in case it comes back"),
    GONE: reason("gone: nothing is kept for it, except what you set by hand"),
}

_SURE: dict[str, tuple[str, ...]] = {
    WORN: (
        *(
            "worn",
            "still worn",
            "wearing",
            "wears",
            "wear",
            "still wear",
            "in use",
            "in the wash",
            "wash pile",
            "laundry",
        ),
        *("mending pile", "to mend", "needs mending", "to be mended", "needs washing", "being mended", "favourite"),
        *("favorite", "current", "active", "in rotation", "kept", "keep", "keeping", "still have", "mine", "daily"),
        *(
            "everyday",
            "often",
            "sometimes",
            "occasionally",
            "in my wardrobe",
            "wardrobe",
            "still fits",
            "in the drawer",
        ),
        *(
            "for best",
            "sunday best",
            "best",
            "loved",
            "lives in it",
            "never off",
            "wearable",
            "came back",
            "back with me",
        ),
        *("returned to me", "given back to me", "dry cleaner", "dry cleaners", "dry cleaner's", "at the cleaner's"),
    ),
    GIVEN: (
        *("given", "given away", "gave", "gifted", "gift", "a present", "present", "lent", "lent out", "on loan"),
        *("loaned", "borrowed by", "handed down", "passed on", "passed down", "has it", "with my", "belongs to"),
        *("went to", "mailed to", "sent to", "posted to", "passed to"),
    ),
    GONE: (
        *(
            "gone",
            "lost",
            "charity shop",
            "charity",
            "thrift shop",
            "thrift store",
            "thrifted",
            "op shop",
            "jumble sale",
        ),
        *("donated", "sold", "thrown away", "thrown out", "threw out", "threw away", "binned", "in the bin", "bin"),
        *("unravelled", "unraveled", "unravelling", "frogged", "ripped out", "ripped back", "pulled down", "unpicked"),
        *("destroyed", "stolen", "worn out", "fell apart", "cut up", "recycled", "shrunk", "shrank", "moths ate it"),
        *("eaten by moths", "no longer exists", "no more", "died", "dead", "ruined", "discarded", "rags", "burnt"),
        *("dog ate it", "cat ate it", "swapped"),
    ),
}
_GUESSED: dict[str, tuple[str, ...]] = {
    WORN: (
        *("yes", "y", "in storage", "stored", "packed away", "in the loft", "in the attic", "put away", "unfinished"),
        *("wip", "in progress", "on the needles", "not finished", "rarely", "seldom", "not often", "hardly"),
        *(
            "in a box",
            "keepsake",
            "hibernating",
            "ufo",
            "done",
            "fo",
            "good",
            "fine",
            "ok",
            "not worn much",
            "not much",
        ),
    ),
    GIVEN: (
        "no",
        "n",
        "not mine",
        "not worn",
        "not wearing",
        "never worn",
        "no longer worn",
        "too small",
        "too big",
        "retired",
        "no longer mine",
    ),
    GONE: (
        "outgrown",
        "grown out of",
        "grew out of",
        "grew out",
        "felted",
        "felted in the wash",
        "moth-eaten",
        "moth eaten",
        "moths",
        "moth",
        "full of holes",
    ),
}
_PHRASES = {
    phrase: (status, sure)
    for known, sure in ((_GUESSED, False), (_SURE, True))
    for status, phrases in known.items()
    for phrase in phrases
}
_ANY = rf"\b(?:{any_of(one for one in _PHRASES if len(one) > 1)})\b"  # compiled when it is first looked for
_SORTED = tuple(sorted(_PHRASES))
_OF_A_PART = frozenset(
    ("gone", "lost", "worn out", "fell apart", "felted", "moth", "moths", "moth eaten", "moth-eaten", "full of holes")
)
_PART = re.compile(
    r"\b(?:elbow|cuff|button|hem|neck|neckline|collar|sleeve|pocket|zip|seam|edge|edging|underarm|rib|ribbing|patch)s?\b"
)
"""What a garment may have lost without being gone itself: it wants mending."""
_NOT_YET = re.compile(
    r"(?:(?:is |are )?(?:to (?:be |give|sell|frog|donate|gift|unravel|rip)|will\b|going to\b|waiting\b"
    r"|ready (?:for|to)\b|about to\b|for (?:the )?(?:charity|sale|jumble|thrift)|half\b|nearly\b|almost\b|partly\b)"
    r"|(?:(?:it )?(?:has|have|was|is)(?: not|n't) |not |never )(?:yet )?(?:been )?"
    r"(?:given|sold|gone|donated|gifted|lost|frogged|unravell?ed|thrown)\b).*"
)
"""What has not become of a garment yet, or not of all of it: till then it is where it was."""
_TO_SOMEBODY = re.compile(r"(?:to|for|with|(?:lives )?at|lives with)\s+\w.*|\w+(?:'s| has(?: it)?)\b.*")


@lru_cache(maxsize=4096)
def heard_status(text: str) -> Heard[str]:
    """One of `STATUSES`. Of several words the last state counts: outgrown and sent to a charity shop is gone.

    Raises Unreadable for words that say nothing of it.
    """
    folded = " ".join(re.sub(r"[-_]+", " ", fold(text).replace("\u2019", "'")).split()).strip(" .!;,")
    if folded in STATUSES:
        return Heard(folded)
    found = [_PHRASES[folded]] if folded in _PHRASES else [_PHRASES[one[0]] for one in re.finditer(_ANY, folded)]
    doubt = folded.endswith("?")
    if _PART.search(folded):
        whole = [one[0] for one in re.finditer(_ANY, folded) if one[0] not in _OF_A_PART]
        found, doubt = [_PHRASES[one] for one in whole] or [(WORN, False)], doubt or not whole
    if _NOT_YET.fullmatch(folded) and all(status != WORN for status, _ in found):
        return Heard(WORN, MEANS[WORN], sure=False)
    if found:
        sure = [status for status, plain in found if plain]
        status = max(sure or [status for status, _ in found], key=STATUSES.index)
        if not sure and len(found) > 1 and found[0][0] == WORN:  # "yes, in the loft"
            status = WORN
        return Heard(status, MEANS[status], bool(sure) and not doubt)
    if _TO_SOMEBODY.fullmatch(folded):
        return Heard(GIVEN, MEANS[GIVEN], sure=False)
    near = slip_of(folded, _SORTED)
    if near:
        return Heard(_PHRASES[near][0], MEANS[_PHRASES[near][0]], sure=False)
    hint = reason("given may come back to be mended, gone will not")
    raise Unreadable(text, reason("worn, given or gone"), lambda: did_you_mean(text, STATUSES) or hint)


def kind_among(text: str, kinds: Collection[str]) -> tuple[str, bool]:
    """The known kind that a text names, and whether that is sure; "" for none.

    kinds: those that count most first. The text itself; else the kind of most words among those that it holds, and of
    these the first ("raglan cardigan" is a cardigan); else one spelled much like it, which is a guess.
    """
    folded = fold(text)
    if folded in kinds:
        return folded, True
    words = set(re.findall(r"[\w-]+", folded)) | set(re.findall(r"\w+", folded))
    words |= {word.removesuffix("s") for word in words}
    holding = [kind for kind in kinds if set(kind.split()) <= words]
    if holding:
        order = list(kinds)
        return max(holding, key=lambda kind: (len(kind.split()), -order.index(kind))), True
    near = slip_of(folded, kinds)
    if not near:  # a slip in one word of several
        near = next((kind for word in sorted(words) if len(word) > SHORTEST and (kind := slip_of(word, kinds))), "")
    return near, False


def heard_kind(text: str, kinds: Collection[str]) -> Heard[str]:
    """The words for a garment's kind, as they are; told where they are taken for a known one by a guess."""
    folded = fold(text)
    kind, sure = kind_among(folded, kinds)
    if sure or folded in ("", "other"):
        return Heard(folded)
    if kind:
        return Heard(folded, reason("a {kind}", kind=Term(kind)), sure=False)
    return Heard(folded)
