"""How she knits: `swatch` notes one that was weighed, `measured` its gauge, `history` reads finished pieces and
swatches of a store as observations, `calibration` tells what they say, `share` lays them out as bare figures to
hand on. Whoever builds needs asks `history` once and hands on what was learnt; without a history needs stay as they
are.
"""
