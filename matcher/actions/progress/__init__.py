"""How far a piece on the needles is, and whether each colour lasts to its end.

Read in this order: `begun` (works by what she calls them), `piece` (one with its pattern and its yarn), `lasting` (what
each colour still has to give, the chance that it suffices, ways out from here), `whole_set` (the same of all works that
were begun together), `standing` (all of that, for looking), `row` (writing down where she is, with what the lots
weigh), `weigh` (a weighing by itself) and `works` (finished, abandoned), which load none of it where no piece is in the
middle and none was begun with others.
"""
