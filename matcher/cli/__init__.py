"""The command line: thin commands that parse, call one action, and show what it returns.

No rule about yarn comes in, and nothing heavy is imported at the top, so that `--help` is quick. Results go to
stdout, remarks and progress to stderr; a screen fits 80 columns and says in words what colour shows.

Read in this order: `main` (the first and last word), `net` (a fault of the tool itself), `terminal` (all that is said
goes through it, in `lines` that fit), `app` (the program, and how errors leave it), `commands` (all of them; only the
one asked for is built), `help` (the page of a command, and what commands are for), `options` (shared ones), `words`
(what a field or an action is called here), `screens/`; then any command: `suggest`, `why`, `sets` (matcher set),
`overview` (a bare matcher), `listing` (matcher list), `show`, `pattern`, `contrast`, `reserve`, `needs`, `partner`,
`motif`, `page` (the other face, begun from here), `check`, `photo`, `gap`, `pool`, `instead`, `palette`, `lookalikes`,
`whose`, `swatch`, `calibration`, and those on the store in `keeping/`. No click: Typer carries a copy of its own, and
the exceptions of another would pass through as tracebacks.
"""
