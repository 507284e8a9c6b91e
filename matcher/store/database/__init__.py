"""The store: one SQLite file that holds a bin and what was done to it.

Read in this order: `store` (open, read, `Store.action`), `act` (one action under way: insert, update, delete),
`journal` (rows before and after; undo), `past` (what was done with one lot), `rows`, `schema` with
`migrations/NNNN_name.sql`, `copies` and `backups` (dated copies), `claims` (what the needles hold), `wishes`, `bin`
(a `Bin` out of the store), `verify` (is it whole?), `faults` (what can be wrong with the file).

- Cells of both sheets are kept as text, as she wrote them; what is worked out of them (`folded`, `mass_g`,
  `of_garment`, `code`) stands beside them and is set by the act, never by a caller.
- Every change goes through `with store.action("words") as act`: one transaction (BEGIN IMMEDIATE), written into the
  tables of actions and of the journal with each row before and after. Undo plays the images back and forgets the
  action; nothing else may write.
- A file may come from anywhere: its schema is compared with the one that the migrations make before anything else is
  read, so that no trigger, view or check of its own runs; images in the journal name known columns only.
- A migration is a file, all or nothing, recorded in the store. A column that is added needs a default. One that is
  dropped or renamed must be so in the images of the journal too, so that undo reaches beyond it. Keep a store of the
  version before in `tests/store/old_stores/`, written by the program of that version.
- Weighing, moving, splitting, undoing and finishing load no catalogue or numpy: that keeps them near the
  time of an empty command.
"""
