"""What is not a recording, or not a whole one: told apart, named, never followed elsewhere."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest
from ashdraft.errors import AshdraftError, InputMissing, NoSound, NotMedia
from ashdraft.intake import open_session
from ashdraft.intake.decode import RATE, decode
from ashdraft.intake.media import probe

from .media import Kind, bursts, write_media

M4A = Kind("m4a", "aac", 16_000)
WAV = Kind("wav", "pcm_s16le", 16_000)


def test_media_empty_file_is_named(tmp_path: Path) -> None:
    path = tmp_path / "memo.m4a"
    path.touch()
    with pytest.raises(NotMedia, match=r"memo\.m4a is empty") as caught:
        open_session([path])
    assert caught.value.exit_code == 4


@pytest.mark.parametrize("suffix", ["mp3", "wav", "m4a", "mp4", "ogg", "webm", "amr"])
def test_media_text_named_as_sound_is_refused(suffix: str, tmp_path: Path) -> None:
    path = tmp_path / f"notes.{suffix}"
    path.write_text("first third, cedar, and the burn is straight\n" * 200)
    with pytest.raises(NotMedia, match="not a recording"):
        open_session([path])


@pytest.mark.parametrize("suffix", ["mp3", "wav", "aac", "ogg"])
def test_media_random_bytes_never_crash(suffix: str, tmp_path: Path) -> None:
    path = tmp_path / f"noise.{suffix}"
    path.write_bytes(np.random.default_rng(7).bytes(100_000))
    try:
        session = open_session([path])
    except AshdraftError:
        return
    list(decode(session.clips[0].path))


def test_media_video_without_sound_is_told_apart(tmp_path: Path) -> None:
    path = write_media(tmp_path / "mute.mp4", None, Kind("mp4", "", 16_000, video="mpeg4"))
    with pytest.raises(NoSound, match=r"mute\.mp4 is a video without a sound track") as caught:
        open_session([path])
    assert caught.value.exit_code == 5


def test_media_missing_file_and_folder(tmp_path: Path) -> None:
    with pytest.raises(InputMissing, match=r"no file or folder gone\.wav"):
        open_session([tmp_path / "gone.wav"])
    with pytest.raises(InputMissing, match="holds no recording"):
        open_session([tmp_path])


def test_media_name_too_long_for_the_system_is_missing(tmp_path: Path) -> None:
    with pytest.raises(InputMissing):
        open_session([tmp_path / ("a" * 300 + ".wav")])


def test_media_hostile_name_is_shown_as_text(tmp_path: Path) -> None:
    path = tmp_path / "a\n\x1b[31mred.wav"
    path.write_bytes(b"")
    with pytest.raises(NotMedia) as caught:
        open_session([path])
    assert "\x1b" not in str(caught.value)
    assert "a\\n\\x1b[31mred.wav is empty" in caught.value.message


PLAYLISTS = {
    "list.m3u8": "#EXTM3U\n#EXT-X-TARGETDURATION:9\n#EXTINF:9,\n{file}\n#EXT-X-ENDLIST\n",
    "list.mp3": "#EXTM3U\n#EXT-X-TARGETDURATION:9\n#EXTINF:9,\n{file}\n#EXT-X-ENDLIST\n",
    "list.mp4": "ffconcat version 1.0\nfile '{file}'\n",
    "list.sdp": "v=0\no=- 0 0 IN IP4 127.0.0.1\ns=x\nc=IN IP4 127.0.0.1\nt=0 0\n"
    "m=audio 5004 RTP/AVP 0\n",
    "list.mpd": '<?xml version="1.0"?><MPD xmlns="urn:mpeg:dash:schema:mpd:2011" type="static"'
    ' mediaPresentationDuration="PT9S"><Period><AdaptationSet><Representation id="1"'
    ' bandwidth="1" mimeType="audio/mp4"><BaseURL>{file}</BaseURL></Representation>'
    "</AdaptationSet></Period></MPD>",
}


@pytest.mark.parametrize("name", PLAYLISTS)
@pytest.mark.parametrize("target", ["real.m4a", "http://127.0.0.1:9/real.m4a"])
def test_media_playlists_are_never_followed(name: str, target: str, tmp_path: Path) -> None:
    write_media(tmp_path / "real.m4a", bursts(16_000, (0.5,), 2.0), M4A)
    path = tmp_path / name
    path.write_text(PLAYLISTS[name].format(file=target))
    with pytest.raises(NotMedia):
        open_session([path])


@pytest.mark.parametrize(
    "name", ["concat:a.wav|b.wav", "http:a.wav", "pipe:0", "-i.wav", "a%03d.wav"]
)
def test_media_names_are_never_taken_for_protocols(name: str, tmp_path: Path) -> None:
    path = write_media(tmp_path / "x.wav", bursts(16_000, (0.5,), 2.0), WAV).rename(tmp_path / name)
    assert probe(path).duration == pytest.approx(2.0, abs=0.01)


def test_media_cut_mp4_with_its_index_first_gives_what_decodes(tmp_path: Path) -> None:
    tones = bursts(16_000, tuple(range(20)), 20.0)
    path = write_media(tmp_path / "a.m4a", tones, M4A, options={"movflags": "faststart"})
    data = path.read_bytes()
    assert data.index(b"moov") < data.index(b"mdat")
    path.write_bytes(data[: len(data) // 2])
    session = open_session([path])
    assert 5 < session.recordings[0].duration < 15
    assert "stops early" in session.notices[0]
    assert "of the 20 seconds" in session.notices[0]
    assert list(decode(path))[-1].end / RATE == pytest.approx(
        session.recordings[0].duration, abs=0.2
    )


def test_media_cut_mp4_without_its_index_says_so(tmp_path: Path) -> None:
    path = write_media(tmp_path / "take.m4a", bursts(16_000, (1.0, 5.0), 20.0), M4A)
    data = path.read_bytes()
    assert data.index(b"moov") > data.index(b"mdat"), "this writer puts the index last"
    path.write_bytes(data[: data.index(b"moov") - 10])
    with pytest.raises(NotMedia, match="cut off before its index"):
        open_session([path])


def test_media_lying_wav_header_does_not_stretch_time(tmp_path: Path) -> None:
    path = write_media(tmp_path / "lie.wav", bursts(16_000, (0.5,), 2.0), WAV)
    data = bytearray(path.read_bytes())
    at = data.index(b"data") + 4
    data[at : at + 4] = struct.pack("<I", 0x7FFFFFF0)  # promises 18 hours
    path.write_bytes(data)
    session = open_session([path])
    assert session.recordings[0].duration == pytest.approx(2.0, abs=0.01)


def test_media_sparse_giant_is_refused_quickly(tmp_path: Path) -> None:
    path = tmp_path / "huge.mp3"
    with path.open("wb") as file:
        file.truncate(10_000_000_000)
    with pytest.raises(NotMedia):
        open_session([path])
