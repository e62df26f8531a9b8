"""A client of the pages as a paired browser is one."""

from __future__ import annotations

from pathlib import Path

from ashdraft.serve import make_app
from ashdraft.serve.devices import Devices
from starlette.testclient import TestClient

HERE = "http://127.0.0.1:8750"


def client(root: Path, *, paired: bool = True, peer: str = "127.0.0.1") -> TestClient:
    """A browser at these pages; what it writes comes from them, as browsers say it."""
    devices = Devices()
    made = TestClient(
        make_app(root, devices=devices),
        base_url=HERE,
        headers={"origin": HERE, "sec-fetch-site": "same-origin"},
        client=(peer, 50000),
        follow_redirects=False,
    )
    if paired:
        made.cookies.set("ashdraft", devices.new_token())
    return made
