"""Accessories put on the needles: metres of their lots set aside, and what is to be minded of them.

Read in this order: `claiming` (metres of lots for one work), `cast_on` (one work in a store that is open), `begin` (the
action), `begin_set` (all things of a set at once, or none), `begin_partner` (what goes with a sweater).
"""
