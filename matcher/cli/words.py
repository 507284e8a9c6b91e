"""What the command line calls things: a field is an option, an action is a command."""

from __future__ import annotations

from matcher.reasons.style import Style, Units

# Fields whose option is not their name with dashes.
_OPTIONS = {
    "bin": "BIN",
    "own catalogue": "--catalog",
    "reference box": "--white",
    "yarn box": "--box",
    "store": "--bin",
    "weight": "GRAMS",
    "length": "METRES",
    "number of actions": "N",
    "place to write to": "PLACE",
    "chest cm": "--chest",
    "stitches 10cm": "--stitches",
    "rows 10cm": "--rows",
    # What no option asks for.
    "files": "the files",
    "picture": "the picture",
    "aim": "the aim",
    "status": "worn|given|gone",
}


def option(field: str) -> str:
    """The option of a field: "least contrast" is --least-contrast."""
    return _OPTIONS.get(field, f"--{field.replace(' ', '-')}")


def command(action: str) -> str:
    """The command of an action."""
    return f"matcher {action}"


def style_of(units: Units = "metric", *, british: bool = False) -> Style:
    """How the command line says things, in her units and words of the trade."""
    return Style(units, field=option, action=command, british=british)


COMMAND_LINE = style_of()
