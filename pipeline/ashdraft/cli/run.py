"""One run as a command does it: progress on stderr, the summary on stdout."""

from __future__ import annotations

from ..options import Options
from ..progress import for_stream


def run(options: Options) -> None:
    """Write the draft's folder and print what is in it."""
    from .. import session
    from .summary import summary

    progress = for_stream()
    try:
        result = session.write(options, progress)
    finally:
        progress.finish()
    print(summary(result))
