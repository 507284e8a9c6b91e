"""Accessories as they lie on a table: which stitches are seen, and where each lies.

A fitted accessory comes in; panels of stitches go out, which `panel` draws stitch by stitch or, small, run by run.

Read in this order: `rows` (the stitches of each round that are seen, with their true sizes), `panel` (rows at their
places, straight or bent, as shapes), `column` (tubes one above the other, turned-over edges), `mitten`, `sock`, `yoke`,
`pieces` (what is knitted flat), `lying` (which of these an accessory takes).
"""
