"""An accessory to match a sweater: settle what is asked, fit the motif, share the colours out, judge, tell.

Read in this order: `wishes` (what may be asked), `settle` (garment, accessory, motif), `wearing` (who it is for, and
the gauge), `fitting`, `sharing` (lots a role, and ways out), `judging` (contrast, care, cautions), `choices`
(yarns that a role could be in), `partner` (all brought together), `result` (what it returns), `words` (a fit in a
knitter's words), `page` (pictures and the page to print), `sweaters` (what it can go with, and what it can
be).
"""
