"""Keeping the bin from day to day: whatever reads or changes the store.

Each action is one transaction with the words that undo will show, and returns what was done. Those that need no more
than the store stay quick: they load no catalogue or numpy.

Read in this order: `done` (opening the store, finding a lot, saying what was done), `lots` (weigh, move, split, join,
mend), `cells`, `add_several`, `people`, `wishes` and `checked` (add and change, held to the rules of the sheets),
`questions`, `answers` and `look` (sheets before they are taken in), `refused`, `intake`, `intake_words` and `export`,
`store` (undo and verify), `meanwhile` (what others did since), `triage` (one advice a lot, her own decisions),
`opinions` (of a suggestion), `tags`.
"""
