"""Who may speak to the pages: the threats of docs/security.md, one by one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from ashdraft.serve import guard, make_app
from ashdraft.serve.devices import Devices
from starlette.testclient import TestClient

from tests.serve.made import HERE, client

KEY = "/table/" + "0a" * 16
BEGUN = {"moment": "2026-05-02T20:14:00+02:00"}


@pytest.mark.parametrize(
    "host",
    ["evil.test", "evil.test:8750", "127.0.0.1.evil.test", "localhost.evil.test", "169.254.169.254",
     "[::2]:8750", "127.0.0.1@evil.test", "0.0.0.0:8750", "", "2130706433:8750"],
)  # fmt: skip
def test_a_name_that_is_not_ours_is_refused(tmp_path: Path, host: str) -> None:
    """DNS rebinding: the browser sends the attacker's name (Jackson et al., CCS 2007)."""
    assert client(tmp_path).get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize(
    "host", ["127.0.0.1:8750", "localhost:1", "[::1]:8750", "LOCALHOST", "[::1]"]
)
def test_our_own_names_are_taken(tmp_path: Path, host: str) -> None:
    assert client(tmp_path).get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    ("origin", "site", "status"),
    [
        (HERE, "same-origin", 201),
        (HERE, None, 201),
        (None, "same-origin", 201),
        ("null", "same-origin", 201),  # a form of a page without referrer (Fetch standard, 3.2)
        ("http://evil.test", "cross-site", 403),
        ("http://evil.test", None, 403),
        ("http://evil.test", "same-origin", 403),
        (HERE, "cross-site", 403),
        (HERE, "same-site", 403),
        ("null", None, 403),
        ("null", "cross-site", 403),
        (None, None, 403),
        (None, "none", 403),
        ("https://127.0.0.1:8750", None, 403),
        ("http://127.0.0.1:8751", None, 403),
    ],
)
def test_only_our_own_pages_write(
    tmp_path: Path, origin: str | None, site: str | None, status: int
) -> None:
    """Fetch Metadata (W3C): a browser says from where a request comes, and pages cannot lie."""
    made = client(tmp_path)
    for name in ("origin", "sec-fetch-site"):
        del made.headers[name]
    headers = {"origin": origin, "sec-fetch-site": site}
    sent = {name: value for name, value in headers.items() if value is not None}
    assert made.post(KEY, json=BEGUN, headers=sent).status_code == status
    assert bool(list(tmp_path.glob("*/taps.jsonl"))) is (status == 201)


def test_another_site_reads_nothing(tmp_path: Path) -> None:
    made = client(tmp_path)
    for site in ("cross-site", "same-site"):
        assert made.get("/", headers={"sec-fetch-site": site}).status_code == 403


@pytest.mark.parametrize(
    "cookie", [None, "", "ashdraft=", "ashdraft=guessed", "other=1; ashdraft", "ashdraft=\x00\xff"]
)
def test_no_token_no_page(tmp_path: Path, cookie: str | None) -> None:
    made = client(tmp_path, paired=False)
    headers = {} if cookie is None else {"cookie": cookie.encode("latin-1")}
    for answer in (
        made.get("/", headers=headers),
        made.get("/table", headers=headers),
        made.post(KEY, json=BEGUN, headers=headers),
        made.put(f"{KEY}/pieces/1?rate=24000", content=b"00", headers=headers),
    ):
        assert answer.status_code == 401
    assert list(tmp_path.iterdir()) == []


def test_a_stolen_token_ends_when_devices_are_forgotten(tmp_path: Path) -> None:
    devices = Devices()
    made = TestClient(make_app(tmp_path, devices=devices), base_url=HERE)
    made.cookies.set("ashdraft", devices.new_token())
    assert made.get("/").status_code == 200
    devices.forget_all()
    assert made.get("/").status_code == 401


def test_what_is_too_large_is_not_read_to_its_end(tmp_path: Path) -> None:
    made = client(tmp_path)
    made.post(KEY, json=BEGUN)
    much = b"\0" * (guard.LARGEST_BODY + 1)
    assert made.put(f"{KEY}/pieces/1?rate=96000", content=much).status_code == 413

    def without_length() -> Iterator[bytes]:
        for _ in range(100):
            yield b"\0" * 100_000

    assert made.put(f"{KEY}/pieces/1?rate=96000", content=without_length()).status_code == 413
    for length in ("-1", "1e3", str(10**30)):
        headers = {"content-length": length}
        assert made.put(f"{KEY}/pieces/1", content=b"", headers=headers).status_code == 413
    assert not list(tmp_path.glob("*/*.flac"))


def test_too_many_requests_have_to_wait(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guard, "RATE", 0.0)  # as if no time passed
    made = client(tmp_path, peer="10.0.0.7")
    codes = [made.get("/pair/none").status_code for _ in range(int(guard.BURST) + 40)]
    assert codes == [410] * int(guard.BURST) + [429] * 40
    assert client(tmp_path, peer="10.0.0.8").get("/").status_code == 200


def test_every_answer_carries_the_headers(tmp_path: Path) -> None:
    """OWASP HTTP Security Response Headers Cheat Sheet; CSP Level 3; Fetch Metadata."""
    made = client(tmp_path)
    foreign = client(tmp_path, paired=False)
    for answer in (
        made.get("/"), made.get("/table"), made.get("/static/pair.js"), made.get("/none"),
        foreign.get("/"), made.get("/", headers={"host": "evil.test"}), made.get("/pair/none"),
        made.post("/", headers={"origin": "http://evil.test"}),
    ):  # fmt: skip
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "base-uri 'none'" in policy
        assert "unsafe" not in policy
        assert "http" not in policy.replace("https", "")
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["x-frame-options"] == "DENY"
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert answer.headers["cross-origin-resource-policy"] == "same-origin"
        assert "server" not in answer.headers
        assert "access-control-allow-origin" not in answer.headers


def test_pages_hold_no_script_of_their_own(tmp_path: Path) -> None:
    """What the policy forbids is not there in the first place."""
    made = client(tmp_path)
    for path in ("/", "/table", "/pair/none"):
        text = made.get(path).text
        assert "<script>" not in text
        assert " on" not in [part[:3] for part in text.split('"')]
        assert "style=" not in text


@pytest.mark.parametrize(
    "path",
    ["/static/../app.py", "/static/%2e%2e/app.py", "/static/..%2fapp.py", "/static/%00",
     "/static/table/../../app.py", "/static/table/%2e%2e/log.py", "/static//etc/passwd",
     "/table/../../etc/passwd"],
)  # fmt: skip
def test_no_path_leads_out_of_the_static_files(tmp_path: Path, path: str) -> None:
    answer = client(tmp_path).get(path)
    assert answer.status_code in (404, 405, 422)
    assert "import" not in answer.text


def test_names_of_sessions_are_escaped(tmp_path: Path) -> None:
    folder = tmp_path / "<img src=x onerror=alert(1)>"
    folder.mkdir()
    (folder / "notes.json").write_text("{}")
    text = client(tmp_path).get("/").text
    assert "&lt;img src=x onerror=alert(1)&gt;" in text
    assert "<img" not in text
