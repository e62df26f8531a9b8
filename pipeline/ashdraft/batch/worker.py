"""One session in a process of its own; what became of it goes back over a pipe."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
import time
from multiprocessing.connection import Connection

from ..errors import AshdraftError
from ..options import Options
from .done import mark_done
from .outcome import Outcome
from .sessions import Planned


def work(planned: Planned, key: str, options: Options, answer: Connection) -> None:
    """Write the session of `options`, keep `key` for it and send its Outcome. An entry point."""
    belong()
    answer.send(_outcome(planned, key, options))
    answer.close()


def _outcome(planned: Planned, key: str, options: Options) -> Outcome:
    begun = time.monotonic()
    try:
        return _written(planned, key, options, begun)
    except AshdraftError as fault:
        code, message, next_step = fault.exit_code, fault.message, fault.next_step
    except Exception as fault:  # its text may hold spoken words and stays out
        code = AshdraftError.exit_code
        message = f"This is a fault of the program: {type(fault).__name__}."
        next_step = f"To see where: ashdraft write --debug {planned.source.name}"
    took = time.monotonic() - begun
    return Outcome(
        planned.source, planned.out, "not written",
        took=took, exit_code=code, message=message, next_step=next_step,
    )  # fmt: skip


def _written(planned: Planned, key: str, options: Options, begun: float) -> Outcome:
    from ..assemble.checks import findings
    from ..session import write

    result = write(options)
    mark_done(planned.out, key)
    return Outcome(
        planned.source,
        planned.out,
        "written",
        draft=result.draft,
        seconds=max(r.offset + r.duration for r in result.notes.recordings),
        to_check=sum(len(lines) for _, lines in findings(result.notes)),
        took=time.monotonic() - begun,
    )


def belong() -> None:
    """Leave Ctrl-C to the process that started this one, and end when that one is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(AshdraftError.exit_code)
