"""From the recording to the finished video, by its sound."""

from .cut import Cut, Span, Unknown, follow
from .folder import Followed, follow_folder
from .moved import Heard, heard_in, left_out
from .passages import Passage

__all__ = [
    "Cut",
    "Followed",
    "Heard",
    "Passage",
    "Span",
    "Unknown",
    "follow",
    "follow_folder",
    "heard_in",
    "left_out",
]
