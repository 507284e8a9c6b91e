"""What she wrote of a lot or garment in the sheet that it came from, beside what was made of it."""

from __future__ import annotations

from matcher.actions.keeping.done import garment_row, lot_row, opened
from matcher.actions.place import Place
from matcher.store.written import Written, written_of


def written(name: str, *, sheet: str = "lots", bin: Place = None) -> tuple[Written, ...]:
    """Her own headings and cells of a lot ("lots") or a garment ("garments"), where they are not as the store has them.

    Columns first, then what stood under headings that were left out. Empty for what was typed in by a command, and for
    a tidy sheet. Raises NotFound with the nearest names.
    """
    with opened(bin) as store:
        row = lot_row(store, name) if sheet == "lots" else garment_row(store, name)
        return written_of(store, sheet, row["lot" if sheet == "lots" else "garment"])
