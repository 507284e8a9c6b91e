"""Scraps and look-alikes: which yarn an untagged end is of, and which lots the eye cannot tell apart.

Read in this order: `identify` (Bayes' rule over the yarns of the bin, and none of them), `measure_next` (the clue
with the largest expected information gain), `lookalikes`. A further clue needs its error in
`catalog/standards/identify.csv`, a density for each pool and for none, and its outcomes.

`lookalikes` looks for pairs only in a window of lightness that pass a quick lower bound of CIEDE2000; complete
linkage within each connected piece changes no group, since it takes the largest difference.
"""
