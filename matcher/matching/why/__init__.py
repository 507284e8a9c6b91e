"""Why something is not in the list: which rule stands against it, with the figure and what was asked.

Read in this order: `because` (a rule, its figure, what was asked), `compared` (what one assignment has that another has
not), `limits` (what bars a single lot), `nearest` (the assignment that comes nearest, and which rules had to give way
for it), `promising` (the least grams that could help, for each lot). Whether something is possible is never decided
here: the exact search says so.
"""
