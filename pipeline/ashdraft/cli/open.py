"""`ashdraft open`: the pages for table and desk."""

from __future__ import annotations

import sys
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Annotated

import typer

from ..errors import OutputRefused
from . import settings
from .failures import reported

if TYPE_CHECKING:
    from ..serve.certificates import Certificates
    from ..serve.devices import Devices
    from ..serve.run import Address

WARNING = (
    "The phone will say that the connection is not private, or not secure. It is encrypted, and"
    " nobody between the two can listen. The phone only cannot tell by itself whose computer this"
    " is, since no company it knows has vouched for yours. Choose Advanced or Show details, then"
    " go on to the page; it asks once. To be certain, look at the certificate there: its SHA-256"
    " sum begins with the same figures as here:"
)


@reported
def open_pages(
    folder: Annotated[
        Path | None,
        typer.Argument(help="The folder of your sessions; if not given, Ashdraft in Documents."),
    ] = None,
    lan: Annotated[
        bool, typer.Option("--lan", help="Let a phone in the same network in, too.")
    ] = False,
    address: Annotated[
        str | None,
        typer.Option(help="With --lan: this computer's address, where the one found is not right."),
    ] = None,
    port: Annotated[
        int, typer.Option(min=0, max=65534, help="Port of the pages; a phone uses the next one.")
    ] = 8750,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Only print the address.")
    ] = False,
    model: settings.Model = "base",
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Open the pages: record at the table, work on drafts at the desk.

    They are served by this computer, to itself only; with --lan also to a phone that you let in.
    Ctrl-C ends it, and nothing is lost by that.

    \b
    Examples:
      ashdraft open
      ashdraft open reviews
      ashdraft open --lan
    """
    from platformdirs import user_data_path, user_documents_path

    from ..serve.network import lan_address
    from ..serve.run import serve

    root = user_documents_path() / "Ashdraft" if folder is None else folder
    outside = lan_address(address) if lan or address else None
    try:
        root.mkdir(parents=True, exist_ok=True)
        serve(
            root,
            user_data_path("ashdraft", appauthor=False) / "pages",
            port=port,
            lan=outside,
            model=model,
            ready=lambda *known: _ready(root, *known, browse=not no_browser),
        )
    except OSError as error:
        raise OutputRefused(
            f"{root} cannot be used ({error.strerror}).", "Name another folder."
        ) from error


def _ready(
    root: Path,
    devices: Devices,
    local: Address,
    outside: Address | None,
    made: Certificates | None,
    *,
    browse: bool,
) -> None:
    import webbrowser

    from ..progress import printable
    from ..serve.run import on_enter

    def links() -> None:
        print(f"On this computer: {local.link(devices)}", flush=True)
        if outside is not None and made is not None:
            _for_phone(outside.link(devices), made)
        print("Each link lets one device in, once, within ten minutes.", flush=True)
        print("Enter makes new links; Ctrl-C ends.", file=sys.stderr)

    print(printable(f"Sessions in {root}"), flush=True)
    links()
    on_enter(links)
    if browse:
        webbrowser.open(local.link(devices))


def _for_phone(link: str, made: Certificates) -> None:
    import segno

    print(f"On the phone, in the same network, scan this or type: {link}\n")
    segno.make(link, error="l").terminal(sys.stdout, compact=True)
    print(f"\n{fill(WARNING, 88)}\n  {made.fingerprint()[:47]}\n")
