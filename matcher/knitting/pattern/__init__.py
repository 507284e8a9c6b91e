"""A pattern: what to do with the needles, stitch by stitch, as data; words, charts and metres are readings of it.

A fitted accessory comes in (`fit/`): whole stitches and rounds, and what each round shows. Out goes a `Pattern`, from
cast-on to the last end. Nothing here draws, and nothing knows which lots are used: a role is "main" or "contrast 1".

Read in this order: `stitches` (the operations), `pattern` (courses, steps, sections, pieces), `counting` (what is on
the needle after each step), `courses` (rounds of plain knitting, rib, garter and motif), `rows` (the same in rows, and
shaped), `repeats` (a long row said shortly), `cycles` (courses that come again), `trade` (what Americans and British
call by two names), `words` (lines to knit from), `metres` (the yarn, course by course), `place` (where she is in it,
and what each colour has still to give), `head` (facts, colours and key), `charted` (what charts show, crowns too),
`grids` (charts as signs), `following` (each step by itself). Each way to make a thing is a file of `constructions/`,
and starts from a `making`; `made` picks it. What they share: `zones` (which zone a part is of), `edges` (cast-on,
bind-off, stitches more or fewer between two parts), `crowns`, `tips`, `beside` (charts side by side), `needles`,
`notes` (what to know first), `minded` (what to mind, which others judge), `carried` (colours that rest) and
`finishing` (ends, blocking).

A course holds every stitch of its round in the order in which it is worked; nobody writes "repeat to the end" into
the data. Whoever adds a step says in `counting` what it does to the needle, and in `words` how it reads.
"""
