"""Captions: the utterances as short cues in WebVTT and SubRip."""

from .cues import Cue, cues
from .files import srt, vtt
from .shown import SHORTEST_PAUSE, Shown, lines_to_show

__all__ = ["SHORTEST_PAUSE", "Cue", "Shown", "cues", "lines_to_show", "srt", "vtt"]
