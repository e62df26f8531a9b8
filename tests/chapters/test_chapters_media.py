"""Chapters in a copy of the media: the packets as they were, and other programs find them."""

from __future__ import annotations

import hashlib
import os
import sys
from collections import defaultdict
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import av
import mutagen
import numpy as np
import pytest
from ashdraft.chapters import Entry, Listing, default_copy, length_of, write_into
from ashdraft.chapters import media as media_module
from ashdraft.errors import AshdraftError, InputMissing, NotMedia, OutputRefused, UsageError
from mutagen.id3 import APIC, COMM, ID3, PRIV, TIT2, TXXX
from mutagen.mp4 import MP4, MP4Cover

from tests.chapters.made import LISTINGS, Found, expected, ffprobe, ffprobe_chapters, run, tool
from tests.intake.media import Kind, bursts, write_media

KINDS = (
    Kind("mp4", "aac", 48_000, "stereo", video="libx264"),
    Kind("mov", "aac", 48_000, video="mpeg4"),
    Kind("m4a", "aac", 44_100),
    Kind("mkv", "aac", 44_100, video="mpeg4"),
    Kind("webm", "libopus", 48_000, video="libvpx"),
    Kind("mka", "libopus", 48_000),
    Kind("mp3", "libmp3lame", 44_100, "stereo"),
    Kind("ogg", "libopus", 48_000, "stereo"),
    Kind("opus", "libopus", 48_000),
)
MADE = Listing((Entry(0, "a = b ; c \\ <d>"), Entry(700, "שלום & \N{FIRE}")), 2000)
kinds = pytest.mark.parametrize("kind", KINDS, ids=str)


@cache
def sample(kind: Kind) -> bytes:
    """Two seconds of sound, with a picture where the kind has one."""
    with TemporaryDirectory() as folder:
        samples = bursts(kind.rate, (0.2, 1.1), 2.0)
        tags = {"title": "The talk", "artist": "Nobody"}
        return write_media(Path(folder, f"x.{kind.suffix}"), samples, kind, tags).read_bytes()


def make(folder: Path, kind: Kind) -> Path:
    path = folder / f"talk.{kind.suffix}"
    path.write_bytes(sample(kind))
    return path


@dataclass(frozen=True)
class Packet:
    start: float | None
    duration: float
    key: bool
    data: bytes


def packets(path: Path) -> dict[str, list[Packet]]:
    """All packets by the type of their stream; data tracks, where MP4 keeps chapters, left out."""
    found = defaultdict(list)
    with av.open(str(path)) as container:
        for p in container.demux():
            if p.size and p.stream.type != "data":
                start = None if p.pts is None else round(float(p.pts * p.time_base), 3)
                length = round(float((p.duration or 0) * p.time_base), 3)
                data = hashlib.sha256(bytes(p)).digest()
                found[p.stream.type].append(Packet(start, length, p.is_keyframe, data))
    return found


def metadata(path: Path) -> dict[str, str]:
    with av.open(str(path)) as container:
        found = dict(container.metadata)
        for stream in container.streams.audio:
            found |= stream.metadata
    lower = {key.lower(): value for key, value in found.items()}
    ours = ("encoder", "compatible_brands", "handler_name", "duration", "vendor_id")
    return {k: v for k, v in lower.items() if k not in ours and not k.startswith("chapter")}


@kinds
def test_copy_holds_the_same_packets_and_the_chapters(kind: Kind, tmp_path: Path) -> None:
    """ffprobe reads the chapters; the last one of Ogg ends with the sound, as Ogg keeps no ends."""
    source = make(tmp_path, kind)
    before = source.read_bytes()
    copied = write_into(source, tmp_path / f"copy.{kind.suffix}", MADE)
    assert copied.notices == ()
    assert source.read_bytes() == before
    assert packets(copied.path) == packets(source)
    assert metadata(copied.path) == metadata(source)
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([source.name, copied.path.name])
    found = ffprobe_chapters(copied.path)
    assert [(c.start, c.title) for c in found] == [(s.start, s.title) for s in MADE.spans()]
    if kind.suffix not in ("ogg", "opus"):
        assert found == expected(MADE)


@kinds
def test_second_copy_replaces_the_chapters(kind: Kind, tmp_path: Path) -> None:
    first, second = tmp_path / f"1.{kind.suffix}", tmp_path / f"2.{kind.suffix}"
    source = make(tmp_path, kind)
    write_into(source, first, Listing(tuple(Entry(i * 100, f"T{i}") for i in range(9)), 2000))
    copied = write_into(first, second, MADE)
    assert copied.notices == ()
    assert packets(second) == packets(source)
    found = ffprobe(second, "-show_streams")
    assert len(found["chapters"]) == len(MADE.entries)
    assert sum(s["codec_type"] == "data" for s in found["streams"]) <= 1


@pytest.mark.parametrize("suffix", ["m4a", "mkv", "mp3", "opus"])
@pytest.mark.parametrize("name", ["one", "many", "long"])
def test_few_many_and_late_chapters(name: str, suffix: str, tmp_path: Path) -> None:
    kind = next(k for k in KINDS if k.suffix == suffix)
    made = LISTINGS[name]
    copied = write_into(make(tmp_path, kind), tmp_path / f"copy.{suffix}", made)
    found = ffprobe_chapters(copied.path)
    assert [(c.start, c.title) for c in found] == [(s.start, s.title) for s in made.spans()]


def test_mutagen_reads_chapters_of_mp4(tmp_path: Path) -> None:
    copied = write_into(make(tmp_path, KINDS[2]), tmp_path / "copy.m4a", MADE)
    assert [(round(c.start * 1000), c.title) for c in MP4(copied.path).chapters] == [
        (s.start, s.title) for s in MADE.spans()
    ]


def test_mutagen_reads_chap_and_ctoc(tmp_path: Path) -> None:
    """C. Newell, ID3v2 Chapter Frame Addendum 1.0: one ordered top-level table of contents."""
    copied = write_into(make(tmp_path, KINDS[6]), tmp_path / "copy.mp3", MADE)
    frames = ID3(copied.path)
    chapters = {c.element_id: c for c in frames.getall("CHAP")}
    (contents,) = frames.getall("CTOC")
    assert contents.flags == 3
    assert [
        Found(c.start_time, c.end_time, str(c.sub_frames["TIT2"]))
        for c in (chapters[i] for i in contents.child_element_ids)
    ] == expected(MADE)
    assert {c.start_offset for c in chapters.values()} == {0xFFFFFFFF}


def test_long_table_of_contents_is_parted(tmp_path: Path) -> None:
    """A table of contents counts its children in one byte (3.2)."""
    made = LISTINGS["many"]
    copied = write_into(make(tmp_path, KINDS[6]), tmp_path / "copy.mp3", made)
    tables = {t.element_id: t for t in ID3(copied.path).getall("CTOC")}
    (top,) = (t for t in tables.values() if t.flags & 2)
    below = [i for part in top.child_element_ids for i in tables[part].child_element_ids]
    assert len(below) == len(set(below)) == 300
    assert all(len(t.child_element_ids) <= 255 for t in tables.values())


@pytest.mark.parametrize("version", [3, 4])
def test_tag_of_an_mp3_stays(version: int, tmp_path: Path) -> None:
    source = make(tmp_path, KINDS[6])
    frames = ID3()
    frames.add(TIT2(encoding=1, text=["The talk"]))
    frames.add(COMM(encoding=1, lang="deu", desc="", text=["Hallo"]))
    frames.add(TXXX(encoding=1, desc="own", text=["thing"]))
    frames.add(PRIV(owner="nobody", data=b"\0\1"))
    frames.add(APIC(encoding=0, mime="image/png", type=3, desc="", data=picture()))
    frames.save(source, v2_version=version)
    copied = write_into(source, tmp_path / "copy.mp3", MADE)
    before, after = ID3(source), ID3(copied.path)
    assert after.version == before.version == (2, version, 0)
    kept = {key: repr(frame) for key, frame in after.items() if key[:4] not in ("CHAP", "CTOC")}
    assert kept == {key: repr(frame) for key, frame in before.items()}
    assert packets(copied.path) == packets(source)


def test_cover_and_tags_of_an_mp4_stay(tmp_path: Path) -> None:
    source = make(tmp_path, KINDS[2])
    tags = MP4(source)
    tags["covr"] = [MP4Cover(picture(), imageformat=MP4Cover.FORMAT_PNG)]
    tags["\xa9alb"], tags["trkn"] = ["Evenings"], [(3, 9)]
    tags.save()
    copied = write_into(source, tmp_path / "copy.m4a", MADE)
    after = MP4(copied.path)
    assert {k: v for k, v in after.tags.items() if k != "\xa9too"} == {
        k: v for k, v in MP4(source).tags.items() if k != "\xa9too"
    }
    assert metadata(copied.path)["major_brand"] == metadata(source)["major_brand"]
    assert ffprobe_chapters(copied.path) == expected(MADE)


def test_cover_of_a_matroska_file_stays_attached(tmp_path: Path) -> None:
    cover = tmp_path / "cover.png"
    cover.write_bytes(picture())
    source = tmp_path / "cover.mkv"
    merge = tool("mkvmerge", "mkvtoolnix")
    run(merge, "-q", "-o", source, "--attach-file", cover, make(tmp_path, KINDS[3]))
    copied = write_into(source, tmp_path / "copy.mkv", MADE)
    run(tool("mkvextract", "mkvtoolnix"), copied.path, "attachments", f"1:{tmp_path / 'found.png'}")
    assert (tmp_path / "found.png").read_bytes() == cover.read_bytes()
    before, after = packets(source), packets(copied.path)
    for kind in ("audio", "video"):  # FFmpeg writes no default duration of sound, mkvmerge does
        assert [replace(p, duration=0) for p in after[kind]] == [
            replace(p, duration=0) for p in before[kind]
        ]


def test_comments_and_cover_of_an_ogg_file_stay(tmp_path: Path) -> None:
    source = tmp_path / "vorbis.ogg"
    sound = make(tmp_path, KINDS[2])
    run(tool("ffmpeg", "ffmpeg"), "-v", "error", "-i", sound, "-c:a", "libvorbis", source)
    file = mutagen.File(source)
    file.tags["METADATA_BLOCK_PICTURE"] = ["AAAA"]
    file.tags["CHAPTER001"], file.tags["CHAPTER777NAME"] = "00:00:01.000", "old"
    file.tags["CHAPTERS"] = "not one of them"
    file.save()
    copied = write_into(source, tmp_path / "copy.ogg", MADE)
    tags = dict(mutagen.File(copied.path).tags.as_dict())
    assert tags["metadata_block_picture"] == ["AAAA"]
    assert tags["chapters"] == ["not one of them"]
    assert "chapter777name" not in tags
    assert (tags["chapter002"], tags["chapter002name"]) == (
        ["00:00:00.700"],
        [MADE.entries[1].title],
    )
    assert packets(copied.path) == packets(source)
    assert [c.start for c in ffprobe_chapters(copied.path)] == [0, 700]


def test_turned_video_and_what_the_camera_wrote_stay(tmp_path: Path) -> None:
    """A telephone's video: turned, with keys of its maker's own."""
    source = tmp_path / "phone.mov"
    run(
        tool("ffmpeg", "ffmpeg"), "-v", "error", "-i", make(tmp_path, KINDS[1]), "-c", "copy",
        "-metadata:s:v", "rotate=90", "-movflags", "use_metadata_tags",
        "-metadata", "com.apple.quicktime.model=A telephone",
        "-metadata", "creation_time=2026-01-02T03:04:05Z", source,
    )  # fmt: skip
    copied = write_into(source, tmp_path / "copy.mov", MADE)
    assert copied.notices == ()
    assert packets(copied.path) == packets(source)
    assert metadata(copied.path) == metadata(source)
    assert metadata(source)["com.apple.quicktime.model"] == "A telephone"
    for path in (source, copied.path):
        video = ffprobe(path, "-show_streams")["streams"][0]
        assert {s.get("rotation") for s in video.get("side_data_list", [])} == {90}, path


def test_lengths(tmp_path: Path) -> None:
    for kind in KINDS:
        assert length_of(make(tmp_path, kind)) == pytest.approx(2000, abs=80), kind


def test_what_cannot_hold_chapters_is_refused(tmp_path: Path) -> None:
    wave = write_media(tmp_path / "a.wav", bursts(8000, (), 0.5), Kind("wav", "pcm_s16le", 8000))
    text, source = tmp_path / "a.mp4", make(tmp_path, KINDS[2])
    text.write_text("no video")
    playlist = tmp_path / "list.mp4"
    playlist.write_text("#EXTM3U\n#EXTINF:1,\nhttp://localhost/a.ts\n")
    (tmp_path / "there.m4a").write_bytes(b"mine")
    os.mkfifo(tmp_path / "pipe.mp4")
    cases: list[tuple[type[AshdraftError], Path, str, Listing]] = [
        (NotMedia, wave, "copy.wav", MADE),
        (NotMedia, text, "copy.mp4", MADE),
        (NotMedia, playlist, "copy.mp4", MADE),
        (InputMissing, tmp_path / "none.mp4", "copy.mp4", MADE),
        (InputMissing, tmp_path / "pipe.mp4", "copy.mp4", MADE),
        (InputMissing, tmp_path, f"copy{tmp_path.suffix}", MADE),
        (UsageError, source, source.name, MADE),
        (UsageError, source, "copy.mkv", MADE),
        (UsageError, source, "copy.m4a", LISTINGS["none"]),
        (OutputRefused, source, "there.m4a", MADE),
        (OutputRefused, source, "no/folder.m4a", MADE),
    ]
    for error, path, out, made in cases:
        with pytest.raises(error):
            write_into(path, tmp_path / out, made)
    assert (tmp_path / "there.m4a").read_bytes() == b"mine"
    assert not list(tmp_path.glob(".*"))
    assert write_into(source, tmp_path / "there.m4a", MADE, replace=True).path.stat().st_size > 99


def test_track_that_cannot_be_taken_over(tmp_path: Path) -> None:
    """Words may be left out, and that is told; a picture may not. WebM takes neither of these."""
    words, whole = tmp_path / "words.srt", tmp_path / "whole.mkv"
    words.write_text("1\n00:00:00,100 --> 00:00:00,900\nHello\n")
    merge = tool("mkvmerge", "mkvtoolnix")
    run(merge, "-q", "-o", whole, make(tmp_path, KINDS[4]), words)
    whole = whole.rename(tmp_path / "whole.webm")
    copied = write_into(whole, tmp_path / "copy.webm", MADE)
    assert copied.notices == ("Track 3 (subtitle) cannot be taken over.",)
    renamed = make(tmp_path, KINDS[3]).rename(tmp_path / "renamed.webm")
    with pytest.raises(OutputRefused):
        write_into(renamed, tmp_path / "second.webm", MADE)
    assert not (tmp_path / "second.webm").exists()


def test_copy_that_differs_is_thrown_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(media_module, "_digests", lambda path: [("audio", str(path))])
    with pytest.raises(OutputRefused, match="did not come out the same"):
        write_into(make(tmp_path, KINDS[2]), tmp_path / "copy.m4a", MADE)
    assert [p.name for p in tmp_path.iterdir()] == ["talk.m4a"]


def test_missing_mutagen_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "mutagen", None)
    with pytest.raises(UsageError) as fault:
        write_into(make(tmp_path, KINDS[6]), tmp_path / "copy.mp3", MADE)
    assert "ashdraft[tags]" in fault.value.next_step
    assert [p.name for p in tmp_path.iterdir()] == ["talk.mp3"]


def test_name_of_the_copy() -> None:
    assert default_copy(Path("a/talk.one.mp4")) == Path("a/talk.one.chapters.mp4")


def picture() -> bytes:
    """A PNG of 16 by 16 dots."""
    encoder = av.CodecContext.create("png", "w")
    encoder.width = encoder.height = 16
    encoder.pix_fmt = "rgb24"
    encoder.time_base = Fraction(1, 25)
    frame = av.VideoFrame.from_ndarray(np.full((16, 16, 3), 90, dtype=np.uint8), format="rgb24")
    return b"".join(bytes(p) for p in [*encoder.encode(frame), *encoder.encode(None)])
