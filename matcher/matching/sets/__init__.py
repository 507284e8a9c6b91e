"""Several things from one bin: which assignments together, so that no metre is promised twice.

Read in this order: `wants` (what is to be in the set), `column` (one assignment as the programme sees it), `chance`
(how sure all of them are at once), `aims` (what is counted), `risk` (what a chance asks of each pool, in straight lines),
`programme` (the mixed-integer programme), `source` (assignments with a reduced cost, by the exact search), `greedy`,
`planner`.
"""
