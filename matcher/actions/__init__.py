"""One file for each thing a person does; every face uses them, and a notebook may as well.

An action takes what she wishes as plain values, opens a desk, asks the rooms below, and returns a value with
`as_dict()` (the keys of the JSON) and, where it is a table, `frame()`. It makes no screen, and holds no rule about
yarn.

Read in this order: `place` (where a bin lies, and which store is its own), `remembered` (what she said of her
sheets), `reading` and `reading_words` (how they were read, for a face to show), `uncollected` (making many things
that all stay), `desk` (a bin with its catalogue, store, shelf, history, variants and decisions, each worked out
once and only when asked for), `asked` (what several actions let her ask for), `wished` (her standing wishes),
`names` (names as she types them), `meant` (what she means by a class, a kind, a size, an accessory), `targets`
(where files are to go), `handed_back` (what was written here and comes back), `roles` (what a suggestion and a
partner say of a role), `role_lots` (lots as they are named for roles), `thickness` (yarns that are
not usual at a gauge), `unnamed` (a lot's words without the people
of its bin), `given` (what a bin gives to a collection of many, and no more).
Then any action:
`reserve`, `needs`, `check`, `contents`, or a room: `looking/`, `whom/`, `ranking/`, `sets/`, `instead/`,
`partner/`, `colours/`, `motifs/`, `learning/`, `pattern/`, `progress/`, `beginning/`, `keeping/`, `collection/`.
"""
