"""The exact search: the true first K suggestions, without trying all assignments.

Pools, variants and what is asked come in; assignments with their scores go out. Numbers that somebody could doubt
come from the catalogue.

Read in this order: `score` and `evaluate` (a complete assignment scored plainly), `found` (assignments and the bar),
`scope` (what is asked for), `ready` and `searcher` (a bin made ready; what all searches of it share), `tex_steps`,
`usefulness`, `choices`, `supply` (what so many strands of each pool have for any need), `prices` (what yarn costs,
where several things want it), `bins`, `mates`, `mates_read`, `pair_table`, `pool_table`, `at_gauge` (what is worked
out once for all that is knitted at one gauge), `blocks`, `closer`, `role_list`, `held` (which role holds what must be
used), `standing` (who could stand beside anybody), `alike` (few of those that nothing tells apart), `unread` (which
stitches of two pools read too little), `main_strands` (whether the thickest strands could stand), `ahead`,
`companions`, `thin`, `strands`, `sure_strands` (those of which a thread could be sure enough), `beside_pools` (threads
of few pools that could read beside some pool of each other role), `jointly` (the chance of all roles, shared out
between them), `role_by_role`, `descent`, `varied` (the list's rule), `search`; then what is said
besides: `near_miss`, `lacks`, `among` (a searcher of some of the pools), `made`, `could_be`, `unused`.

How the exact search works:

1. Lots become pools, pools become arrays (a stock). Accessories become variants; variants of one accessory at one
   gauge share a block, since the same yarns suit them.
2. For each role a candidate is a pool alone, doubled or trebled (`choices`). Its merit is the worth of its use and
   leftover, and the chance that it suffices alone. Too little yarn: worth minus infinity. What of it hangs on the pool
   and not on the need is worked out once for each gauge (`supply`).
3. Each block is a job, twice: with plain threads, and with marls. A heap holds the jobs by what they promise at most.
4. The job that promises most takes one step: a quick bound on all its sizes (each role's own best trade of worth and
   reading, all other roles at their best), then for its most promising size a closer one (`closer`), then the search:
   of all sizes that could beat the bar, or with marls of the most promising. The closer bound drops each candidate that
   could not beat the bar with all else at its best, and of those that are left looks at chances, at pairs of roles, and
   at a ground with all that touch it; where there are many, at mates pair by pair, and at strangers by `bins` of
   lightness, since lightness bounds a reading. What was dropped scores no more than the bar, so the greater of the two
   is a bound on all.
5. `descent` makes the lists of candidates, those left out that the closer bound drops; `role_by_role` fills the roles,
   the one with fewest candidates first (where pools are held together the one with fewest pools, since a few make many
   threads that all lack the same), in all sizes at once. The score so far, plus the most that the rest could add,
   is never below any completion; what cannot beat the bar is left out. Beginnings go on in bunches, the few that
   promise most first, since what they lead to raises the bar: looked up pair by pair in one go, a bunch costs hardly
   more than a single one.
6. Hopes before readings: a hope comes from lightness alone, cheap and never too low, and is the true reading where it
   is above "readable". Those go on at once and raise the bar; CIEDE2000 is computed only for the few that rest on
   hue.
7. Sure is carried as a chance for each node of a grid of the shared tension, so that roles multiply; the sum over the
   grid is the true joint chance, and it only falls as roles are added. Before it is worked out, what each role shares
   of it bounds it (`jointly`), which costs a look into a table.
8. Kindred is added up over pairs of roles. A pool is kindred to no more others than lived in its garments or are of
   its yarn: half of that for each role bounds the whole; on the way down each pair counts where its second role is
   filled, and what is hoped of a role falls to what it has with those that are there.
9. Roles together: a later role adds, beside one that is filled, no more than the better of two things. As a stranger:
   the worthiest of its candidates, none of it from `kindred` with that one, and with the reading that the two bins of
   lightness allow. As a mate: the worthiest of those few that do belong together, looked at pair by pair (`mates`).
   Every completion has one or the other in that place, and what is hoped from pairs with further roles is counted
   whole, so the greater of the two is never too low; beside several that are filled the least of these bounds holds,
   since each of them does (`companions`), and so does one that counts every pair with them: as a stranger to all, or
   as a mate of some, looked at one by one. Without it a ground that reads against everything leaves hundreds of
   garments to be tried, each of whose lots hopes to belong with the ground too. Only one role's bound may count the
   contrast, which is one figure for all; or all of them read so well that lightness must tell them apart, which
   leaves few, or the contrast is no more than hue could make it. A thread's worth is the mean of its strands', and it
   belongs to another no further than each of its strands does: so the same bound on strands holds for every thread
   that has them (`strands`), and threads are made of those that are left. What reads and what belongs together is
   bounded at once there too: beside a strand that is too much of its thread to vanish, the other thread reads no
   better than one of its strands does, and is no more kindred than that one. Threads whose own strands are strangers
   belong to nothing, and are bounded apart. Where all pairs of candidates are tabled, `ahead` looks at all of them on
   the way down.
10. Marls come last: their part "together" is low (0.4), so the bar that plain threads have set rules most of them
    out. Most of the others fall without a look at the pools: as if one were of most use for everything, most kindred,
    and there were just enough of it (`thin`). A strand is then dropped that could not win beside two of the best of
    its role, again after each bound, so that dear ones are asked of few. The worthiest strands first, four times as
    many while a further one could still win, each time only the threads with a new one. Long lists are searched in
    parts: in some roles only threads of strands that have nothing in common, in the others none of them. The former
    belong to nobody, so that a part with few of the latter has little to hope for from `kindred`, and most parts fall
    at once; what two threads are to each other is the least of what their strands are, which is looked up where pools
    are few (`pool_table`). Too many to hold, or to look at (a list that stays short has no bar), are not all tried,
    and the result says so, and what they could score at most. Where something must be used, each role is searched as
    the first that holds it (`held`): that one's threads are few, and what they are kindred to, and how they read,
    bounds what all others can add. Where nothing was found yet, candidates that could stand beside nobody are left
    out first (`standing`), or beside no two more that touch each other: of black and white any two read, and no three.
    That tells of most things that can't be made. Strands of which no thread could be sure enough are left out, not even
    beside the surest (`sure_strands`); and before any thread is made it is asked whether each role could
    have a thickest strand at all (`main_strands`): those of threads that touch must read themselves, so that three of
    them which touch each other need three pools which do. No thread reads better than its best strand does by itself:
    so where few pools could fill a role, all its threads are made, and those that read beside no pool of some other
    role are left out (`beside_pools`). What pools read hangs on no gauge, so where any will do it is asked of all
    gauges at once first. Two threads read just where no more of their stitches than may vanish read too little, so of
    few colourings these shares are told once, two by two, and added up over strands (`unread`) before stitches of
    threads of many colours are looked at. Pools alone are tried to the end but where any will do: no bar ends that, so
    as much is looked at as of strands held together (`Best.look`).
11. There is one bar over all accessories: the K-th score found so far, less a tie's width. Contrast saturates at
   "clear", so in most bins the first few tries reach the bound and all other jobs fall at once.
12. Bounds carry a slack of 1e-12, since sums in another order differ in the last place; equal scores (nine places) go
    by name.
13. A colour given by a word reads with a chance (`matcher.matching.guessed`). Its reading is never above that of its
    means, so every bound on lightness holds; the colour table takes off what the words leave in doubt, so that a bin
    in words is searched as quickly as one in codes.

A new part of the score needs three things: its value in `evaluate`, a bound that is never below it in `blocks`,
`supply`, `closer`, `companions`, `thin`, `strands` and `role_by_role`, and its plain form in
`tests/matching/enumeration.py`, which is written apart and must stay so.
"""
