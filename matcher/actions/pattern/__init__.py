"""From what was suggested, named or fitted to a pattern.

Read in this order: `fitting` (the stitches, steps and metres of a recipe), `result` (a pattern with its lots), `files`
(pages, pictures, text and JSON; and what a file says again), `pattern` (the action), `kept` (of a piece on the
needles).
"""
