"""An address as a QR code, to be scanned from the screen: as text for a terminal, as a picture for a page."""

from __future__ import annotations

from markupsafe import Markup

_BORDER = 3  # light modules round it; scanners want some


def qr_lines(address: str) -> list[str]:
    """Lines of half blocks, two rows each, light where the terminal is dark."""
    rows = _rows(address)
    if len(rows) % 2:
        rows.append([True] * len(rows[0]))
    signs = {(True, True): "█", (True, False): "▀", (False, True): "▄", (False, False): " "}
    return ["".join(signs[pair] for pair in zip(*two, strict=True)) for two in zip(rows[::2], rows[1::2], strict=True)]


def qr_picture(address: str) -> Markup:
    """The same as a picture inside a page; the address stands beside it."""
    rows = _rows(address)
    size = len(rows)
    dark = "".join(f"M{x} {y}h1v1h-1z" for y, row in enumerate(rows) for x, light in enumerate(row) if not light)
    return Markup(  # made from figures
        f'<svg class="qr" viewBox="0 0 {size} {size}" role="img" aria-label="The address as a QR code">'
        f'<rect width="{size}" height="{size}" fill="#fff"/><path d="{dark}" fill="#000"/></svg>'
    )


def _rows(address: str) -> list[list[bool]]:
    """Whether each module is light, with a border."""
    import segno

    inner = [[not module for module in row] for row in segno.make(address, micro=False, error="m").matrix]
    wide = len(inner) + 2 * _BORDER
    edge = [[True] * wide for _ in range(_BORDER)]
    side = [True] * _BORDER
    return [*edge, *([*side, *row, *side] for row in inner), *(list(row) for row in edge)]
