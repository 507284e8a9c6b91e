"""What may be asked of the fabric model: each thing that she types in, checked here and nowhere else."""

from __future__ import annotations

from matcher.errors import BadInput
from matcher.knitting.fabric import FabricConstants
from matcher.materials.rules import SheetLimits
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Field, Term, Words, listed, reason


def check_structure(name: str, constants: FabricConstants) -> None:
    """Raises BadInput for a structure that the catalogue does not have."""
    if name not in constants.structures:
        known = listed((Term(one) for one in constants.structures), "or")
        found = reason('found structure "{name}"', name=name)
        raise BadInput(found, Field("structure"), reason("choose {known}", known=known))


def check_tex(tex: float, limits: SheetLimits) -> None:
    """Raises BadInput for a linear density that no knitting yarn has."""
    least, most = limits.least_tex, limits.most_tex
    if not least <= tex <= most:
        raise BadInput(
            reason("a yarn of {tex} tex is too thick or too thin to knit", tex=Number(tex, 2)),
            Field("tex"),
            reason("give {least} to {most}; 50 g of 110 m is 455", least=Number(least), most=Number(most)),
        )


def check_within(what: Words, field: str, value: float, least: float, most: float) -> None:
    """Raises BadInput saying `what` was found where the value lies outside."""
    if not least <= value <= most:
        give = reason("give a number from {least} to {most}", least=Number(least, 1), most=Number(most))
        raise BadInput(what, Field(field), give)


def check_rows(stitches_10cm: float, rows_10cm: float, field: str, limits: SheetLimits) -> None:
    """Raises BadInput for stitches and rows in 10 cm that no one fabric has: one of them is a slip."""
    if not limits.least_rows_per_stitch <= rows_10cm / stitches_10cm <= limits.most_rows_per_stitch:
        said = "{stitches} stitches and {rows} rows in 10 cm are hardly of one swatch"
        told = reason(said, stitches=Number(stitches_10cm, 1), rows=Number(rows_10cm, 1))
        how = reason("count and measure both again: plain knitting has about 4 rows for 3 stitches")
        raise BadInput(told, Field(field), how)
