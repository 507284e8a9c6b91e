"""Many bins as one: what lies in a folder of them, and a collection as a Parquet file.

Names of people never come in: a member is a code, a lot its number in her own list.

Read in this order: `columns` (of a Parquet file, and their form's version), `writing`, `kinds` (types of other
writers for the same values), `checking` (what may stand in each column), `parquet` (a file to a `Collection`, no
object a lot), `copies` (which files hold the same), `lying` (which files of a folder are bins, where each lies, and
which code `codes.csv` gives it). pyarrow is an extra and imported inside functions.
"""
