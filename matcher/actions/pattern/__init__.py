"""From what was suggested, named or fitted to what is to be knitted, and to its pattern.

Read in this order: `order` (what is to be knitted, settled), `fitting` (the stitches, steps and metres of a recipe),
`minding` (whether its yarns go together and suit whom it is for), `result` (a pattern with its lots), `enough` (how
sure it is that yarn suffices), `lasting` (whether what is free does), `files` (pages, pictures, text and JSON; and what
a file says again), `pattern` (the action), `kept` (of a piece on the needles).
"""
