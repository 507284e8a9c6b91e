"""Somebody who looks at the page without a browser, in this process: she follows its forms, and waits for its work."""

from __future__ import annotations

import shutil
from pathlib import Path

from httpx import Response
from markup import Form, Markup, read
from starlette.testclient import TestClient

from matcher.web.app import make_app

HOST = "127.0.0.1:8020"
HERE = f"http://{HOST}"


class Visitor(TestClient):
    """A browser without scripts. bin: what the page shows; app: the whole application, of another visitor perhaps."""

    def __init__(self, bin: Path | str | None = None, app: object = None) -> None:
        super().__init__(
            app or make_app(bin, hosts=[HOST]),
            base_url=HERE,
            headers={"origin": HERE},
            follow_redirects=True,
        )

    def look(self, address: str) -> Response:
        """A page, and if it is one of work that goes on, what comes after it; it must be one."""
        found = self.visit(address)
        assert found.status_code == 200, (address, found.status_code, read(found.text).words[:400])
        return found

    def visit(self, address: str, **more: object) -> Response:
        """The same, whatever answer comes."""
        found = self.get(address, **more)
        for _ in range(50):
            if "/working/" not in found.text:
                break
            # It may have ended since the page was made; then the next look finds it so.
            for one in list(self.app.state.jobs._jobs.values()):
                one.ended.wait(120)
            found = self.get(address, **more)
        return found

    def read(self, address: str) -> Markup:
        """What stands on a page."""
        return read(self.look(address).text)

    def fill(self, form: Form, files: dict[str, object] | None = None, **typed: str) -> Response:
        """Send a form with what was typed over what stood in it."""
        fields = {**form.fields, **typed}
        if form.method == "get":
            return self.visit(form.action or "/", params=fields)
        return self.post(form.action, data=fields, files=files)

    def submit(self, address: str, action: str, **typed: str) -> Response:
        """Look at a page and send its form for `action`, as anybody would."""
        return self.fill(self.read(address).form(action), **typed)

    def said(self, answer: Response) -> str:
        """What a page says was done, or why not."""
        words = read(answer.text).words
        assert answer.status_code == 200, (answer.status_code, words[:400])
        return words


def copied(store: Path, folder: Path) -> Path:
    """A store of one's own."""
    folder.mkdir(parents=True, exist_ok=True)
    return Path(shutil.copy(store, folder / "bin.sqlite"))
