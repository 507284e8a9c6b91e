"""A motif looked at before it is knitted: `motif` counts it, judges its colours and draws it; `colours` finds the lot
or colour of each role.
"""
