"""What could these leftovers become, and what is missing? A `question` is laid out for the exact search, `suggest` asks
it, `why` says what speaks for what it found, `teller` turns that into a `suggestion`, which is what a person and a
program get. `last_list` keeps what she was shown, so that its numbers mean that until she asks for another; `pictures`
draws it all on a sheet. `gap` asks what single purchase opens most; what it found is in `gaps`, `gap_files` draws it.
"""
