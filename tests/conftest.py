"""What all tests share: nobody's terminal settings reach them."""

import os

# Each of these makes typer or rich print colour codes although no terminal is there; they are read when imported.
for name in ("FORCE_COLOR", "PY_COLORS", "GITHUB_ACTIONS", "COLUMNS", "TERMINAL_WIDTH"):
    os.environ.pop(name, None)
