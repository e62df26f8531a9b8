"""Ashdraft: spoken cigar-review notes in, a structured written draft out.

Every stage can be called from Python: the whole chain with `from ashdraft import Options, write`,
or one by one with the names below and those of the stages that are called as their folder is
(`from ashdraft.transcribe import transcribe`, likewise `repair` and `tidy`). A stage is imported
when its name is first used, so that importing Ashdraft is quick.
"""

from __future__ import annotations

from importlib import import_module

__version__ = "0.1.0"

_HOME = {
    "Options": "options",
    "Result": "session",
    "write": "session",
    "open_session": "intake",
    "read": "rules",
    "load_sheet": "sheet",
    "fill": "sheet",
    "draft": "assemble",
}
__all__ = ["__version__", *sorted(_HOME)]


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
