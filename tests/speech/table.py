"""Speaks labelled scripts in several voices and surroundings and tables what is lost.

    python -m tests.speech.table tests/labelled/dev/d01.yaml --voices heart,joe --lost

Rows are voice and surroundings; columns are word error rate, tasting notes and trade words, as
heard and after repair. `--lost` lists every note and trade word that did not come through.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import yaml
from ashdraft_samples.performance import in_a_room, load_script, perform
from ashdraft_samples.sounds import BEDS
from ashdraft_samples.voices import RATE, VOICES, missing

from .hear import heard, repaired
from .measure import Measured, measure, pooled

GAP = 1.2  # seconds of silence left between the notes of a live session


@dataclass(frozen=True, slots=True)
class Row:
    """One voice in one surroundings over all scripts; `seconds` of recognition and of sound."""

    voice: str
    noise: str
    decibels: float | None
    raw: Measured
    repaired: Measured
    seconds: float
    sound: float


def rows(
    scripts: Sequence[Path],
    voices: Sequence[str],
    surroundings: Sequence[tuple[str, float | None]],
    *,
    model: str = "base",
) -> Iterator[Row]:
    """Speak, dress, hear and measure; one row for each voice and surroundings."""
    for voice in voices:
        spoken = [perform(load_script(s), VOICES[voice], longest_gap=GAP) for s in scripts]
        for noise, decibels in surroundings:
            raw, mended, took, sound = [], [], 0.0, 0.0
            for path, clean in zip(scripts, spoken, strict=True):
                take = clean if decibels is None else in_a_room(clean, noise, decibels)
                began = time.perf_counter()
                utterances = heard(take.sound, model=model)
                took += time.perf_counter() - began
                sound += take.sound.size / RATE
                truth = yaml.safe_load(path.read_text(encoding="utf-8"))["utterances"]
                raw.append(measure(truth, " ".join(u.text for u in utterances)))
                mended.append(measure(truth, " ".join(u.said for u in repaired(utterances))))
            yield Row(voice, noise, decibels, pooled(raw), pooled(mended), took, sound)


def line(row: Row) -> str:
    """One row of the Markdown table."""
    place = "quiet" if row.decibels is None else f"{row.noise} {row.decibels:g} dB"
    cells = [
        f"{before:.3f} / {after:.3f}"
        for before, after in (
            (row.raw.wer, row.repaired.wer),
            (row.raw.notes.recall, row.repaired.notes.recall),
            (row.raw.trade.recall, row.repaired.trade.recall),
        )
    ]
    pace = f"{row.sound / row.seconds:.1f} x"
    return f"| {row.voice} | {place} | {' | '.join(cells)} | {pace} |"


HEAD = (
    "| voice | surroundings | word errors: raw / repaired | notes | trade words | pace |\n"
    "| --- | --- | --- | --- | --- | --- |"
)


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("scripts", nargs="+", type=Path, help="labelled YAML files")
    parser.add_argument("--voices", default="heart,joe", help=f"of {', '.join(VOICES)}")
    parser.add_argument("--noise", default="", help=f"of {', '.join(BEDS)}; quiet is always there")
    parser.add_argument("--decibels", default="20,10,5", help="speech-to-noise ratios")
    parser.add_argument("--model", default="base", help="speech model")
    parser.add_argument("--lost", action="store_true", help="list what did not come through")
    chosen = parser.parse_args(arguments)
    voices = [v for v in chosen.voices.split(",") if v]
    for voice in voices:
        reason = missing(VOICES[voice])
        if reason:
            parser.error(f"{voice} {reason}")
    noisy = [
        (noise, float(level))
        for noise in chosen.noise.split(",")
        for level in chosen.decibels.split(",")
        if noise
    ]
    print(HEAD, flush=True)
    for row in rows(chosen.scripts, voices, [("", None), *noisy], model=chosen.model):
        print(line(row), flush=True)
        if chosen.lost:
            for kind, tally in (("note", row.repaired.notes), ("trade", row.repaired.trade)):
                for lost in tally.lost:
                    print(f"    {kind}: {lost}", flush=True)


if __name__ == "__main__":
    main()
