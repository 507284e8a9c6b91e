"""What she has: units, fibres, yarn, colour, lots. Imports nothing above `matcher.errors`."""
