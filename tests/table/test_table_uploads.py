"""What a phone may send, and what it may not."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from ashdraft.serve import Sessions
from ashdraft.table import pieces, put_together
from ashdraft.table.log import FILE, LONGEST_NOTE, read
from starlette.testclient import TestClient

from tests.serve.made import client
from tests.table.made import noise, sound_of

KEY = "0a" * 16
PATH = f"/table/{KEY}"
MOMENT = "2026-05-02T20:14:00.000+02:00"
GOOD = {"rate": "8000", "moment": MOMENT}


@pytest.fixture
def phone(tmp_path: Path) -> TestClient:
    made = client(tmp_path)
    assert made.post(PATH, json={"moment": MOMENT}).status_code == 201
    return made


def folder(tmp_path: Path) -> Path:
    (found,) = tmp_path.glob("*/" + FILE)
    return found.parent


def send(phone: TestClient, number: object, body: bytes, **about: str) -> int:
    return phone.put(f"{PATH}/pieces/{number}", content=body, params=GOOD | about).status_code


def test_a_session_from_start_to_stop(phone: TestClient, tmp_path: Path) -> None:
    one, two = noise(1.0, 1), noise(1.0, 2)
    assert send(phone, 1, one.tobytes()) == 200
    assert send(phone, 2, two.tobytes(), moment="2026-05-02T20:14:01.000+02:00") == 200
    entry = {"n": 1, "moment": MOMENT, "tap": "touch-up"}
    assert phone.post(f"{PATH}/entries", json=entry).json() == {"confirmed": 1}
    stop = {"n": 2, "moment": MOMENT, "mark": "stop"}
    assert phone.post(f"{PATH}/entries", json=stop).status_code == 200
    state = phone.get(PATH).json()
    assert state == {
        "name": "2026-05-02 20.14", "pieces": 2, "stopped": True, "draft": None, "understood": {},
    }  # fmt: skip
    put_together([folder(tmp_path)])
    (take,) = folder(tmp_path).glob("*.flac")
    assert sound_of([take]).tobytes() == one.tobytes() + two.tobytes()
    (session,) = Sessions(tmp_path)
    assert session.recording == folder(tmp_path)
    assert not session.ready


def test_what_is_sent_twice_is_kept_once(phone: TestClient, tmp_path: Path) -> None:
    """A phone that got no answer sends again."""
    for _ in range(3):
        assert phone.post(PATH, json={"moment": MOMENT}).status_code == 201
        assert send(phone, 1, noise(1.0).tobytes()) == 200
        entry = {"n": 1, "moment": MOMENT, "tap": "relight"}
        assert phone.post(f"{PATH}/entries", json=entry).status_code == 200
    assert pieces.numbers(folder(tmp_path)) == {1}
    log = read(folder(tmp_path) / FILE)
    assert log is not None
    assert len(log.taps) == 1


def test_a_server_started_anew_knows_the_recording(phone: TestClient, tmp_path: Path) -> None:
    again = client(tmp_path)
    assert send(again, 1, noise(1.0).tobytes()) == 200
    assert len(list(tmp_path.glob("*/" + FILE))) == 1


def test_two_phones_in_one_minute_get_two_folders(phone: TestClient, tmp_path: Path) -> None:
    phone.post("/table/" + "0b" * 16, json={"moment": MOMENT})
    assert sorted(p.name for p in tmp_path.iterdir()) == ["2026-05-02 20.14", "2026-05-02 20.14 2"]


@pytest.mark.parametrize(
    ("number", "body", "about"),
    [
        (0, b"00", {}), (-1, b"00", {}), ("1e3", b"00", {}), ("9" * 5000, b"00", {}),
        ("%2e%2e", b"00", {}), (100001, b"00", {}), ("٣", b"00", {}),
        (1, b"", {}), (1, b"0", {}), (1, b"00" * 8000 * 16, {}),
        (1, b"00", {"rate": "0"}), (1, b"00", {"rate": "1"}), (1, b"00", {"rate": "999999"}),
        (1, b"00", {"rate": "x"}), (1, b"00", {"rate": "-8000"}), (1, b"00", {"rate": ""}),
        (1, b"00", {"moment": ""}), (1, b"00", {"moment": "../../etc"}),
        (1, b"00", {"moment": "2026-05-02T20:14:00"}), (1, b"00", {"moment": "1970-01-01T00:00Z"}),
        (1, b"00", {"moment": "9999-01-01T00:00:00Z"}),
    ],
)  # fmt: skip
def test_what_is_no_piece_is_refused(
    phone: TestClient, tmp_path: Path, number: object, body: bytes, about: dict[str, str]
) -> None:
    assert send(phone, number, body, **about) in (404, 422)
    assert [path.name for path in folder(tmp_path).iterdir()] == [FILE]


@pytest.mark.parametrize(
    "key",
    ["..", "%2e%2e", "..%2f..%2fetc", "0A" * 16, "0a" * 15, "0a" * 17, "x" * 32, "%00" * 32],
)
def test_a_key_is_compared_and_never_a_path(phone: TestClient, tmp_path: Path, key: str) -> None:
    before = sorted(tmp_path.rglob("*"))
    assert phone.post(f"/table/{key}", json={"moment": MOMENT}).status_code in (404, 405, 422)
    assert phone.put(f"/table/{key}/pieces/1", content=b"00", params=GOOD).status_code in (404, 422)
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize(
    "entry",
    [
        None, [], "x", {}, {"n": 1}, {"n": 0, "tap": "relight"}, {"n": True, "tap": "relight"},
        {"n": "1", "tap": "relight"}, {"n": 1.5, "tap": "relight"}, {"n": 2**40, "tap": "relight"},
        {"n": 1, "tap": "explode"}, {"n": 1, "tap": ["relight"]}, {"n": 1, "tap": {"a": 1}},
        {"n": 1, "note": ""}, {"n": 1, "note": "  "}, {"n": 1, "note": 5},
        {"n": 1, "note": "x" * (LONGEST_NOTE + 1)}, {"n": 1, "mark": "format"},
        {"n": 1, "tap": "relight", "moment": "soon"}, {"n": 1, "note": "x" * 30000},
    ],
)  # fmt: skip
def test_what_is_no_entry_is_refused(phone: TestClient, tmp_path: Path, entry: Any) -> None:
    if isinstance(entry, dict):
        entry = {"moment": MOMENT} | entry
    before = (folder(tmp_path) / FILE).read_bytes()
    assert phone.post(f"{PATH}/entries", json=entry).status_code == 422
    assert (folder(tmp_path) / FILE).read_bytes() == before


@pytest.mark.parametrize("body", [b"", b"{", b"\xff", b"[" * 10000, b"NaN"])
def test_what_is_no_json_is_refused(phone: TestClient, body: bytes) -> None:
    assert phone.post(f"{PATH}/entries", content=body).status_code == 422


def test_line_ends_in_a_note_make_no_second_entry(phone: TestClient, tmp_path: Path) -> None:
    evil = 'cap\n{"moment": "2026-05-02T20:14:00+02:00", "mark": "stop"}\u2028\x85x'
    entry = {"n": 1, "moment": MOMENT, "note": evil}
    assert phone.post(f"{PATH}/entries", json=entry).status_code == 200
    log = read(folder(tmp_path) / FILE)
    assert log is not None
    assert not log.stopped
    assert [note.text for note in log.notes] == [evil]


def test_a_disk_that_takes_nothing_is_told_and_asked_again(
    phone: TestClient, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(pieces, "atomic_write", full)
        answer = phone.put(f"{PATH}/pieces/1", content=b"00", params=GOOD)
        assert answer.status_code == 507
        assert "No space left" in answer.json()["refused"]
    assert send(phone, 1, b"00") == 200


def test_an_unknown_recording_is_told(tmp_path: Path) -> None:
    """The page then begins it anew: a folder that was taken away costs nothing that still waits."""
    made = client(tmp_path)
    assert made.put(f"{PATH}/pieces/1", content=b"00", params=GOOD).status_code == 404
    assert made.get(PATH).json() == {"unknown": True}


def test_a_recording_whose_phone_is_gone_can_be_ended(phone: TestClient, tmp_path: Path) -> None:
    (session,) = Sessions(tmp_path)
    assert session.id in phone.get("/").text
    assert phone.post(f"/table/ended/{session.id}").status_code == 303
    log = read(folder(tmp_path) / FILE)
    assert log is not None
    assert log.stopped
    assert phone.post("/table/ended/none").status_code == 404


def test_nothing_is_recorded_into_a_session(tmp_path: Path) -> None:
    (tmp_path / "notes.json").write_text("{}")
    answer = client(tmp_path).post(PATH, json={"moment": MOMENT})
    assert answer.status_code == 422
    assert "folder it lies in" in answer.json()["refused"]


def test_state_holds_what_was_understood(phone: TestClient, tmp_path: Path) -> None:
    (folder(tmp_path) / ".so-far.json").write_text(json.dumps({"until": 5}))
    assert phone.get(PATH).json()["understood"] == {"until": 5}
    (folder(tmp_path) / ".so-far.json").write_text("{")
    assert phone.get(PATH).json()["understood"] == {}
