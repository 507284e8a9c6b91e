"""A motif fitted to a body: whole stitches, whole rounds, and which row of the motif each round shows.

An accessory, a motif, a size and a gauge come in; cast-ons and their metres go out. Which lots are used is not known
here.

Read in this order: `fitted` (what results), `rules` (how far an entry's ease may be left), `parts` (the zones of an
entry as parts, one below the other, for one cast-on; "edges", of which there are twice as many as main tubes, stand
below and above), `cast_ons` (every cast-on, best first; or the nearest one and what would help), `needs` (metres,
round by round), `measured` (a head or a hand that she measured).
"""
