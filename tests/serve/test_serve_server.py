"""The server itself, as `ashdraft open` starts it: sockets, encryption, clients that misbehave."""

from __future__ import annotations

import hashlib
import http.client
import os
import re
import signal
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow
OPEN = (sys.executable, "-m", "ashdraft", "open")


@dataclass(frozen=True, slots=True)
class Opened:
    process: subprocess.Popen[str]
    root: Path
    state: Path
    link: str
    phone: str
    told: str

    @property
    def port(self) -> int:
        return int(re.findall(r":(\d+)/", self.link)[0])


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Opened]:
    root, data = tmp_path / "root", tmp_path / "data"
    command = f"open {root} --no-browser --lan --address 127.0.0.1 --port {free_port()}"
    process = subprocess.Popen(
        [sys.executable, "-m", "ashdraft", *command.split()],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "XDG_DATA_HOME": str(data), "PYTHONIOENCODING": "utf-8"},
    )
    assert process.stdout is not None
    told = ""
    for row in process.stdout:
        told += row
        if "ten minutes" in row:
            break
    link, phone = re.findall(r"https?://\S+", told)
    yield Opened(process, root, data / "ashdraft" / "pages", link, phone, told)
    process.kill()
    process.wait()
    process.stdout.close()


def free_port() -> int:
    """A port whose next one is free as well."""
    while True:
        with socket.create_server(("127.0.0.1", 0)) as one:
            port = int(one.getsockname()[1])
            try:
                socket.create_server(("127.0.0.1", port + 1)).close()
            except OSError:
                continue
            return port


def status(port: int, path: str = "/pair/none") -> int:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
    connection.request("GET", path)
    found = connection.getresponse().status
    connection.close()
    return found


def test_connections_held_open_keep_nobody_out(opened: Opened) -> None:
    """100 clients that say nothing, half a request, or a body that never ends."""
    held = []
    body = b"PUT /pair/x HTTP/1.1\r\nhost: 127.0.0.1\r\ncontent-length: 1000\r\n\r\n0"
    for at in range(100):
        client = socket.create_connection(("127.0.0.1", opened.port), timeout=5)
        client.sendall((b"", b"GET / HTTP/1.1\r\nho", body)[at % 3])
        held.append(client)
    begun = time.monotonic()
    assert status(opened.port) == 410
    assert time.monotonic() - begun < 1
    for client in held:
        client.close()


@pytest.mark.parametrize(
    "sent",
    [b"\0\1\2\3\r\n\r\n", b"GET / HTTP/1.1\r\n\r\n", b"GET / HTTP/9.9\r\nhost: 127.0.0.1\r\n\r\n",
     b"GET / HTTP/1.1\r\nhost: 127.0.0.1\r\nhost: evil.test\r\n\r\n",
     b"GET / HTTP/1.1\r\nhost: 127.0.0.1\r\nx: " + b"a" * 200_000 + b"\r\n\r\n",
     b"POST / HTTP/1.1\r\nhost: 127.0.0.1\r\ntransfer-encoding: chunked\r\n\r\nZZ\r\n"],
)  # fmt: skip
def test_malformed_requests_are_refused(opened: Opened, sent: bytes) -> None:
    with socket.create_connection(("127.0.0.1", opened.port), timeout=5) as client:
        client.sendall(sent)
        answer = client.recv(4096)
    assert re.match(rb"HTTP/1.1 4\d\d ", answer) or answer == b""
    assert status(opened.port) == 410


def test_the_phone_gets_an_encrypted_line_and_is_let_in_once(opened: Opened) -> None:
    assert opened.phone.startswith("https://127.0.0.1:")
    assert "not private" in opened.told
    context = ssl.create_default_context(cafile=str(opened.state / "ashdraft-ca.crt"))
    connection = http.client.HTTPSConnection(
        "127.0.0.1", opened.port + 1, timeout=5, context=context
    )
    connection.request("GET", "/pair/ashdraft-ca.crt")
    answer = connection.getresponse()
    assert answer.read() == (opened.state / "ashdraft-ca.crt").read_bytes()
    path = "/" + opened.phone.split("/", 3)[3]
    here = f"https://127.0.0.1:{opened.port + 1}"
    codes = []
    for _ in range(2):
        connection.request("POST", path, headers={"origin": here})
        answer = connection.getresponse()
        answer.read()
        codes.append(answer.status)
        if answer.status == 303:
            cookie = answer.headers["set-cookie"]
            assert "Secure" in cookie
            connection.request("GET", "/table", headers={"cookie": cookie.split(";")[0]})
            answer = connection.getresponse()
            assert answer.status == 200
            assert b"At the table" in answer.read()
    assert codes == [303, 410]
    shown = ssl.get_server_certificate(("127.0.0.1", opened.port + 1))
    sum = hashlib.sha256(ssl.PEM_cert_to_DER_cert(shown)).digest()
    assert sum.hex(" ").upper()[:47] in opened.told
    connection.close()


def test_only_loopback_listens_unless_asked(tmp_path: Path) -> None:
    command = [*OPEN, str(tmp_path), "--no-browser", "--port", "0"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    told = "".join(process.stdout.readline() for _ in range(3))
    (link,) = re.findall(r"https?://\S+", told)
    port = int(re.findall(r":(\d+)/", link)[0])
    listening = [
        row.split()[1] for row in Path("/proc/net/tcp").read_text().splitlines()[1:]
        if row.split()[3] == "0A" and int(row.split()[1].split(":")[1], 16) == port
    ]  # fmt: skip
    assert listening == [f"0100007F:{port:04X}"]  # 127.0.0.1, and no other address
    begun = time.monotonic()
    process.send_signal(signal.SIGINT)
    assert process.wait(5) == 130
    assert time.monotonic() - begun < 2.5
    process.stdout.close()


def test_a_port_in_use_is_told(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        command = [*OPEN, str(tmp_path), "--no-browser", "--port", port]
        done = subprocess.run(command, capture_output=True, text=True, timeout=30)
    assert done.returncode == 15
    assert "--port" in done.stderr
