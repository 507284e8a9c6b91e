"""An entry or a motif fitted to a body: whole stitches, whole rounds, and which row of the motif each round shows.

An accessory, a motif or its own ones, a size and a gauge come in; cast-ons and their metres go out. Which lots are used
is not known here.

Read in this order: `fitted` (what results), `rules` (how far an entry's ease may be left), `outline` (the zones sorted
out: the main tube, the column, what is knitted besides; "edges", of which there are twice as many as main tubes, stand
below and above), `parts` (the zones as parts, one below the other, with the motif placed), `as_worked` (where knitting
is another thing than zones one by one: `crowns` with a motif, `hands` with thumbs and tips, `heels` of socks),
`cast_ons` (every cast-on for a motif of another piece, best first; or the nearest one and what would help), `as_listed`
(any entry with its own motifs or none), `edges` (what is cast on and bound off), `needs` (metres, round by round),
`measured` (a head or a hand that she measured).
"""
