"""A link lets one device in, once, and not for long."""

from __future__ import annotations

import stat
from pathlib import Path

from ashdraft.serve import make_app
from ashdraft.serve.devices import LINK_LASTS, Devices
from starlette.testclient import TestClient

from tests.serve.made import HERE

FROM_HERE = {"origin": HERE, "sec-fetch-site": "same-origin"}


def browser(tmp_path: Path, devices: Devices, base: str = HERE) -> TestClient:
    return TestClient(make_app(tmp_path, devices=devices), base_url=base, follow_redirects=False)


def test_a_link_works_once(tmp_path: Path) -> None:
    devices = Devices()
    code = devices.new_link()
    first = browser(tmp_path, devices)
    assert first.get(f"/pair/{code}").status_code == 200
    assert first.get(f"/pair/{code}").status_code == 200  # a preview does not use it up
    answer = first.post(f"/pair/{code}", headers=FROM_HERE)
    assert answer.status_code == 303
    assert first.get("/").status_code == 200
    second = browser(tmp_path, devices)
    assert second.post(f"/pair/{code}", headers=FROM_HERE).status_code == 410
    assert second.get("/").status_code == 401


def test_the_cookie_is_out_of_reach(tmp_path: Path) -> None:
    """HttpOnly, SameSite=Strict, and Secure where the line is encrypted (RFC 6265bis)."""
    devices = Devices()
    for base, secure in ((HERE, False), (HERE.replace("http:", "https:"), True)):
        made = browser(tmp_path, devices, base)
        headers = {"origin": base, "sec-fetch-site": "same-origin"}
        cookie = made.post(f"/pair/{devices.new_link()}", headers=headers).headers["set-cookie"]
        parts = {part.strip().lower() for part in cookie.split(";")}
        assert {"httponly", "samesite=strict", "path=/"} <= parts
        assert ("secure" in parts) is secure


def test_a_link_lapses() -> None:
    now = 0.0
    devices = Devices(clock=lambda: now)
    code = devices.new_link()
    now = LINK_LASTS + 1
    assert not devices.waits(code)
    assert devices.pair(code) is None


def test_guessing_is_stopped() -> None:
    devices = Devices(clock=lambda: 0.0)
    code = devices.new_link()
    assert all(devices.pair(f"guess{n}") is None for n in range(100))
    assert devices.pair(code) is None  # even the right one, until a minute has passed


def test_another_site_cannot_pair(tmp_path: Path) -> None:
    devices = Devices()
    code = devices.new_link()
    foreign = {"origin": "http://evil.test", "sec-fetch-site": "cross-site"}
    assert browser(tmp_path, devices).post(f"/pair/{code}", headers=foreign).status_code == 403
    assert devices.waits(code)


def test_devices_are_known_after_a_restart_and_their_tokens_are_not_on_disk(tmp_path: Path) -> None:
    file = tmp_path / ".ashdraft" / "devices.json"
    token = Devices(file).new_token()
    assert Devices(file).knows(token)
    assert token not in file.read_text()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    file.write_text("{")
    assert not Devices(file).knows(token)
