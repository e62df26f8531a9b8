"""Opening a recording with PyAV, safely: local content only, whatever the file claims to be."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from ..errors import InputMissing, NoSound, NotMedia
from .clock import Clock
from .names import shown
from .recorded import recorded_at

if TYPE_CHECKING:
    from av.audio.stream import AudioStream
    from av.container import InputContainer
    from av.packet import Packet

# FFmpeg demuxer names. Playlists and manifests (hls, concat, dash, sdp) are not among them, so
# a file that points at other files or at the network is refused, not followed.
FORMATS = (
    "wav", "w64", "flac", "mp3", "aac", "mov", "ogg", "matroska", "amr", "amrnb", "amrwb",
    "aiff", "caf", "avi", "asf", "mpegts",
)  # fmt: skip
# Suffixes looked for in a folder.
SUFFIXES = frozenset(
    (
        ".wav", ".w64", ".flac", ".mp3", ".m4a", ".m4b", ".aac", ".mp4", ".m4v", ".mov", ".3gp",
        ".3g2", ".ogg", ".oga", ".opus", ".webm", ".mka", ".mkv", ".amr", ".aif", ".aiff", ".caf",
        ".avi", ".wma", ".wmv", ".mts", ".m2ts", ".ts",
    )
)  # fmt: skip
# Containers whose declared length is a promise; elsewhere FFmpeg estimates it from the bit rate.
_PROMISING = ("mov", "matroska", "wav", "flac")
# Samples a second: from the slowest voice recorders to twice what measuring gear uses.
RATES = range(1_000, 768_001)
_LONGEST_PROMISE = 24 * 3600.0
_DAMAGED_READS_IN_A_ROW = 50
# Sound lies closer together than this even in large videos; a file in which nothing is found
# for so many bytes is taken to end there.
_BYTES_WITHOUT_SOUND = 128_000_000
# What a jump within the file counts for: some demuxers ask their way through a hole in steps of
# 8 bytes, and would be at it for minutes.
_BYTES_FOR_A_SEEK = 4_096


@dataclass(frozen=True, slots=True)
class Probe:
    """What a recording is, without decoding it. `duration` in seconds, counted from packets."""

    duration: float
    recorded_at: datetime | None
    notices: tuple[str, ...] = ()


def probe(path: Path) -> Probe:
    """Measure `path` by walking through its packets.

    Raises InputMissing, NotMedia (empty, damaged, not a recording) or NoSound.
    """
    with opened(path) as media:
        clock = media.clock()
        for packet in media.packets():
            clock.place(packet)
        container = media.container
        moment = recorded_at([container.metadata, *(s.metadata for s in container.streams)])
        promised = declared_duration(container)
        tracks = len(container.streams.audio)
    if clock.end <= 0:
        raise NotMedia(
            f"{shown(path)} holds no sound that can be read.",
            "Copy the recording from the recorder again.",
        )
    notices = []
    if promised is not None and promised - clock.end > max(1.0, promised * 0.02):
        notices.append(
            f"{shown(path)} stops early: {clock.end:.0f} of the {promised:.0f} seconds it"
            " promises can be read, and those are used."
        )
    if tracks > 1:
        notices.append(f"{shown(path)} has {tracks} sound tracks; only the main one is used.")
    return Probe(clock.end, moment, tuple(notices))


@contextmanager
def opened(path: Path) -> Iterator[Media]:
    """`path` as an open recording with a sound track; raises as `probe` does."""
    import av
    import av.error
    from av.audio.stream import AudioStream
    from av.stream import Discard

    av.logging.set_level(None)  # FFmpeg's own remarks never reach the terminal
    logging.getLogger("libav").setLevel(logging.CRITICAL)
    try:
        file = path.open("rb")
    except OSError as error:
        raise InputMissing(
            f"{shown(path)} cannot be read ({error.strerror}).", "Check the path and its rights."
        ) from error
    with file:
        if not file.read(1):
            raise NotMedia(f"{shown(path)} is empty.", "Copy the recording again.")
        file.seek(0)
        source = _Source(file)
        try:
            container = av.open(source, "r", metadata_errors="ignore", container_options=_limits())
        except (av.error.FFmpegError, ValueError, OSError) as error:
            raise _not_media(path) from error
        with container:
            stream = container.streams.best("audio")
            if not isinstance(stream, AudioStream):
                raise _no_sound(path, container)
            if not _decodable(stream):
                raise _not_media(path)
            for other in container.streams:
                if other is not stream:
                    other.discard = Discard.all  # pictures are not even read
            source.idle = 0
            yield Media(container, stream, source)


def _decodable(stream: AudioStream) -> bool:
    """Whether there is a decoder, and the header names a sample rate that sound can have."""
    decoder = stream.codec_context
    return decoder is not None and (not decoder.sample_rate or decoder.sample_rate in RATES)


class _Source:
    """A file for FFmpeg to read, which ends early where reading it finds nothing for too long."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self.tell = file.tell
        self.idle = 0

    def read(self, count: int = -1) -> bytes:
        if self.idle > _BYTES_WITHOUT_SOUND:
            return b""
        data = self._file.read(count)
        self.idle += len(data)
        return data

    def seek(self, offset: int, whence: int = 0) -> int:
        self.idle += _BYTES_FOR_A_SEEK
        return self._file.seek(offset, whence)


@dataclass(frozen=True, slots=True)
class Media:
    """An open recording and the sound track to use."""

    container: InputContainer
    stream: AudioStream
    _source: _Source

    def packets(self) -> Iterator[Packet[Any]]:
        """The sound packets in file order; damaged stretches are stepped over, then it ends."""
        import av.error

        damaged = 0
        while damaged < _DAMAGED_READS_IN_A_ROW:
            try:
                for packet in self.container.demux(self.stream):
                    if packet.size:
                        damaged = self._source.idle = 0
                        yield packet
                return
            except (av.error.FFmpegError, OSError):
                damaged += 1

    def clock(self) -> Clock:
        """A clock whose zero is the start of the whole container, picture included."""
        start = self.container.start_time
        return Clock(
            self.stream.time_base,
            zero=start / 1_000_000 if start is not None else None,
            limit=declared_duration(self.container),
        )


def declared_duration(container: InputContainer) -> float | None:
    """Seconds the header promises, or None where it promises nothing (or nothing credible)."""
    if container.duration is None or not container.format.name.startswith(_PROMISING):
        return None
    seconds = container.duration / 1_000_000
    return seconds if 0 < seconds <= _LONGEST_PROMISE else None


def _limits() -> dict[str, str]:
    return {"format_whitelist": ",".join(FORMATS), "protocol_whitelist": "none"}


def _not_media(path: Path) -> NotMedia:
    with path.open("rb") as file:
        head = file.read(12)
    if head[4:8] == b"ftyp":
        return NotMedia(
            f"{shown(path)} was cut off before its index was written; nothing in it can be read.",
            "Copy it from the recorder again, or open it in the recorder's own app and save it.",
        )
    return NotMedia(
        f"{shown(path)} is not a recording that can be read.",
        "Give a sound or video file, or a .vtt, .srt or .json transcript.",
    )


def _no_sound(path: Path, container: InputContainer) -> NoSound | NotMedia:
    if container.streams.video:
        return NoSound(
            f"{shown(path)} is a video without a sound track.",
            "Give the recording that holds the voice.",
        )
    return _not_media(path)
