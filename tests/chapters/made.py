"""Listings that are hard to write, and the tools that read them back."""

from __future__ import annotations

import json
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ashdraft.chapters import Entry, Listing

from tests.needs import need

HARD = (
    "a = b ; c #1 \\ d",
    "Burn & ash <i>slow</i> --> done",
    "\N{HEBREW LETTER SHIN}\N{HEBREW LETTER LAMED} \N{ARABIC LETTER WAW} right to left",
    "\N{FIRE} emoji \N{WAVING BLACK FLAG}",
    "=;#\\",
    '"quoted" \'s {{ braces }} | pipe',
)


def listing(*entries: tuple[int, str], length: int) -> Listing:
    return Listing(tuple(Entry(start, title) for start, title in entries), length)


LISTINGS = {
    "none": listing(length=60_000),
    "one": listing((0, "All of it"), length=60_000),
    "hard": listing(*((i * 12_000, t) for i, t in enumerate(HARD)), length=80_000),
    "rounded": listing((0, "A"), (60_000, "At 59.9996 s"), (119_999, "B"), length=3_600_000),
    "long": listing(
        (0, "A"), (36_000_001, "After ten hours"), (359_999_999, "B"), length=4 * 10**8
    ),
    "many": listing(*((i * 10_007, f"Part {i}") for i in range(300)), length=300 * 10_007),
}


@dataclass(frozen=True)
class Found:
    """One chapter as another program reads it: milliseconds and the title."""

    start: int
    end: int
    title: str


def expected(made: Listing) -> list[Found]:
    return [Found(s.start, s.end, s.title) for s in made.spans()]


def tool(name: str, package: str) -> str:
    found = shutil.which(name)
    need(found, f"{name} is not installed (Debian package {package})")
    return str(found)


def run(*command: str | Path) -> str:
    """Return what the command prints; it must end well."""
    done = subprocess.run([str(c) for c in command], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def ffprobe(path: Path, *more: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(
        run(tool("ffprobe", "ffmpeg"), "-v", "error", "-show_chapters", *more, "-of", "json", path)
    )
    return found


def ffprobe_chapters(path: Path) -> list[Found]:
    """Chapters by start: ffprobe lists those of an ID3 tag in the order it finds them."""
    return sorted(
        (
            Found(
                round(float(c["start_time"]) * 1000),
                round(float(c["end_time"]) * 1000),
                c["tags"]["title"].rstrip(),
            )
            for c in ffprobe(path)["chapters"]
        ),
        key=lambda c: c.start,
    )
