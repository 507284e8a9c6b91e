"""Her own motif files: text grids, and pictures of one pixel a stitch.

`files` reads her grids by their content and writes them: a picture becomes the text of a motif file and is parsed as
that, so both kinds obey one set of rules. `pixels` opens pictures: size, depth and frames are told from the header
before a pixel is decoded. A PNG of ours carries its head lines and colours as two iTXt comments, "matcher motif" and
"matcher motif colours". `own` finds the files that lie beside a bin, `along` those that its
garments name, for whoever writes it out.
"""
