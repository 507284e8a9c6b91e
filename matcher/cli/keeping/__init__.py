"""Commands that read or change the store: `cells`, `lots`, `garments`, `people`, `wishes`, `works`,
`progress`, `intake`, `export`, `store`, `tags`, `triage`; `columns` makes the options of `add` and `change` from the
sheets' columns, `say` is what they share.
"""
