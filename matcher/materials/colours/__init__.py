"""Colours: of a lot, in CIELAB, as other eyes see them, how far two are apart, and what a distance leaves of that.

Only colours as such come in: whether two read in knitting is `matcher.matching`'s, where they lie in a photograph is
`matcher.photographs`'.

Read in this order: `cielab` (sRGB to CIELAB and back, on plain arrays), `words` (what a colour word stands for, and
how far off it may be), `colour` (one colour, a heather, or several with shares; cells and words to colours),
`families` (what a colour is called: blue, dark brown), `ranges` (the same of a range of colours), `difference`
(CIEDE2000), `apart` (two lots' colours), `vision` (the deficiencies), `eye` (how the eye blurs what is small),
`distance` (what that leaves of a motif in two colours).
CIEDE2000 is worked out by its published equations on arrays; colormath is the reference that they are held to, and
gives the difference of two single colours. `difference` alone knows it, and only its functions on plain arrays: its
colour objects default to another light and fail on a current numpy. Its mean-hue branch departs from the standard by
at most 0.0002; the tests' tolerance says so.
"""
