"""Ways to make a thing, a file each: from a fitted accessory to the pieces of its pattern.

Each has one function `build(making, book)`, which returns what is `Made`: the pieces, what to know before and what to
do when all are knitted. `making` is what is to be made, `book` takes its charts; `knitting/construction` knows which
entry is made in which way.

`tube` knits a column of tubes from the cast-on up (hats, cowls, cuffs), `earflap` one upon two flaps, `mitts` hands
with thumbs, `socks` leg, heel, foot and toe, `yoke` bands that narrow, `strip` and `triangle` in rows, `pouch` with a
bottom; `parts`, where nothing else is known, each zone as a piece by itself.
"""
