"""What she has: fibres, yarns, colours, lots and garments, every unit resolved, every figure with its spread.

Values and the rules that concern one of them come in here; nothing about stitches, nothing that weighs one lot
against another, no file. Inside the project lengths are metres, masses grams, measures centimetres, thickness tex,
colours CIELAB (D65, 2 degrees); units stand in names (`length_m`).

Read in this order: `reading/` (cells as people write them), `colours/`, `estimate` (a mean and its standard
deviation), `uncertain` (the chance that several of them are all enough), `fibre`, `yarn` (from ball band, count or
class to tex, and to the length on hand), `thickness` (by a word for it), `people` (those she knits for), `skin_words`
(what their skin does not bear), `wishes`,
`garment_words` (what became of a garment, and its kind), `lots` (lots, garments, the bin), `care` (wash words),
`blocking` (how a piece is brought to its measures, by its fibres), `collection` (what many bins give together, as
columns).
`clues` is what can be measured on an untagged scrap. `rules` holds the catalogue's choices and limits as dataclasses:
a key-value table of `catalog/standards` fills the one whose fields have its keys.
"""
