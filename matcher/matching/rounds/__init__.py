"""The exact list of a stock of any size: a bar is found first, then nothing is looked at that can't pass it.

A searcher and a scope come in, as for `ranking.search.search_scope`; the same outcome goes out, in the places of the
whole stock. Where the search itself would look at every pool for each accessory at each gauge, this looks at every pool
once; where most pools could stand above the bars it hands the stock to the search itself.

Read in this order: `lightness` (what it tells apart, where few pools stand out), `cells` (pools much alike, as ranges
of their figures), `tops` (what roles come to at most), `threads` (what cells add to roles), `groups` (the best that
belongs together with each pool), `ceiling` (the most that an assignment with a pool of a cell could score), `marls`
(the same with strands of several pools), `pairs` (of every two pools), `beyond` (what a part of a stock must know of
the others), `at_once` (what goes on on all cores), `opening` (what of a stock could stand above a bar), `families`
(pools of one garment or yarn that promise most together), `sample` (round one: a few pools that score nearly as high as
any), `bars` (what a list shows that need not be looked at, and whether it is certain), `search` (both rounds), `parts`
(both rounds over a stock that is cut).

Why the list is the true one:

1. The score of an assignment hangs on the pools in it and on the catalogue, and on nothing else in the stock. So a
   search of some of the pools scores as a search of all does, and whatever it finds is feasible in the whole.
2. Round one searches a sample. The list that it finds sets a bar for each accessory. Bars are a guess: nothing that
   follows needs them to be right, only that it is known what they are.
3. Round two keeps, for each accessory, every pool that could stand in an assignment above its bar. A pool is left out
   only where the ceiling of all assignments with it is no higher. The ceiling of a cell is worked out of ranges: the
   use of the least metres, the chance of the most, the least doubt; each is monotone, so it is never below what it is
   for any pool of the cell. The other roles add at most the tops of all cells that were not ruled out: an assignment
   above the bar has no pool of a cell that was, in any role. So the tops may be taken of what is left, again and again,
   and finer cells may be looked at within coarser ones alone.
4. Three bounds on the chance of all hold at once: that of the role itself; that of one other role; and what all roles
   share (`ranking.jointly`). Kindred is counted half for each of two roles, at most with as many mates as a pool has;
   of pools one by one, another role adds the better of a mate and a stranger. What one cell could not be in a role of a
   size, none of its pools could be: so it leaves that role's top, and with no mates but those that are left it may have
   too few. Both are seen from the cell's own figures, before a pool is looked at, and by sorting the pools by garment
   and by yarn, so that no pairs are ever listed (`groups`). Where nothing could stand without a mate in some role, only
   the pools that could fill it are looked at, and what belongs to one of these. Of things of two roles the bounds of
   single roles leave many pools that only seem to be good together: where few thousands are left, the chance of both is
   worked out for every two (`pairs`), just as a whole assignment has it. Where lightness tells few pairs apart, either
   all colours that touch are told apart by it, so that beside a pool only those count that lie far enough from it, or
   the contrast is no more than hue could make it (`lightness`): the greater of the two bounds holds for any assignment.
5. The exact search of what is left finds every assignment above the bars. The list is chosen again with each accessory
   unknown below its bar (`varied.choose`): where an unknown one could stand, the bar was too high. It is lowered to
   what the list has come to, or taken away if that is no help, and round two is done again. A bar that
   was lowered is never lifted again, and lowered twice at most, so this ends; and then every place of the list is held
   by the best that the rule allows there.

Where a stock is cut, in any way, the same holds with what is `beyond` a part: the tops of the others, worked out as if
they read against anything, and those of real pools; the ends of all colours, so that each part's bounds on reading
reach as far as the whole; and what names of yarns and garments more than one part has, so that such pools count as
kindred to any. Whatever list the joined sample gives is feasible, so it sets bars; what each part then keeps is joined
and searched, as in 5.
"""
