"""Chapters: where each begins, the list a reviewer may edit, and every file they come in."""

from .breath import entries
from .description import Description, description
from .edited import FILE, from_text, to_text
from .edited import read as read_list
from .editing import edl, otio
from .entry import Entry, Listing, Span
from .files import FORMATS, Video, clip_of, first_files, listed, placed, texts
from .formats import ffmetadata, labels, matroska, podcast, webvtt
from .media import Copied, default_copy, length_of, write_into
from .timecode import RATES, Rate
from .video import closed, on_video

__all__ = [
    "FILE",
    "FORMATS",
    "RATES",
    "Copied",
    "Description",
    "Entry",
    "Listing",
    "Rate",
    "Span",
    "Video",
    "clip_of",
    "closed",
    "default_copy",
    "description",
    "edl",
    "entries",
    "ffmetadata",
    "first_files",
    "from_text",
    "labels",
    "length_of",
    "listed",
    "matroska",
    "on_video",
    "otio",
    "placed",
    "podcast",
    "read_list",
    "texts",
    "to_text",
    "webvtt",
    "write_into",
]
