"""One file for each thing to look at: it reads what was asked, calls one action, and fills a template.

Each has `ROUTES`, which `web/routes` puts together. Read `yarn` first, it shows how a view is made (her yarn as
colours); then `lot`, which changes something; `working` (work that goes on beside). Then any other: `door` (the pass
phrase, and the way to her phone), `photograph` (colours of a photograph), `intake` (a workbook sent in), `today` (the
first page, and the demo), `done` (what was done, taking it back), `manner` (units, words, light), `pile` (sorting),
`people` (and wishes), `knitting` (how she knits), `printing` (tags, sheets, the whole bin), `begin` (a first few
lots), `garment` (all, and one), `colours` (side by side), `suggestions` (what her yarn could become: the list, one of
it, what she thinks of it, beginning it), `several` (a set), `match` and `match_more` (to go with a sweater), `buying`
(what to buy, and what could stand in), `needles` (what is begun, row by row), `pattern` (whole, to print and keep),
`why` (and why not), `motifs` (drawing one).
"""
