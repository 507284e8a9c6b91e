"""Which lots could stand in for a yarn: alone, joined one after the other, or held together.

The yarn asked for and the bin's pools come in; ways to stand in for it go out, the best first, and what each changes.

Read in this order: `rules`, `beside` (one pool beside the yarn asked for: look, fibre, care, kin), `way` (what it comes
to when pools are joined or held together: gauge, metres, how sure, the score), `table` (all pools as arrays), `search`
(the exact best, without trying all: the score of a way is never above what its worst pool leaves of it), `nearest`
(what comes near where nothing can stand in, and what it lacks), `changes` (what a way changes, to be said), `mending`
(whether it would do to mend the garment that the lot came from). `tests/matching/test_instead.py` tries all ways. It is
written apart from the program, and must stay so.

How a way is valued: each part of the score is that of its worst pool, so that a further pool never makes it better;
metres are a gate and no part of it, so that more metres never make anything worse. A way that is not enough, too
different in thickness, or of another colour stands in for nothing. Pools are joined only where no fewer of them are
enough.
"""
