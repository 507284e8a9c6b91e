"""What is missing: which single purchase makes most possible, and what does without one.

A bin, whom it is for and what can't be made of it come in; yarns to buy go out as a class, a kind of fibre, a range of
colours and whole balls, never as somebody's product.

Read in this order: `offers` (a yarn that could be bought, and what is tried), `bench` (the bin with offers beside it:
what the search itself then finds), `ranges` (how far colour and thickness may differ), `find` (which opens most),
`without` (what does without buying).

How it works: a grid of yarns is tried, every class with every kind of fibre in every colour and amount of the grid,
each at the usual thickness of its class. All colours of a yarn lie beside the bin at once and none may meet another, so
one search finds a way with any of them; that way is then tried with all the others, and only for those that it doesn't
suit is searched again. So which offer opens what is the exact search's own answer, but that new yarn is not held
together with other lots there; what is left out is what lies between the points of the grid. Of the purchases that are
shown the least whole balls are searched with strands held together as well, where the bin isn't too large for that, and
the range around the colour is tried as `ranges` says. In a large bin all this is beside the yarns with most free.
"""
