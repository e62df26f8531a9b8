"""MP4 and Matroska: the same packets in a new file of the same kind, with chapters."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import OutputRefused
from ..intake.names import shown
from .entry import Listing
from .media import opened

if TYPE_CHECKING:
    from av.container import InputContainer, OutputContainer
    from av.stream import Stream

_CAMERA_KEYS = ("com.apple.", "com.android.")
_OF_THE_WRITER = ("encoder", "major_brand", "minor_version", "compatible_brands", "duration")
_PICTURES = {"mjpeg": "jpeg", "png": "png"}


def remux(media: Path, out: Path, listing: Listing) -> list[str]:
    """Copy `media` to `out` with the chapters; return what could not be taken over, in words.

    Language, rotation, default tracks, title and cover are kept. Raises `OutputRefused`
    where sound or pictures cannot be, and FFmpeg's errors.
    """
    import av

    notices: list[str] = []
    with opened(media) as source:
        muxer, options = _writer(source, media)
        with av.open(str(out), "w", format=muxer, options=options) as target:
            target.metadata.update(source.metadata)
            target.set_chapters(_chapters(listing))
            streams = _streams(media, source, target, notices)
            for packet in source.demux():
                if packet.size and packet.stream.index in streams:
                    packet.stream = streams[packet.stream.index]
                    target.mux(packet)
        before = {key.lower() for key in source.metadata}
    with opened(out) as copy:
        after = {key.lower() for key in copy.metadata}
    lost = sorted(before - after - set(_OF_THE_WRITER))
    if lost:
        notices.append(f"Details that the copy does not hold: {', '.join(lost)}.")
    return notices


def _writer(source: InputContainer, media: Path) -> tuple[str, dict[str, str]]:
    """Return FFmpeg's muxer and its options for a file of the same kind as `source`."""
    if source.format.name.startswith("matroska"):
        return ("webm" if media.suffix.lower() == ".webm" else "matroska"), {}
    brand = source.metadata.get("major_brand", "")
    options = {}
    if any(key.startswith(_CAMERA_KEYS) for key in source.metadata):
        options["movflags"] = "use_metadata_tags"
    if brand == "qt  ":
        return "mov", options
    return "mp4", {**options, **({"brand": brand} if len(brand) == 4 else {})}


def _chapters(listing: Listing) -> list[Any]:
    return [
        {
            "id": number,
            "start": span.start,
            "end": span.end,
            "time_base": Fraction(1, 1000),
            "metadata": {"title": span.title},
        }
        for number, span in enumerate(listing.spans(), 1)
    ]


def _streams(
    media: Path, source: InputContainer, target: OutputContainer, notices: list[str]
) -> Mapping[int, Stream]:
    """Make the streams of the copy; return them by the index of their original."""
    from av.stream import AttachmentStream, Disposition
    from av.video.stream import VideoStream

    streams: dict[int, Stream] = {}
    titles = len(source.chapters())
    for stream in source.streams:
        if titles and stream.name == "bin_data" and stream.frames == titles:
            continue  # the track of the chapters that are replaced
        picture = bool(stream.disposition & Disposition.attached_pic)
        try:
            if isinstance(stream, AttachmentStream):
                target.add_attachment(stream.name or "", stream.mimetype or "", stream.data)
            elif picture and target.format.name == "matroska":
                _attach(media, stream, target)
            else:
                made = target.add_stream_from_template(stream, opaque=True)
                made.metadata.update(stream.metadata)
                made.disposition = stream.disposition
                rate = stream.average_rate if isinstance(stream, VideoStream) else None
                if rate and isinstance(made, VideoStream):
                    made.codec_context.framerate = rate
                streams[stream.index] = made
        except ValueError as error:
            if stream.type in ("audio", "video") and not picture:
                raise OutputRefused(
                    f"{shown(media)} holds {stream.type} that such a file cannot hold.",
                    "Is its name's ending the right one? Rename it, or write a chapter file.",
                ) from error
            notices.append(f"Track {stream.index + 1} ({stream.type}) cannot be taken over.")
    return streams


def _attach(media: Path, stream: Stream, target: OutputContainer) -> None:
    """Matroska keeps a cover as an attached file; `media` is read once more for it."""
    with opened(media) as again:
        cover = again.streams[stream.index]
        data = b"".join(bytes(packet) for packet in again.demux(cover) if packet.size)
    codec = stream.codec_context.name if stream.codec_context else ""
    kind = _PICTURES.get(codec, codec)
    name = stream.metadata.get("filename", f"cover.{kind}")
    target.add_attachment(name, stream.metadata.get("mimetype", f"image/{kind}"), data)
