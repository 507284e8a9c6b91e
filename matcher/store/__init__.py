"""What touches disk: the catalogue and the sheets of a bin."""
