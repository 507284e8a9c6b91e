"""Pictures and pages: shapes and words as plain values, written as SVG, PNG or HTML."""
