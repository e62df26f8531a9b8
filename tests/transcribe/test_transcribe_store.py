"""Finished work on disk, and working ahead in threads."""

from __future__ import annotations

import json
import os
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from ashdraft.errors import OutputRefused
from ashdraft.transcribe import store as store_module
from ashdraft.transcribe.background import ahead, in_parallel
from ashdraft.transcribe.store import Store, key_of


def test_store_gives_back_what_was_put(tmp_path: Path) -> None:
    store = Store(tmp_path)
    content = [{"words": [["Café", 1.25, 1.5, 0.9]], "dropped": False}]
    store.put("block-1", content)
    assert Store(tmp_path).get("block-1") == content
    assert store.get("block-2") is None
    assert [p.name for p in (tmp_path / "heard").iterdir()] == ["block-1.json"]


@pytest.mark.parametrize("how", ["cut", "flipped", "empty", "other", "deep"])
def test_store_takes_damaged_entries_away(how: str, tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.put("block-1", ["cedar"])
    path = tmp_path / "heard" / "block-1.json"
    data = path.read_bytes()
    path.write_bytes(
        {
            "cut": data[:-10],
            "flipped": data.replace(b"cedar", b"cedaR"),
            "empty": b"",
            "other": b"[1]",
            "deep": b"[" * 100_000,
        }[how]
    )
    assert store.get("block-1") is None
    assert not path.exists()


@pytest.mark.skipif(os.name == "nt", reason="POSIX modes")
def test_store_is_for_its_owner_only(tmp_path: Path) -> None:
    Store(tmp_path)
    assert (tmp_path / "heard").stat().st_mode & 0o777 == 0o700


def test_store_refuses_when_the_disk_is_full(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path, data: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(store_module, "atomic_write", full)
    with pytest.raises(OutputRefused, match="No space left"):
        Store(tmp_path).put("block-1", [])


def test_store_refuses_a_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "heard").write_text("a file")
    with pytest.raises(OutputRefused):
        Store(tmp_path)


def test_key_depends_on_every_ingredient_and_not_on_their_order() -> None:
    one = key_of("block", {"model": "a", "from": [["s", 1, 2]]})
    assert one == key_of("block", {"from": [["s", 1, 2]], "model": "a"})
    assert len({one, key_of("block", {"model": "b", "from": [["s", 1, 2]]}),
                key_of("block", {"model": "a", "from": [["s", 1, 3]]})}) == 3  # fmt: skip
    assert json.dumps(one).isascii()


def test_ahead_yields_in_order_and_no_further_than_its_depth() -> None:
    drawn: list[int] = []

    def numbers() -> Iterator[int]:
        for number in range(50):
            drawn.append(number)
            yield number

    source = ahead(numbers(), 3)
    assert next(source) == 0
    time.sleep(0.3)
    assert len(drawn) <= 6
    assert list(source) == list(range(1, 50))


def test_ahead_raises_what_its_source_raises() -> None:
    def broken() -> Iterator[int]:
        yield 1
        raise ValueError("worn out")

    source = ahead(broken(), 2)
    assert next(source) == 1
    with pytest.raises(ValueError, match="worn out"):
        list(source)


def test_ahead_stops_its_thread_when_it_is_closed() -> None:
    ended = threading.Event()

    def forever() -> Iterator[int]:
        try:
            while True:
                yield 1
        finally:
            ended.set()

    source = ahead(forever(), 1)
    next(source)
    source.close()  # type: ignore[attr-defined]
    assert ended.wait(5)


def test_in_parallel_gives_every_result_with_its_position() -> None:
    def slow(number: int) -> int:
        time.sleep(0.01 * (number % 3))
        return number * number

    assert dict(in_parallel(slow, iter(range(20)), 3)) == {n: n * n for n in range(20)}


def test_in_parallel_raises_what_the_work_raises() -> None:
    def fails(number: int) -> int:
        if number == 3:
            raise RuntimeError("no more")
        return number

    with pytest.raises(RuntimeError, match="no more"):
        list(in_parallel(fails, iter(range(10)), 2))
