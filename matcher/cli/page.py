"""`matcher page`: the page in her browser, on her own machine."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import CatalogOption


@app.command()
def page(
    bin: Annotated[
        Path | None,
        typer.Option("--bin", metavar="FILE", help="The bin to show; your own store if left out, or demo."),
    ] = None,
    port: Annotated[int | None, typer.Option("--port", help="The port of its address; 8020 if left out.")] = None,
    open_it: Annotated[bool, typer.Option("--open", help="Open it in your browser at once.")] = False,
    catalog: CatalogOption = None,
) -> None:
    """Show your yarn as a page in your browser, on this machine only.

    Nothing is sent anywhere: the page is made here and looked at here. It goes on until you press Ctrl-C.

    Examples:
        matcher page --open
        matcher page --bin demo
    """
    import sys
    import webbrowser

    from matcher.cli.terminal import tell
    from matcher.web.run import serve

    def begun(address: str) -> None:
        tell(f"Your page is at {address}\nIt stays there until you press Ctrl-C here.")
        sys.stdout.flush()
        if open_it:
            webbrowser.open(address)

    serve(bin, port=port, catalog=catalog, begun=begun)
