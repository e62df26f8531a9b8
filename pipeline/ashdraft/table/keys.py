"""Single keys from a terminal, without waiting for Enter."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Reader = Callable[[], str]
"""Returns the keys pressed since it was last called, often none; never waits."""


@contextmanager
def keys() -> Iterator[Reader]:
    """Read standard input key by key until the block ends; a pipe is read the same way."""
    if os.name == "nt":
        yield _windows
        return
    import termios
    import tty

    file = sys.stdin.fileno()
    if not os.isatty(file):
        yield lambda: _posix(file)
        return
    before = termios.tcgetattr(file)
    try:
        tty.setcbreak(file)
        yield lambda: _posix(file)
    finally:
        termios.tcsetattr(file, termios.TCSADRAIN, before)


def _posix(file: int) -> str:
    import select

    if not select.select([file], [], [], 0)[0]:
        return ""
    return os.read(file, 256).decode("utf-8", "replace")


def _windows() -> str:
    import msvcrt

    pressed = ""
    while msvcrt.kbhit():  # type: ignore[attr-defined,unused-ignore]
        pressed += msvcrt.getwch()  # type: ignore[attr-defined,unused-ignore]
    return pressed
