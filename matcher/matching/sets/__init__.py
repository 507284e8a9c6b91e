"""Several things from one bin: which assignments together, so that no metre is promised twice.

Read in this order: `wants` (what is to be in the set), `column` (one assignment as the programme sees it), `chance`
(how sure all of them are at once), `aims` (what is counted), `selection` (a set as it stands), `greedy`, `risk` (what a
chance asks of each pool, in straight lines), `capacity` (limits on every pool), `rows` (of a programme, and its
solver), `ceiling` (a bound without columns), `model` and `programme` (the mixed-integer programme), `source` (columns
that are worth more than their yarn, by the exact search), `filling` (a large set), `conflicts` and `cuts` (what can't
be together), `tree` (all sets of a few things), `planner`.
"""
