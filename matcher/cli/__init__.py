"""The command line: thin commands that parse, call one action, and show what it returns."""
