"""The bundled recordings: an invented reviewer live on the clock, another one to camera.

README.md says how they were made, by which voices and under which licences.
"""

from __future__ import annotations

from pathlib import Path

FOLDER = Path(__file__).parent
LIVE = FOLDER / "night-ferry-live.ogg"
NARRATION = FOLDER / "weathervane-narration.ogg"


def demo_recording() -> Path:
    """The recording that `ashdraft demo` runs on: the live session."""
    return LIVE
