"""A motif looked at before it is knitted, and drawn.

Read in this order: `colours` (the lot or colour of each role), `counting` (a motif counted, and judged in its colours),
`words` (what was counted, said), `motif` (one that is asked for; its pictures written), `own` (drawn by her, and kept
beside her bin).
"""
