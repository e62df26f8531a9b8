"""Working ahead in threads, so that decoding, listening and recognising overlap.

The main thread only ever waits for a queue: an interrupt reaches it at once, whatever the
recogniser is in the middle of, and what was finished stays finished.
"""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

T = TypeVar("T")
R = TypeVar("R")
# A wait without a limit cannot be interrupted on every system.
_POLL = 0.2


def ahead(items: Iterable[T], depth: int) -> Iterator[T]:
    """Yield `items`, produced by a thread that is at most `depth` items ahead.

    An exception in the thread is raised here. Closing the iterator ends the thread after the
    item it is at.
    """
    ready: queue.Queue[tuple[T | None, BaseException | None, bool]] = queue.Queue(max(depth, 1))
    stopped = threading.Event()

    def put(entry: tuple[T | None, BaseException | None, bool]) -> bool:
        while not stopped.is_set():
            try:
                ready.put(entry, timeout=_POLL)
                return True
            except queue.Full:
                continue
        return False

    def produce() -> None:
        try:
            for item in items:
                if not put((item, None, False)):
                    return
            put((None, None, True))
        except BaseException as error:
            put((None, error, True))

    threading.Thread(target=produce, daemon=True).start()
    try:
        while True:
            item, error, ended = _take(ready)
            if error is not None:
                raise error
            if ended:
                return
            yield item  # type: ignore[misc]
    finally:
        stopped.set()


def in_parallel(
    work: Callable[[T], R], items: Iterable[T], workers: int
) -> Iterator[tuple[int, R]]:
    """Yield (position, result) of `work` on each item as they are done, in any order.

    `items` are drawn by the threads themselves, one at a time, so that no more than `workers`
    of them are held. Exceptions and closing behave as with `ahead`.
    """
    lock = threading.Lock()
    numbered = enumerate(items)
    done: queue.Queue[tuple[int, R | None, BaseException | None]] = queue.Queue()
    stopped = threading.Event()

    def run() -> None:
        try:
            while not stopped.is_set():
                with lock:
                    drawn = next(numbered, None)
                if drawn is None:
                    break
                position, item = drawn
                done.put((position, work(item), None))
            done.put((-1, None, None))
        except BaseException as error:
            done.put((-1, None, error))

    for _ in range(workers):
        threading.Thread(target=run, daemon=True).start()
    running = workers
    try:
        while running:
            position, result, error = _take(done)
            if error is not None:
                raise error
            if position < 0:
                running -= 1
            else:
                yield position, result  # type: ignore[misc]
    finally:
        stopped.set()


def _take(source: queue.Queue[T]) -> T:
    while True:
        try:
            return source.get(timeout=_POLL)
        except queue.Empty:
            continue
