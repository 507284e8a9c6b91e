"""Many bins as one: a guild's, a charity's depots, a swap group's. The bins together are a collection, whoever owns one
is a member of it, and where it lies is a place.

What one bin gives, stands in `matcher.actions.given`.

Read in this order: `codes` (by which code each file's owner is told), `withheld` (what is said of a file's faults,
without anything that stands in it), `twice` (which lists seem to be one bin), `gathered` (all files of a folder, and
what each holds), `result` (what is told, by codes and places alone), `asking` (the question to the search), `givers`
(what is nearly possible, and who could give what it lacks), `turns` (members one after the other, out of files in
groups of rows), `planned` (a set that uses most), `source` (the rows as they are asked: at once, or a part after the
other), `cost` (memory), `edition` (whether a cluster has this very matcher), `cluster` (bunches asked on other
machines), `pool` (all of it).
"""
