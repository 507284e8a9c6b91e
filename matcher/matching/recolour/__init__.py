"""Pools of the bin shared out among the roles of one fitted accessory.

A fitted accessory, its motif's sides and the pools come in; lots a role go out, or ways out when a colour is short.

Read in this order: `rules`, `colouring` (what is asked of colours, and how pools stand to each other), `share` (a
garment's own leftovers given to its roles), `search` (the exact search: order and mean reading add up over pairs, the
least reading and going-together only fall, the chance is bounded node by node of the shared tension; equal scores go
by name), `recolouring` (its first use), `exchanges` (ways out when a colour is short, its second), `otherwise`
(the same thing made a little differently), `purchase` (how many grams to buy). `tests/matching/test_recolour.py`
scores all permutations from the definitions, apart from the program, and must stay so.
"""
