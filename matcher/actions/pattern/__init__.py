"""From what was suggested or fitted to a pattern.

Read in this order: `fitting` (the stitches and metres of a recipe), `files` (patterns as files of hers).
"""
