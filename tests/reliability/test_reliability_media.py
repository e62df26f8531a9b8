"""Media that point elsewhere, hold one another, or claim absurd things: read as what they are.

Mutated files of every format are in tests/intake/test_intake_mutated.py, playlists and names that
look like protocols in tests/intake/test_intake_media.py.
"""

from __future__ import annotations

import gzip
import http.server
import io
import struct
import sys
import tarfile
import threading
import time
import wave
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from ashdraft.errors import AshdraftError, NotMedia
from ashdraft.intake import open_session
from ashdraft.intake.decode import RATE, decode

from tests.intake.media import Kind, bursts, write_media

SECONDS = 3.0
TONES = bursts(RATE, (0.5, 1.6), SECONDS)
WAV = Kind("wav", "pcm_s16le", RATE)
MOV = Kind("mov", "pcm_s16le", RATE)
WITHIN = 10.0  # seconds of processor time
SLOWER = ("flac", "ogg", "mp3", "aac", "mkv")


def duration(path: Path) -> float | None:
    """The sound that is decoded, in seconds; None where the file is refused."""
    begun = time.process_time()
    try:
        open_session([path])
        end = max((stretch.end for stretch in decode(path)), default=0)
    except AshdraftError:
        return None
    finally:
        assert time.process_time() - begun < WITHIN
    return end / RATE


@pytest.fixture
def server(tmp_path: Path) -> Iterator[tuple[str, list[str]]]:
    """A server on this machine that holds a recording, and what it was asked for."""
    sound = write_media(tmp_path / "served.wav", TONES, WAV).read_bytes()
    asked: list[str] = []

    class Handler(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(200)
            self.end_headers()
            self.wfile.write(sound)

        def log_message(self, *_: object) -> None:
            """Say nothing."""

    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler) as listening:
        threading.Thread(target=listening.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{listening.server_port}", asked
        listening.shutdown()


POINTERS = {
    "a.m3u8": "#EXTM3U\n#EXT-X-VERSION:3\n#EXT-X-TARGETDURATION:9\n#EXTINF:9,\n{at}\n"
    "#EXT-X-ENDLIST\n",
    "a.m3u": "#EXTM3U\n#EXTINF:9,x\n{at}\n",
    "a.pls": "[playlist]\nFile1={at}\nNumberOfEntries=1\n",
    "a.asx": '<asx version="3.0"><entry><ref href="{at}"/></entry></asx>',
    "a.wma": '<asx version="3.0"><entry><ref href="{at}"/></entry></asx>',
    "a.wav": "ffconcat version 1.0\nfile {at}\n",
    "a.ogg": "{at}\n",
    "a.strm": "{at}\n",
    "a.mp4": "rtsptextRTSP/1.0 {at}\n",
    "a.webm": '<?xml version="1.0"?><SmoothStreamingMedia><Url>{at}</Url></SmoothStreamingMedia>',
}


@pytest.mark.parametrize("name", POINTERS)
def test_media_that_point_elsewhere_are_not_followed(
    name: str, server: tuple[str, list[str]], tmp_path: Path
) -> None:
    address, asked = server
    for at in (f"{address}/served.wav", str(tmp_path / "served.wav"), "served.wav"):
        path = tmp_path / name
        path.write_text(POINTERS[name].format(at=at))
        with pytest.raises(NotMedia):
            open_session([path])
    assert asked == []


def test_media_with_an_external_data_reference_stay_by_themselves(
    server: tuple[str, list[str]], tmp_path: Path
) -> None:
    """A QuickTime track may name another file, or an address, as the place of its samples.

    QuickTime File Format (Apple), data reference atoms; ISO/IEC 14496-12, 8.7.2.
    """
    address, asked = server
    whole = write_media(tmp_path / "a.mov", TONES, MOV).read_bytes()
    own = b"url \x00\x00\x00\x01"  # flag 1: in this same file
    assert whole.count(own) >= 1
    for place in (f"{address}/served.wav", "served.wav"):
        text = place.encode() + b"\0"
        data = bytearray(whole)
        entry = data.index(own) - 4
        found = struct.pack(">I4sI", 12 + len(text), b"url ", 0) + text
        data[entry : entry + 12] = found
        for box in _around(bytes(whole), entry):
            size = struct.unpack_from(">I", data, box)[0] + len(found) - 12
            struct.pack_into(">I", data, box, size)
        path = tmp_path / "pointing.mov"
        path.write_bytes(data)
        sound = duration(path)
        assert sound is None or sound == pytest.approx(SECONDS, abs=0.1)
    assert asked == []


def _around(data: bytes, at: int) -> list[int]:
    """Where the boxes begin that hold the byte `at`, from the outside in."""
    found, start, end = [], 0, len(data)
    while start < end:
        size = struct.unpack_from(">I", data, start)[0]
        kind = data[start + 4 : start + 8]
        if start <= at < start + size:
            if kind == b"url ":
                break
            found.append(start)
            end = start + size
            start += 16 if kind == b"dref" else 8
        else:
            start += size
    return found


def test_media_within_media_end_soon(tmp_path: Path) -> None:
    inner = write_media(tmp_path / "in.mp3", TONES, Kind("mp3", "libmp3lame", 16_000)).read_bytes()
    sound = write_media(tmp_path / "in.wav", TONES, WAV).read_bytes()
    holder = io.BytesIO()
    with wave.open(holder, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(inner * 3)
    archive = io.BytesIO()
    with tarfile.open(fileobj=archive, mode="w") as tar:
        tar.add(tmp_path / "in.wav", "in.wav")
    picture = b"APIC" + (len(sound) + 14).to_bytes(4, "big") + b"\0\0\0image/jpeg\0\0\0" + sound
    size = len(picture)
    syncsafe = bytes(size >> shift & 0x7F for shift in (21, 14, 7, 0))
    nested = {
        "mp3-in-wav.wav": holder.getvalue(),
        "wav-in-tar.wav": archive.getvalue(),
        "wav-in-gzip.wav": gzip.compress(sound),
        "wav-in-tag.mp3": b"ID3\x03\0\0" + syncsafe + picture + inner,
        "wav-in-wav.wav": sound[:44] + sound * 50,
        "bomb.wav": gzip.compress(bytes(50_000_000)),
    }
    for name, data in nested.items():
        path = tmp_path / name
        path.write_bytes(data)
        length = duration(path)
        assert length is None or length < 60 * SECONDS, name
    assert duration(tmp_path / "wav-in-tag.mp3") == pytest.approx(SECONDS, abs=0.2)


@pytest.mark.skipif(sys.platform != "linux", reason="sparse files")
@pytest.mark.parametrize(
    "suffix",
    ["wav", "m4a", *(pytest.param(s, marks=pytest.mark.slow) for s in SLOWER)],
)
def test_media_of_ten_gigabytes_of_nothing_end_soon(suffix: str, tmp_path: Path) -> None:
    """A good beginning, and after it a hole: what is there is used, or it is refused."""
    kind = {
        "wav": WAV, "m4a": Kind("m4a", "aac", RATE), "flac": Kind("flac", "flac", RATE),
        "ogg": Kind("ogg", "libopus", RATE), "mp3": Kind("mp3", "libmp3lame", RATE),
        "aac": Kind("aac", "aac", RATE), "mkv": Kind("mkv", "aac", RATE),
    }[suffix]  # fmt: skip
    path = write_media(tmp_path / f"a.{suffix}", TONES, kind)
    with path.open("r+b") as file:
        file.truncate(10_000_000_000)
    begun = time.process_time()
    try:
        length = max(stretch.end for stretch in decode(path)) / RATE
    except AshdraftError:
        length = 0.0
    assert length < 60
    assert time.process_time() - begun < WITHIN


@pytest.mark.parametrize("rate", [0, 1, 999, 768_001, 0x7FFFFFFF, 0xFFFFFFFF])
def test_media_of_absurd_rates_are_refused(rate: int, tmp_path: Path) -> None:
    data = bytearray(write_media(tmp_path / "a.wav", TONES, WAV).read_bytes())
    at = data.index(b"fmt ") + 12
    assert struct.unpack_from("<I", data, at)[0] == RATE
    struct.pack_into("<I", data, at, rate)
    (tmp_path / "a.wav").write_bytes(data)
    assert duration(tmp_path / "a.wav") is None


def test_media_in_which_nothing_is_a_number(tmp_path: Path) -> None:
    sound = np.full(3 * RATE, np.nan, dtype=np.float32)
    path = write_media(tmp_path / "a.wav", sound, Kind("wav", "pcm_f32le", RATE))
    assert all(np.isfinite(stretch.samples).all() for stretch in decode(path))
