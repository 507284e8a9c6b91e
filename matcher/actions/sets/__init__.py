"""Several things from one bin: what they are, what each lot gives to which, and how sure all of them are at once.

Read in this order: `result` (a set as values), `wanted` (her wants, as she writes them), `orders` (the same as they are
looked for, and for whom), `sharings`, `matched` and `matched_columns` (a hat, a cowl and mitts to match a sweater),
`uses` (what each lot gives), `planned` (a plan as a set), `told` (what is said of it), `not_there` (what it can't
hold), `page` (its picture, its pages to print, and its JSON as files), `in_file` (that JSON read again, to be begun),
`last_set` (the last one of a bin, to be begun without a file), `plan` (the action), `gap_without` and `gap` (what
finishes a set: without buying, and which single purchase).
"""
