"""Pictures and pages as values, and the same written as SVG, PNG or HTML.

What was worked out comes in; text and bytes go out, which an action writes. Same input, same bytes.

Read in this order: `scene` (polygons and words; knitting in mm of the fabric, y down; written as SVG and as PNG),
`lettering` (the font of a PNG, which lies in font/ with its licence),
`stitches` (one stitch as an outline; the colours of a lot stitch by stitch), `motif_picture` and `chart_marks` (a
motif knitted, and its chart), `patch` (small, for a list), `laid/` and `flat_picture` (an accessory laid flat),
`distances` (as it is seen from near and far), `sights` (as other eyes see it),
`palette_picture`, `colour_range` (colours to look for), `calibration_plot`, `annotated` (what was seen on a
photograph), `page` (a page to print),
`pattern_chart`, `pattern_page` and `pattern_text` (a pattern's charts, its page, and the same as plain text),
`papers` and `sheets` (scenes that fill paper), `pictures_sheet`, `bars` (lots cut by what takes of them),
`set_picture`, `tags`, `garment_outline` (where yarn is kept to mend it).

Every stitch is one `Shape` of kind "stitch", and the middle of its cell has exactly its colour: keep both when an
outline changes, tests count stitches and compare pixels. A variegated yarn's stretches are drawn by lot from the
role's name. Motif grids are drawn as they are read, first character at the left; stitches are numbered from the
right. A PNG writes what its font has, `lettering` says how all else; the SVG keeps every letter.
Pages hold their pictures as inline SVG, no script, nothing from the network.
"""
