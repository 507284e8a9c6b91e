"""Her sheets: a folder of csv files, or a workbook, read as they are and written back without loss.

Files come in; lots, garments and faults go out. All faults are told at once, each with sheet, row and column; then
nothing is read.

Read in this order: `grid` (rows of text cells), `csv_files`, `look` (a workbook counted before it is unpacked),
`formats` (units that are shown and not held), `struck` (rows that are struck through) and `workbooks` (files to grids:
workbooks with python-calamine, an .xlsx with formulas, errors or merged cells with openpyxl), `columns` (every column
described once), `headings` (what a heading means), `understood` (what was made of headings and odd cells), `find`
(where the tables lie; `beside`: two of them side by side), `texts` (which text files are lists), `own_names` (which
files of a folder are called as a sheet), `placing` (which column each heading is; `bought`: of two weights the one
that is left; `comes_off`: what was used of it; `fates`: what became of a lot; `unit_column`: units that stand beside
their numbers; `full_and_part`: full balls and a part-used one; `by_row`: how thick a yarn is by a lot itself),
`as_meant` and `rows` (cells as their table means them), `passed_over` (totals and remarks are no lots), `tabulate`
(tables to named cells), `naming` (names for lots that have none), `owners` (garments that lots name), `said` (her own
answers in place of cells), `settled` (cells kept in one wording only), `readers` and `cells` (cells to values),
`by_column` (each text of a column understood once), `people` and `lots` (what one cell alone cannot show), `read` (a
bin), `one_bin` (whether a folder's files are one). Writing: `write`, and `books`, which packs .xlsx and .ods by hand,
since no library gives the same bytes twice (a number only where reading gives the same text back; an apostrophe before
what a spreadsheet would run).
"""
