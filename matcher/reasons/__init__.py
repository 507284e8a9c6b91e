"""What the program has to say, as values: a template and typed quantities, put into words once, by a face.

A rule that judges returns a `Reason`; it never formats a figure itself, and it knows no option of a command. A face
(the command line, a page) holds one `Style`: her units, her decimal sign, her language, and what it calls a field or an
action. Names that she wrote go through untouched, whatever they look like.

Read in this order: `style` (how things are said), `quantities` (what has a unit), `reason` (sentences), `visible`
(signs that no eye sees are written out). Nothing of the project is imported here; everything else may use it.
"""
