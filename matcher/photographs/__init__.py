"""Colours of yarn from a photograph, each with its error.

A picture comes in as an array of upright sRGB pixels (`matcher.store.photograph_files` opens files); colours with
shares, errors and warnings go out. Everything is worked out in linear light.

Read in this order: `photo` (the entry), `pixels` (boxes, blocks of pixels, the rules), `white` (the reference and the
correction by it), `falloff` (what the corners lack, read off the paper), `regions` (where yarn lies, when no box is
named), `one_light` (whether paper and yarn lie in one light, by the ground beside them), `colours` (how many, which,
with what shares, against shadow), `sheen` (highlights), `mixture` (clusters of colours), `warnings`.

The renderer `tests/photographs/photo_renderer.py` makes photographs with a known answer, light by wavelength. A
figure of `catalog/standards/photo.csv` that is "derived" was measured with it: change one, run
`tests/published/test_photo_patches.py -s` and `tests/photographs/test_photo.py -s`, and read the tables.
"""
