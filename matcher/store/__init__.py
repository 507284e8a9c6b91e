"""What touches disk: the catalogue, her sheets, her store, her motifs and photographs.

Whatever opens, reads or writes a file comes in, and turns it into values or says what is wrong with it. Neither
`matcher.matching` nor `matcher.drawing` is known here: actions bring them together.

Read in this order: `places` (as she names them), `weights` (what a lot weighs by its cells), `under_way` (files that
are begun, and their rights), `promised` (several that are put in their places as one), `files` (written whole, or not
at all), `changes` (what a run has changed), `catalogue/`, `sheets/`, `database/` (the store), `cells` (a whole bin as
cells), `written` (what she wrote, beside what was made of it), `readings` (what she said of a workbook), `recipes`
(what a piece is made from), `last_lists` (what she was shown last of each bin), `intake` (sheets into the store),
`motifs/`, `photograph_files` (any photograph to upright sRGB pixels; header first, and nothing of place and time is
kept), `codes` (short codes of lots), `collection/` (many bins as one).
"""
