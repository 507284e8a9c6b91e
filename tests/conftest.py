"""What all tests share: nobody's terminal settings reach them, and a build server draws the same examples each time."""

import os

from hypothesis import settings

# Each of these makes typer or rich print colour codes although no terminal is there; they are read when imported.
for name in ("FORCE_COLOR", "PY_COLORS", "GITHUB_ACTIONS", "COLUMNS", "TERMINAL_WIDTH"):
    os.environ.pop(name, None)

# By hand the examples are new every time, which finds more; a verdict on a change must not hang on luck.
settings.register_profile("repeatable", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("repeatable")
