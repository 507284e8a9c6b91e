"""What the page calls things: a field is called by its label, an action by the words on its button."""

from __future__ import annotations

from matcher.reasons.style import Style, Units

# Fields whose label is not their plain name.
FIELDS = {
    "anyway": "\u201cbegin it anyway\u201d",
    "bin": "your bin",
    "class": "thickness",
    "reference box": "\u201cWhite paper\u201d",
    "yarn box": "\u201cYarn\u201d",
    "motif": "\u201cMotif\u201d",
    "tex": "yarn count",
    "reserve": "kept back by hand",
    "chest cm": "chest",
    "head cm": "head",
    "hand cm": "hand",
    "foot cm": "foot",
    "stitches 10cm": "stitches",
    "rows 10cm": "rows",
    "ball grams": "grams of a whole ball",
    "ball metres": "metres of a whole ball",
    "held together": "strands held together",
    "single": "single strands only",
    "number of actions": "how many",
}
# Actions by the page that does them, each as the link or button says it.
ACTIONS = {
    "add": "Add a lot",
    "begin": "Begin this",
    "calibration": "How you knit",
    "change": "Change a lot",
    "check": "Take in a workbook",
    "contrast": "Colours side by side",
    "export": "Write out",
    "finish": "Finish a piece",
    "gap": "What to buy",
    "garment": "Garments",
    "instead": "What could stand in",
    "intake": "Take in a workbook",
    "join": "Join lots",
    "motif": "Draw a motif",
    "needs": "What it takes",
    "partner": "To go with a sweater",
    "pattern": "Pattern",
    "person": "People",
    "photo": "Colours from a photograph",
    "set": "Several at once",
    "show": "Show",
    "suggest": "What it could become",
    "swatch": "Write down a swatch",
    "tags": "Tags to print",
    "triage": "Sort the pile",
    "undo": "Take it back",
    "verify": "Look the file over",
    "weigh": "Weigh",
    "why": "Why, and why not",
    "wishes": "Wishes",
}


def label(field: str) -> str:
    """The label of a field."""
    return FIELDS.get(field, field)


def button(action: str) -> str:
    """What the page calls an action, in quotation marks so that it reads as the name of a thing to press."""
    first, _, _ = action.partition(" ")
    return f"\u201c{ACTIONS.get(first, action)}\u201d"


def page_style(units: Units = "metric", decimal: str = ".", *, british: bool = False) -> Style:
    """How the page says things."""
    return Style(units, "," if decimal == "," else ".", field=label, action=button, british=british)
