"""What could these leftovers become? `suggest` asks the exact search, `teller` turns what it found into a
`suggestion`, which is what a person and a program get.
"""
