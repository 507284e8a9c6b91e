"""What is held back: metres of each garment's yarns and colours, for mending it and for planned alterations.

Read in this order: `repairs` (areas by the garment's kind, and what an alteration adds), `reserve` (the reserve of
each yarn and colour; one set by hand is never overruled), `laying` (on which lots it lies: begun pieces first, so
that full balls go free, and each repair from one dye lot), `words` (what it is kept for).
"""
