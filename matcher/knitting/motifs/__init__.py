"""Motifs: grids of stitches by role, and what can be counted on them.

Grids come in as values; `matcher.store.motifs` reads them from files, and lots' colours are put to roles elsewhere.

Read in this order: `grid` (runs passed behind, sides that touch), `motif` (the motif of the exact search: shares,
floats, neighbours), `counts` (what a person wants counted before knitting it), `parts` (what of a motif goes into so
many rounds). The right edge of a grid meets its left, the top meets the next repeat's bottom; rows count from 1 at
the bottom, stitches from 1 at the right, as a chart is read.
"""
