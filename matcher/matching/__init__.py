"""What goes with what: lots weighed against each other, and against what things take.

Rules and searches over lots come in, given everything they need as plain values: the room opens no file, and
`matcher.store` is not known here. What is found is a value with its reasons; putting them into words is a face's
work.

Read in this order: `rules` (what all of it goes by), `kindred` (which belong together by her own choice), `taken`
(some of a sequence, none made before it is asked for), `distinct` (numbers of which most differ), `pools` (lots that
count as one, and all of them as arrays), `joined` (several stocks as one), `collected` (the same of many bins'
columns), `dyes` (which may run into which), `together` (yarns in one fabric: fits, warns or blocks), `guessed` (how
colours given by words read: a chance), `contrast` (do two colours read?), `kept` (what the size of a motif's elements
and the gauge leave of a hue), `colour_table` (contrast in bulk), `afar` (what stays of a motif at a distance),
`variants` (an accessory in its sizes and gauges), `reach` (how far a length goes), `least` (the least amount that is
enough), `palette` (pairs and triples), `facts` (what is known of one lot), `triage` (one advice a lot). Then the rooms
inside: `ranking/` (the exact search for suggestions), `rounds/` (the same of stocks of any size), `why/` (which rule
stands against something), `recolour/` (roles of one fitted accessory shared out anew), `gap/` (what to buy, and what
does without), `scraps/` (whose scrap is it, which lots look alike), `instead/` (which lots could stand in for a yarn),
`sets/` (several things from one bin).

A new advice of `triage` needs a constant, its place in `ADVICE` and its rule in `_Adviser`.
"""
