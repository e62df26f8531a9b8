"""The microphone of this computer, through PortAudio."""

from __future__ import annotations

import contextlib
import queue
import threading
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol

from ..errors import MicrophoneMissing

if TYPE_CHECKING:
    from .flac import Samples

    Stamped = tuple[Samples, datetime]

INSTALL = (
    "Type: python -m pip install 'ashdraft[record]'; on Debian and Ubuntu also:"
    " sudo apt install libportaudio2"
)
PLUG_IN = (
    "Plug one in, or allow this terminal to use it in the system's settings for sound and privacy,"
    " and type the same command again. A phone can record instead: ashdraft open --lan"
)
_CLOSING = 1.0  # seconds that a device which is gone may take to be closed


class Source(Protocol):
    """Something that gives samples: the microphone, or a stand-in for tests."""

    def open(self) -> int:
        """Begin; the sample rate. Raises MicrophoneMissing."""

    def read(self, timeout: float) -> Stamped | None:
        """The next samples and when the last was heard; None where none came in `timeout` s."""

    def close(self) -> None:
        """End; may be called at any time."""


@dataclass(slots=True)
class Microphone:
    """The device named `device` (part of its name, or its number), else the system's own choice."""

    device: str | None = None
    _blocks: queue.Queue[Stamped] = field(default_factory=queue.Queue)
    _stream: Any = None

    def open(self) -> int:
        """Open it at its own rate, one channel, 16 bits."""
        sounddevice = _sounddevice()
        wanted: str | int | None = self.device
        if isinstance(wanted, str) and wanted.isdecimal():
            wanted = int(wanted)
        try:
            about = sounddevice.query_devices(wanted, "input")
            rate = int(about["default_samplerate"])
            blocks: queue.Queue[Stamped] = queue.Queue()
            self._blocks = blocks
            self._stream = sounddevice.InputStream(
                samplerate=rate,
                device=wanted,
                channels=1,
                dtype="int16",
                latency="high",
                callback=lambda data, *_: blocks.put((data[:, 0].copy(), _now())),
            )
            self._stream.start()
        except (sounddevice.PortAudioError, ValueError) as error:
            self.close()
            named = f" called {self.device!r}" if self.device else ""
            raise MicrophoneMissing(
                f"There is no microphone{named} that works.", PLUG_IN
            ) from error
        return rate

    def read(self, timeout: float) -> Stamped | None:
        """The next samples that the device gave, with the moment at which it did."""
        with contextlib.suppress(queue.Empty):
            return self._blocks.get(timeout=timeout)
        return None

    def close(self) -> None:
        """Close the device, and have PortAudio look for devices anew when it is opened again."""
        stream, self._stream = self._stream, None
        closing = threading.Thread(target=_close, args=(stream,), daemon=True)
        closing.start()
        closing.join(_CLOSING)


def names() -> list[str]:
    """The microphones there are, each with its number. Raises MicrophoneMissing."""
    sounddevice = _sounddevice()
    return [
        f"{about['index']}: {about['name']}"
        for about in sounddevice.query_devices()
        if about["max_input_channels"] > 0
    ]


def _now() -> datetime:
    return datetime.now().astimezone()


def _close(stream: Any) -> None:
    sounddevice = _sounddevice()
    with contextlib.suppress(sounddevice.PortAudioError):
        if stream is not None:
            stream.abort()
            stream.close()
        # The list of devices is made when PortAudio starts; there is no public way to renew it.
        sounddevice._terminate()
        sounddevice._initialize()


def _sounddevice() -> Any:
    try:
        import sounddevice
    except (ImportError, OSError) as error:
        raise MicrophoneMissing("Recording needs a part that is not installed.", INSTALL) from error
    return sounddevice
