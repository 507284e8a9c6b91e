"""What things take: from stitches and measures to metres.

Whatever knows a stitch comes in, as long as it needs no other lot: fabric, bodies, shapes, motifs, needs, mending,
her own tension. No file is opened here and nothing is ranked.

Read in this order: `fabric` (the loop length, from which all else about a fabric follows), `shapes` and `bodies`
(stitches and rows of a zone in a size), `shaping` (the stitches of each round of what narrows or widens), `accessory`
(roles and zones, as the catalogue describes a thing), `construction` (how it is knitted, by its zones), `needs`
(metres a role, with spread and working), `piece` (the same for a piece of her own pattern), `calibration` (how she
knits, and needs that follow it), `progress` (in the middle of a piece: does each colour last), `asked` (checks of
what she types in). Then the rooms inside: `motifs/`, `fit/` (a motif on a body), `pattern/` (what to do, stitch by
stitch), `mending/` (what is held back).

`calibration` is a sum of normal terms in the logarithm of used over predicted; the posterior is in closed form. What
a store knows is handed on as a value (`learnt`); None leaves needs untouched. What was predicted for a finished piece
is of the figures alone, never of calibrated needs, and its structure is `main_structure(need.working)`: else history
would count twice.
"""
