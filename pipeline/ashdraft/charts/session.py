"""The session as one long strip: thirds, what was spoken about when, events, and notes.

Time runs to the right and each heading has a line of its own, so that nothing is told by colour
or pattern alone. Silence is left blank; what was not recorded is hatched.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from math import ceil

from ..export.clock import chapter_time
from ..model import SECTIONS, EventKind, Reading, Recording
from .lanes import stacked
from .spans import gaps, thirds
from .svg import element, label, number, picture, width_of

EVENTS: dict[EventKind, str] = {
    "lit": "lit",
    "touch-up": "touch-up",
    "relight": "relight",
    "ash-drop": "ash falls",
    "band-off": "band off",
    "put-down": "put down",
}
"""Events that are labelled; where a third begins is drawn as a line."""
SMALL = 13
LANE = 19
LANES = 9
BAND = 24
ROW = 19
BLOCK = 11
DOT = 3.1
MOST_DOTS = 12
STEPS = (1, 2, 5, 10, 15, 20, 30, 60, 120, 240, 480)
"""Minutes between two figures of the time axis."""


def session_strip(
    reading: Reading,
    recordings: Sequence[Recording],
    *,
    title: str = "The session as one strip",
    name: str = "session",
    width: int = 960,
) -> str:
    """Return the picture as SVG text. Times are seconds on the joined timeline.

    `data-from`, `data-to` (units) and `data-seconds` on the picture tell where its time axis
    lies. `name` must differ between the pictures of one page. The same notes give the same text.
    """
    return _Strip(reading, recordings, name, width).drawn(title)


class _Strip:
    """The measures of one picture, from top to bottom: labels, band, lines, notes, axis."""

    def __init__(
        self, reading: Reading, recordings: Sequence[Recording], name: str, width: int
    ) -> None:
        self.reading, self.recordings, self.name, self.width = reading, recordings, name, width
        spoken = {u.section for u in reading.utterances}
        self.sections = [s for s in SECTIONS if s in spoken]
        ends = [r.offset + r.duration for r in recordings] + [u.end for u in reading.utterances]
        self.seconds = max([*ends, 1.0])
        words = [*self.sections, "notes"]
        self.left = max(width_of(w, SMALL) for w in words) + 10
        self.right = width - 14.0
        self.events = [e for e in reading.events if e.kind in EVENTS]
        self.labels = [f"{EVENTS[e.kind]} {chapter_time(int(e.start))}" for e in self.events]
        wanted = [
            (self.x(e.start), width_of(t, SMALL) + 4)
            for e, t in zip(self.events, self.labels, strict=True)
        ]
        self.places = stacked(wanted, 0.0, self.right, LANES)
        lanes = max((p.lane + 1 for p in self.places if p), default=0)
        self.top = 8.0 + LANE * lanes
        self.rows = self.top + BAND
        self.bottom = self.rows + ROW * len(self.sections) + 4
        self.stacks = self._stacks()
        most = max(self.stacks.values(), default=0)
        self.pitch = min(2 * DOT + 1, (2 * DOT + 1) * MOST_DOTS / max(most, 1))
        self.floor = self.bottom + 16 + self.pitch * max(most, 1)

    def x(self, seconds: float) -> float:
        share = min(max(seconds / self.seconds, 0.0), 1.0)
        return self.left + share * (self.right - self.left)

    def drawn(self, title: str) -> str:
        svg = picture(
            self.name, title, self._described(), self.width, self.floor + 28,
            self._unrecorded(), *self._lines(), *self._thirds(), self._box(), *self._labels(),
            *self._dots(), *self._axis(),
        )  # fmt: skip
        axis = (
            f' data-from="{number(self.left)}" data-to="{number(self.right)}"'
            f' data-seconds="{number(self.seconds)}"'
        )
        return svg.replace("<svg", f"<svg{axis}", 1)

    def _unrecorded(self) -> str:
        stroke = element("path", d="M0 6L6 0", stroke="currentColor", stroke_width=0.8)
        pattern = element(
            "pattern", stroke, id=f"{self.name}-none", width=6, height=6,
            patternUnits="userSpaceOnUse",
        )  # fmt: skip
        return element("defs", pattern) + "".join(
            element(
                "rect", x=self.x(gap.start), y=self.rows, width=self.x(gap.end) - self.x(gap.start),
                height=self.bottom - self.rows, fill=f"url(#{self.name}-none)",
            )
            for gap in gaps(self.recordings)
        )  # fmt: skip

    def _lines(self) -> list[str]:
        """Return a line for each heading, with a block for each sentence about it."""
        parts = []
        for n, section in enumerate(self.sections):
            y = self.rows + n * ROW
            parts.append(label(self.left - 8, y + 12, section, text_anchor="end", font_size=SMALL))
            rule = f"M{number(self.left)} {number(y + ROW / 2)}H{number(self.right)}"
            parts.append(
                element("path", d=rule, stroke="currentColor", stroke_width=0.6, opacity=0.35)
            )
            blocks = "".join(
                f"M{number(self.x(u.start))} {number(y + 4)}"
                f"h{number(max(self.x(u.end) - self.x(u.start), 1.8))}v{BLOCK}"
                f"H{number(self.x(u.start))}z"
                for u in self.reading.utterances
                if u.section == section
            )
            parts.append(element("path", d=blocks, class_="said"))
        return parts

    def _thirds(self) -> list[str]:
        """Return the band above the lines: where each third lies, and how that is known."""
        parts = []
        spans = thirds(self.reading, self.seconds)
        for n, span in enumerate(spans):
            a, b = self.x(span.start), self.x(span.end)
            dashes: dict[str, str | float] = {} if span.known else {"stroke_dasharray": "4 4"}
            edges = f"M{number(a)} {number(self.top)}V{number(self.bottom)}"
            if n + 1 == len(spans) or spans[n + 1].start > span.end:
                edges += f"M{number(b)} {number(self.top)}V{number(self.bottom)}"
            parts.append(
                element("path", d=edges, stroke="currentColor", stroke_width=1.6, **dashes)
            )
            words = next(
                (w for w in (span.words, span.words.split()[0]) if width_of(w) * 1.1 < b - a - 8),
                "",
            )
            if words:
                parts.append(
                    label(
                        (a + b) / 2, self.top + 17, words, text_anchor="middle", font_weight="bold"
                    )
                )
        return parts

    def _box(self) -> str:
        return element(
            "rect", x=self.left, y=self.top, width=self.right - self.left,
            height=self.bottom - self.top, fill="none", stroke="currentColor", stroke_width=2,
        )  # fmt: skip

    def _labels(self) -> list[str]:
        parts = []
        for event, text, place in zip(self.events, self.labels, self.places, strict=True):
            x = self.x(event.start)
            wedge = f"M{number(x - 4)} {number(self.top - 7)}h8L{number(x)} {number(self.top)}z"
            parts.append(element("path", d=wedge, class_="event"))
            if place:
                y = self.top - LANE * place.lane
                inside = place.left < x < place.right
                leader = f"M{number(x)} {number(self.top - 6)}V{number(y - (5 if inside else 19))}"
                parts.append(element("path", d=leader, stroke="currentColor", stroke_width=1))
                parts.append(label(place.left + 4, y - 9, text, font_size=SMALL))
        return parts

    def _stacks(self) -> Counter[int]:
        """Return how many notes stand in each upright of the note picture."""
        pitch = 2 * DOT + 1
        starts = (d.start for d in self.reading.descriptors if d.polarity == "present")
        return Counter(int((self.x(start) - self.left) / pitch) for start in starts)

    def _dots(self) -> list[str]:
        if not self.stacks:
            return []
        parts = [label(self.left - 8, self.floor - 2, "notes", text_anchor="end", font_size=SMALL)]
        for place, count in sorted(self.stacks.items()):
            x = self.left + (place + 0.5) * (2 * DOT + 1)
            parts += [
                element(
                    "circle", cx=x, cy=self.floor - DOT - 1 - n * self.pitch, r=DOT, class_="note"
                )
                for n in range(count)
            ]  # fmt: skip
        return parts

    def _axis(self) -> list[str]:
        """Return the time axis, with figures as close as they can be read."""
        widest = width_of(chapter_time(int(self.seconds)), SMALL) + 14
        per_minute = (self.right - self.left) * 60 / self.seconds
        minutes = next((m for m in STEPS if m * per_minute >= widest), STEPS[-1])
        minutes *= max(1, ceil(widest / (minutes * per_minute)))
        line = f"M{number(self.left)} {number(self.floor)}H{number(self.right)}"
        parts = [element("path", d=line, stroke="currentColor", stroke_width=1)]
        for at in range(0, int(self.seconds) + 1, minutes * 60):
            x = self.x(at)
            tick = f"M{number(x)} {number(self.floor)}v5"
            parts.append(element("path", d=tick, stroke="currentColor", stroke_width=1))
            half = width_of(chapter_time(at), SMALL) / 2
            parts.append(
                label(
                    min(x, self.width - half), self.floor + 20, chapter_time(at),
                    text_anchor="middle", font_size=SMALL,
                )
            )  # fmt: skip
        return parts

    def _described(self) -> str:
        """Return the picture in words."""
        clock = chapter_time(int(self.seconds))
        parts = [f"{clock} of recording, {len(self.reading.utterances)} sentences."]
        if spans := thirds(self.reading, self.seconds):
            parts.append("; ".join(s.told() for s in spans) + ".")
        if self.labels:
            parts.append(f"Events: {', '.join(self.labels)}.")
        if unrecorded := gaps(self.recordings):
            parts.append("; ".join(g.told() for g in unrecorded) + ".")
        said = Counter(u.section for u in self.reading.utterances)
        if said:
            counted = ", ".join(f"{s} {said[s]}" for s in self.sections)
            parts.append(f"Sentences by heading: {counted}.")
        parts.append(f"Notes named: {sum(self.stacks.values())}.")
        return " ".join(parts)
