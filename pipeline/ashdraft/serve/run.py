"""Serving until stopped: on this computer only or, asked for, to phones in the same network."""

from __future__ import annotations

import asyncio
import contextlib
import socket
import sys
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from .app import LOOPBACK, make_app
from .certificates import Certificates, certificates
from .devices import Devices
from .network import listening, local_name

if TYPE_CHECKING:
    import uvicorn

_CLOSING = 1.0
DEVICES = Path(".ashdraft", "devices.json")


@dataclass(frozen=True, slots=True)
class Address:
    """Where the pages are: `scheme://host:port`."""

    scheme: str
    host: str
    port: int

    def link(self, devices: Devices) -> str:
        """A link that lets one device in."""
        return f"{self.scheme}://{self.host}:{self.port}/pair/{devices.new_link()}"


def serve(
    root: Path,
    state: Path,
    *,
    port: int,
    lan: str | None,
    model: str,
    ready: Callable[[Devices, Address, Address | None, Certificates | None], None],
) -> None:
    """Serve the sessions in `root` until interrupted.

    On loopback at `port`; with `lan`, an address of this computer, there too at the next port,
    encrypted, with certificates kept in `state`. `ready` is called once both listen. Raises
    AddressRefused, OSError.
    """
    devices = Devices(root / DEVICES)
    made: Certificates | None = None
    with contextlib.ExitStack() as stack:
        sockets = [stack.enter_context(listening("127.0.0.1", port))]
        local = Address("http", "127.0.0.1", sockets[0].getsockname()[1])
        outside: Address | None = None
        hosts = list(LOOPBACK)
        if lan is not None:
            made = certificates(state, [lan], [local_name()])
            sockets.append(stack.enter_context(listening(lan, port + 1 if port else 0)))
            outside = Address("https", lan, sockets[1].getsockname()[1])
            hosts += [f"[{lan}]" if ":" in lan else lan, local_name()]
        app = make_app(
            root,
            devices=devices,
            hosts=hosts,
            authority=made.authority if made else None,
            model=model,
        )
        servers = [_server(app, made if at else None) for at in range(len(sockets))]
        ready(devices, local, outside, made)
        with contextlib.suppress(asyncio.CancelledError):
            asyncio.run(_serve(servers, sockets))


def _server(app: object, made: Certificates | None) -> uvicorn.Server:
    import uvicorn

    class Server(uvicorn.Server):
        @contextlib.contextmanager
        def capture_signals(self) -> Iterator[None]:
            yield  # the command line takes care of signals

    return Server(
        uvicorn.Config(
            app,  # type: ignore[arg-type]
            log_level="critical",  # addresses of pages are private, and so are tracebacks
            access_log=False,
            server_header=False,
            proxy_headers=False,
            http="h11",
            ws="none",
            lifespan="off" if made else "on",
            timeout_keep_alive=20,
            ssl_certfile=made.chain if made else None,
            ssl_keyfile=made.key if made else None,
        )
    )


async def _serve(servers: list[uvicorn.Server], sockets: list[socket.socket]) -> None:
    tasks = [
        asyncio.create_task(server.serve(sockets=[listener]))
        for server, listener in zip(servers, sockets, strict=True)
    ]
    try:
        await asyncio.gather(*tasks)
    finally:
        for server in servers:
            server.should_exit = server.force_exit = True
        await asyncio.wait(tasks, timeout=_CLOSING)


def on_enter(do: Callable[[], None]) -> None:
    """Call `do` whenever Enter is pressed in the terminal, from a thread of its own."""
    if not sys.stdin or not sys.stdin.isatty():
        return

    def wait() -> None:
        for _ in sys.stdin:
            do()

    threading.Thread(target=wait, daemon=True, name="enter").start()
