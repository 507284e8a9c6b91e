"""The two pictures of the page in the README, taken anew: `python tests/web/readme_pictures.py`. Look at them afterwards."""

from __future__ import annotations

import io
from pathlib import Path

from browser import FLAGS, found_or_installed
from PIL import Image
from playwright.sync_api import sync_playwright
from server import serving

DEMO = Path(__file__).resolve().parents[2] / "demo"
PAGES = {
    "page-suggestions.png": "suggestions",
    "page-match.png": "match/fit?garment=grey+yoke+pullover&accessory=hat-stranded-band",
}
SIZE = {"width": 1000, "height": 760}
COLOURS = 128  # of a palette: pages are few colours, and a picture in the README should load at once


def main() -> None:
    """Take them of the demo, in light, as wide as a small screen."""
    with serving("demo") as served, sync_playwright() as player:
        browser = player.chromium.launch(executable_path=str(found_or_installed()), args=list(FLAGS))
        page = browser.new_context(viewport=SIZE, color_scheme="light").new_page()
        for name, address in PAGES.items():
            page.goto(f"{served.address}/{address}")
            page.wait_for_selector("main figure svg, main figure img, main .cards svg, main .cards img", timeout=90_000)
            page.wait_for_load_state("networkidle")
            taken = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
            taken.quantize(COLOURS).save(DEMO / name, optimize=True)
            print(DEMO / name)
        browser.close()


if __name__ == "__main__":
    main()
