"""Many recordings, each a session of its own: found, written at night, skipped when done.

Every recording is written in a process of its own, so that one that brings the program down
costs nothing but itself.
"""

from __future__ import annotations

from .outcome import Outcome
from .run import write_each

__all__ = ["Outcome", "write_each"]
