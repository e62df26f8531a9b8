"""The archive: every session kept in one SQLite file, to be searched and shown over time."""

from .check import check
from .entry import Entry, read_entry
from .export import export_csv, export_json, export_notes
from .find import Found, Hit, Search, find
from .history import History, Met, Session, show_cigar, show_session
from .listing import Summary, list_sessions
from .matching import Range, parse_day, parse_range
from .opened import default_archive
from .store import Kept, Removed, add, remove

__all__ = [
    "Entry",
    "Found",
    "History",
    "Hit",
    "Kept",
    "Met",
    "Range",
    "Removed",
    "Search",
    "Session",
    "Summary",
    "add",
    "check",
    "default_archive",
    "export_csv",
    "export_json",
    "export_notes",
    "find",
    "list_sessions",
    "parse_day",
    "parse_range",
    "read_entry",
    "remove",
    "show_cigar",
    "show_session",
]
