"""`matcher page`: the page in her browser, on her own machine."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from matcher.cli.app import app
from matcher.cli.options import CatalogOption, ReplaceOption

if TYPE_CHECKING:
    from matcher.web.run import Begun


@app.command()
def page(
    bin: Annotated[
        Path | None,
        typer.Option(
            "--bin",
            metavar="FILE",
            help="The bin to show; your own store if left out, or demo. A .sqlite or .db that isn't there is begun.",
        ),
    ] = None,
    port: Annotated[int | None, typer.Option("--port", help="The port of its address; 8020 if left out.")] = None,
    open_it: Annotated[bool, typer.Option("--open", help="Open it in your browser at once.")] = False,
    home: Annotated[
        bool,
        typer.Option("--home", help="Open it to your home network too, such as for a phone, behind a pass phrase."),
    ] = False,
    certificate: Annotated[
        bool,
        typer.Option("--certificate", help="With --home: by https, with a certificate of its own."),
    ] = False,
    starter: Annotated[
        bool,
        typer.Option("--starter", help="Write a file to double-click that opens the page with these options."),
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FOLDER", help="With --starter: where it goes; your desktop if left out."),
    ] = None,
    replace: ReplaceOption = False,
    catalog: CatalogOption = None,
) -> None:
    """Show your yarn as a page in your browser, on this machine only.

    Nothing is sent anywhere: the page is made here and looked at here. It goes on until you press Ctrl-C. With --home,
    a phone in your own network can look too.

    Examples:
        matcher page --open
        matcher page --bin demo
        matcher page --home --certificate
        matcher page --starter --out .
    """
    from matcher.actions.place import to_begin
    from matcher.cli.terminal import note

    new = to_begin(bin)
    if new is not None:
        note(f"There is no {new} yet: your page begins it with the first thing that you put in.")
    if starter:
        _starter(bin, port, home, certificate, catalog, out, replace)
        return

    import sys
    import webbrowser

    from matcher.web.run import serve

    def begun(at: Begun) -> None:
        _tell(at)
        sys.stdout.flush()
        if open_it:
            webbrowser.open(at.here)

    serve(bin, port=port, catalog=catalog, home=home, own_certificate=certificate, begun=begun)


def _tell(at: Begun) -> None:
    """Where it is, and how somebody in the house gets in."""
    from matcher.cli.terminal import print_page, tell, utf8
    from matcher.web.qr import qr_lines

    if at.home:
        if utf8():
            print_page("\n".join(qr_lines(at.home)))
        tell(f"In your home network: {at.home}")
        tell(f"Pass phrase: {at.phrase}")
        tell("It is shown here once, and is another one each time.")
        if at.fingerprint:
            tell("A browser will warn that nobody vouches for the page. Go on only if it shows this mark (SHA-256):")
            print_page("\n".join(at.fingerprint[start : start + 48].rstrip(":") for start in range(0, 95, 48)))
        else:
            tell(
                "It is not https: whoever listens in your network could read along, and a phone will not stay awake "
                "beside a pattern. --certificate settles both."
            )
    tell(f"Your page is at {at.here}\nIt stays there until you press Ctrl-C here.")


def _starter(
    bin: Path | None,
    port: int | None,
    home: bool,
    certificate: bool,
    catalog: Path | None,
    out: Path | None,
    replace: bool,
) -> None:
    import sys

    from matcher.cli.terminal import note, tell
    from matcher.web.starter import write_starter

    options: list[str] = []
    for name, given in (("--bin", bin), ("--catalog", catalog)):
        if given is not None:  # a double click starts in a folder of its own
            options += [name, str(given if str(given) == "demo" else given.expanduser().resolve())]
    options += ["--port", str(port)] if port is not None else []
    options += [name for name, wanted in (("--home", home), ("--certificate", certificate)) if wanted]
    file = write_starter(options, out, replace=replace)
    tell(f"{file} is written: double-click it to open your page.")
    if sys.platform not in ("win32", "darwin"):
        note("Some desktops want it allowed first: right-click it, then Allow Launching.")
