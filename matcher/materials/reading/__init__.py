"""Cells as people write them, turned into values: "1 1/2 oz", "Nm 4", "22 st x 30 rows in 4 in".

What comes in reads one kind of text and raises an error that says what was expected. Showing is not done here: a
quantity of `matcher.reasons` knows how it is shown.

Read in this order: `numerals` (every parser starts there), `heard` (what a cell was taken to say), `units`, `counts`
(yarn counts to tex), `amounts`, `amount_words`, `amounts_abroad` and `weights` (how much there is, with its spread),
`bands` (a ball band in one cell), `chests`, `gauges`, `days`, `dye_lots` (which say that none is known), `names` (when
two are the same, and the nearest to a slip of the pen).
"""
