"""What could these leftovers become, and what is missing? A `question` is laid out for the exact search, `suggest` asks
it, `why` says what speaks for what it found, `teller` turns that into a `suggestion`, which is what a person and a
program get. `last_list` keeps what she was shown, so that its numbers mean that until she asks for another;
`pictures` draws it all on a sheet; `untried` is said of a list for which not all was tried. `gap` asks what single
purchase opens most; what it found is in `gaps`, `gap_files` draws it.

And why not? `why_not` gives the `answer`: where an accessory stands and what is before it (`below`), or what stands
against it (`against`; `barred`: whom it is for, and what she wished), and which changes would let it in: `trials` make
them, `ways_in` tries what would make it possible, `ways_up` what would bring it into the list.
"""
