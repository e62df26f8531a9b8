"""Intake: recordings, clips and ready transcripts onto one timeline.

`open_session` looks at every input without decoding it; `decode.decode` streams the sound.
"""

from __future__ import annotations

from .facts_file import read_facts_file
from .session import Clip, Session, open_session

__all__ = ["Clip", "Session", "open_session", "read_facts_file"]
