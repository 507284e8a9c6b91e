"""The catalogue: accessories, motifs and tables, read from `catalog/` and checked.

`folders` alone knows where the catalogue and the demo lie; `catalogue` loads it and refuses a source that is unknown
or that nothing uses. What the entries and tables may hold is told in `catalog/README.md`.

Read in this order: `folders`, `rows` (CSV rows and key-value tables, each fault by file, key and reason), `values`
(values out of TOML), `tables`, `classes` and `fabric` (tables to dataclasses), `accessories` (an entry), `limits`
(what a cell can mean), `amounts` (words for how much there is), `headings` (what people head their columns with) and
`standards` (the few tables that reading a lot needs), `catalogue`. Pydantic and tomllib load late: a command that
weighs a ball reads `limits` and nothing else.
"""
