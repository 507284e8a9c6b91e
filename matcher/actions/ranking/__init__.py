"""What could these leftovers become? `suggest` asks the exact search; `suggestion` is what a person and a program
get.
"""
