"""What she has, looked at: lists of it, one thing with all that is known of it, and the whole in five lines.

Nothing is changed here, and no rule about yarn comes in: reserves are `matcher.knitting`'s, what is free is the desk's.

Read in this order: `lines` (a lot, a garment, a work on one line), `which` (which lots are meant: by place, class,
colour, what is free), `listing`; `past` (what was done with a lot or garment, in plain words), `things` (one lot,
garment, accessory or work with all that is known of it), `facts` (the same as sentences, which every face shows),
`kept_for` (where on a garment yarn is kept to mend it),
`show` (what a name means); `overview` (the whole).
"""
