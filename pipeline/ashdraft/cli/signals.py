"""Ctrl-C and SIGTERM: the run ends at once, and within two seconds whatever it is busy with.

Python tells the main thread of a signal between two of its own instructions, which a library
written in C may keep from it for long. So a thread of its own waits for the signal too, and ends
the program where the main thread has not done so. Files are written in one step and the folder's
lock is the operating system's, so ending like that costs nothing that was finished.
"""

from __future__ import annotations

import contextlib
import os
import signal
import threading
import time

INTERRUPTED = 128 + signal.SIGINT
TERMINATED = 128 + signal.SIGTERM
"""Exit codes as POSIX shells give them to a program that a signal ended."""
PATIENCE = 1.2
"""Seconds that the main thread has to end in an orderly way."""


class Terminated(KeyboardInterrupt):
    """SIGTERM arrived."""


def end_soon() -> None:
    """Take care of SIGINT and SIGTERM for the rest of the program. For the main thread."""
    signal.signal(signal.SIGTERM, _terminate)
    if os.name == "nt":  # a pipe cannot be woken there
        return
    reading, writing = os.pipe()
    os.set_blocking(writing, False)
    signal.set_wakeup_fd(writing, warn_on_full_buffer=False)
    threading.Thread(target=_wait, args=(reading,), daemon=True, name="signals").start()


def _wait(reading: int) -> None:
    number = os.read(reading, 1)[0]
    time.sleep(PATIENCE)
    with contextlib.suppress(OSError):
        os.write(2, b"\nStopped.\n  Finished work is kept; type the same command to go on.\n")
    os._exit(128 + number)


def _terminate(*_: object) -> None:
    raise Terminated
