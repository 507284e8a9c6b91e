"""Files for her: something to keep, or sheets of paper that stand by themselves. Names are ours, never hers."""

from __future__ import annotations

import base64
import hashlib
import re
from html import unescape

from starlette.responses import Response

KINDS = {
    "csv": "text/csv; charset=utf-8",
    "html": "text/html; charset=utf-8",
    "json": "application/json",
    "ods": "application/vnd.oasis.opendocument.spreadsheet",
    "png": "image/png",
    "svg": "image/svg+xml",
    "txt": "text/plain; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "zip": "application/zip",
}


def to_keep(data: bytes, name: str) -> Response:
    """A file that the browser keeps under a name of ours, such as "tags.html"."""
    if not re.fullmatch(r"[a-z0-9-]+\.[a-z]+", name):
        raise ValueError(f"a file is called by a name of ours, not {name}")
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(data, headers=headers, media_type=KINDS[name.rpartition(".")[2]])


def on_paper(html: str) -> Response:
    """A page to be printed, made by `drawing`: it brings a style sheet of its own, which alone is let in, and nothing
    in it runs or is fetched."""
    sheets = re.findall(r"<style>(.*?)</style>", html, re.DOTALL)
    looks = sorted({unescape(one) for one in re.findall(r'\sstyle="([^"]*)"', html)})  # such as how wide a chart is
    allowed = " ".join([*map(_hash, sheets), *(["'unsafe-hashes'", *map(_hash, looks)] if looks else [])])
    policy = f"default-src 'none'; style-src {allowed}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    headers = {"Content-Security-Policy": policy}
    return Response(html.encode("utf-8", "replace"), headers=headers, media_type=KINDS["html"])


def picture(svg: str) -> Response:
    """A picture whose address says what it shows, so that the browser may keep it for a while."""
    return Response(svg, headers={"Cache-Control": "private, max-age=600"}, media_type=KINDS["svg"])


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
