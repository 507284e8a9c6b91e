"""The page: the same actions as the command line, for her browser, on her own machine.

A view takes what was asked of it as plain values, calls one action, and gives what the action returned to a template.
It holds no rule about yarn and no sentence that a reason could say; it draws with the rooms of `drawing`.

Read in this order: `app` (all of it put together), `guard` (who may ask, and how much), `session` (a browser's own:
token, messages, how things are said), `desks` (her bin, read once and kept until its file changes), `words` (what the
page calls fields and actions), `page` (a template filled), `jobs` (work that takes longer than she would wait, with a
way to stop it), `asked` and `ranked` (the list of suggestions, by what is asked of it), `knitted` (a pattern to go
through), `matched` (what is to go with which sweater), `changes` (one change: was it still as she saw it, one action,
what it said), `route` (from a request to a view and back), `figures` (numbers as she typed them), `files` (to keep,
or to print), `sent` (files that she sends in), `home` (the door for the home network: pass phrase, tries),
`certificate` (https of its own), `starter` (a file to double-click), `qr` (an address to scan), `routes` (all
addresses), `run` (the server itself). Then `views/`, one file for each thing to look at, with its templates of the
same name in the folder of templates. What the browser needs besides lies in the folder of static files: one style
sheet, our few scripts, and htmx.

Everything that can be read can be read without a script; a script makes it quicker.
"""
