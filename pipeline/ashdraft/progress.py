"""How a stage says how far it is: silent, plain lines, or a bar on a terminal; never on stdout."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Protocol, TextIO

if TYPE_CHECKING:
    from rich.progress import Progress as RichProgress

LINE_STEP = 0.1
"""Plain lines report each time another tenth of the work is done."""


class Progress(Protocol):
    """What a stage calls. `total` and `by` are in `unit`; one piece of work at a time."""

    def start(self, what: str, total: float, unit: str) -> None: ...

    def advance(self, by: float) -> None: ...

    def note(self, message: str) -> None: ...

    def finish(self) -> None: ...


def printable(text: str) -> str:
    """Return `text` on one line, with control characters shown as escapes and not obeyed.

    File names may hold line ends and terminal escape sequences.
    """
    return "".join(
        c if c.isprintable() or c == " " else c.encode("unicode_escape").decode("ascii")
        for c in text
    )


class Silent:
    """For callers in Python who want no output."""

    def start(self, what: str, total: float, unit: str) -> None:
        """Do nothing."""

    def advance(self, by: float) -> None:
        """Do nothing."""

    def note(self, message: str) -> None:
        """Do nothing."""

    def finish(self) -> None:
        """Do nothing."""


class Lines:
    """Plain lines, for a log file or a pipe."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._what = ""
        self._unit = ""
        self._total = 0.0
        self._done = 0.0
        self._shown = 0

    def start(self, what: str, total: float, unit: str) -> None:
        """Announce a piece of work of `total` units (0 or less: of unknown length)."""
        self._what, self._total, self._unit = what, total, unit
        self._done, self._shown = 0.0, 0
        size = f" ({total:.0f} {unit})" if total > 0 else ""
        self._print(f"{what}{size}")

    def advance(self, by: float) -> None:
        """Print a line whenever another tenth is done."""
        self._done += by
        if self._total <= 0:
            return
        steps = int(min(self._done / self._total, 1.0) / LINE_STEP + 1e-9)
        if steps > self._shown:
            self._shown = steps
            self._print(f"{self._what}: {steps * LINE_STEP:.0%}")

    def note(self, message: str) -> None:
        """Print a message of its own."""
        self._print(message)

    def finish(self) -> None:
        """Say nothing more: work may also end because it was stopped."""
        self._total = 0.0

    def _print(self, text: str) -> None:
        print(printable(text), file=self._stream, flush=True)


class Bar:
    """A bar with the time left, for a terminal."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._bar: RichProgress | None = None

    def start(self, what: str, total: float, unit: str) -> None:
        """Show a bar for a piece of work of `total` units (0 or less: of unknown length)."""
        from rich.console import Console
        from rich.progress import BarColumn, TaskProgressColumn, TextColumn, TimeRemainingColumn
        from rich.progress import Progress as RichProgress

        self.finish()
        self._bar = RichProgress(
            TextColumn("{task.description}", markup=False),
            BarColumn(bar_width=28),
            TaskProgressColumn(),
            TextColumn("time left"),
            TimeRemainingColumn(),
            console=Console(file=self._stream, highlight=False),
            transient=True,
        )
        size = f"{what} ({total:.0f} {unit})" if total > 0 else what
        self._bar.add_task(printable(size), total=total if total > 0 else None)
        self._bar.start()

    def advance(self, by: float) -> None:
        """Move the bar on."""
        if self._bar is not None:
            self._bar.advance(self._bar.task_ids[0], by)

    def note(self, message: str) -> None:
        """Print a message above the bar."""
        if self._bar is not None:
            self._bar.console.print(printable(message), markup=False, highlight=False)
        else:
            print(printable(message), file=self._stream, flush=True)

    def finish(self) -> None:
        """Take the bar away."""
        if self._bar is not None:
            self._bar.stop()
            self._bar = None


def for_stream(stream: TextIO | None = None) -> Progress:
    """Return a bar when `stream` (default: stderr) is a terminal, else plain lines."""
    stream = sys.stderr if stream is None else stream
    return Bar(stream) if stream.isatty() else Lines(stream)
