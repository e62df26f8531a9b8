"""Several sessions after one another or at once; one that fails never stops the others."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Sequence
from dataclasses import replace
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess

from ..intake import transcripts
from ..options import Options
from ..progress import Progress
from .done import fingerprint, is_done, key_of
from .outcome import Outcome
from .sessions import Planned, plan
from .worker import work

# A wait without a limit cannot be interrupted on every system.
_POLL = 0.5
_LAST_WORD = 1.0  # seconds that a process has to end when it is told to


def write_each(options: Options, jobs: int, progress: Progress) -> tuple[Outcome, ...]:
    """Write a draft for each session in `options.inputs`, `jobs` at a time.

    `options.out` is the folder for the drafts' folders. A session that was written before in
    the same way is left alone, unless `options.force`. Raises InputMissing (nothing found),
    UsageError, ModelMissing, ModelDamaged; what goes wrong with one session is its Outcome.
    """
    planned = plan(options.inputs, options.out)
    way = fingerprint(options)
    keys = {one: key_of(one, way) for one in planned}
    outcomes: dict[Planned, Outcome] = {}
    waiting: list[Planned] = []
    for one in planned:
        if not options.force and is_done(one.out, keys[one]):
            outcomes[one] = Outcome(one.source, one.out, "done before", one.out / "draft.md")
        else:
            waiting.append(one)
    _need_model(options, waiting)
    threads = options.threads or max((os.cpu_count() or 1) // jobs, 1)
    progress.start("Writing drafts", len(planned), "recordings")
    progress.advance(len(outcomes))
    running: dict[Connection, tuple[Planned, SpawnProcess]] = {}
    try:
        while waiting or running:
            while waiting and len(running) < jobs:
                one = waiting.pop(0)
                asked = replace(options, inputs=(one.source,), out=one.out, threads=threads)
                connection, process = _start(one, keys[one], asked)
                running[connection] = (one, process)
            answered = wait(list(running), timeout=_POLL)
            for connection in [known for known in running if known in answered]:
                one, process = running.pop(connection)
                outcomes[one] = _answer(one, connection, process)
                progress.note(_line(outcomes[one]))
                progress.advance(1)
    finally:
        for _, process in running.values():
            process.terminate()
        for _, process in running.values():
            process.join(_LAST_WORD)
    progress.finish()
    return tuple(outcomes[one] for one in planned)


def _need_model(options: Options, waiting: Sequence[Planned]) -> None:
    """Without a model no recording can be written: say so once, and before the night."""
    from ..transcribe.weights import find_model, ready

    if any(one.source.suffix.lower() not in transcripts.SUFFIXES for one in waiting):
        ready(find_model(options))


def _start(planned: Planned, key: str, options: Options) -> tuple[Connection, SpawnProcess]:
    context = multiprocessing.get_context("spawn")
    receiving, sending = context.Pipe(duplex=False)
    process = context.Process(target=work, args=(planned, key, options, sending), daemon=True)
    process.start()
    sending.close()
    return receiving, process


def _answer(planned: Planned, connection: Connection, process: SpawnProcess) -> Outcome:
    with connection:
        try:
            outcome = connection.recv()
        except (EOFError, OSError):
            outcome = None
    process.join()
    if isinstance(outcome, Outcome):
        return outcome
    return Outcome(
        planned.source, planned.out, "not written", exit_code=1,
        message=f"The process that read it was ended (code {process.exitcode}).",
        next_step="Type the same command again; what was recognised is kept.",
    )  # fmt: skip


def _line(outcome: Outcome) -> str:
    why = f": {outcome.message}" if outcome.message else ""
    return f"{outcome.source.name} {outcome.state}{why}"
