"""An option for each column of a sheet that she can type: made from the one description of the columns."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable
from typing import Annotated, Any

import typer

from matcher.cli.words import option
from matcher.errors import field_of
from matcher.store.sheets.columns import ColumnRule, Columns


def with_cells(columns: Columns, *given: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Let a command's parameter `cells` stand for an option of each typed column but those given otherwise.

    The command gets the cells that were typed, by column.
    """
    rules = {f"{name}_": columns[name] for name in columns.typed if name not in given}

    def decorate(command: Callable[..., None]) -> Callable[..., None]:
        @functools.wraps(command)
        def run(**values: Any) -> None:
            typed = {key: values.pop(key) for key in rules}
            command(**values, cells={rules[key].name: text for key, text in typed.items() if text is not None})

        signature = inspect.signature(command, eval_str=True)
        parameters: list[inspect.Parameter] = []
        for one in signature.parameters.values():
            parameters += [_parameter(*rule) for rule in rules.items()] if one.name == "cells" else [one]
        run.__dict__["__signature__"] = signature.replace(parameters=parameters)
        return run

    return decorate


def _parameter(key: str, rule: ColumnRule) -> inspect.Parameter:
    names = dict.fromkeys(option(field_of(name)) for name in (rule.name, *rule.spellings))
    help_ = f"{rule.holds[0].upper()}{rule.holds[1:]}."
    typed = Annotated[str | None, typer.Option(*names, help=help_.replace("?.", "?").replace("....", "..."))]
    return inspect.Parameter(key, inspect.Parameter.POSITIONAL_OR_KEYWORD, default=None, annotation=typed)
