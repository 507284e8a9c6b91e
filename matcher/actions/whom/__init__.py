"""Whom she knits for: everybody there is, the sizes that are theirs, what they like, and what follows for a search.

Read in this order: `everyone` (people written down and wearers of garments, with their sizes), `tastes` (words that
they like or not, as kinds, accessories and lots), `bodies` (what is knitted to somebody's own measures), `skins` (what
is said to those who do not bear every fibre), `parties` (what a search is narrowed to), `told` (whom a suggestion is
for), `sized` (one thing begun for one of them), `in_short` (somebody in a line).
"""
