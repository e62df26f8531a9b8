"""Ashdraft beside the recogniser it is built on: time, memory, words; see docs/performance.md.

python -m tests.performance.bench                          everything, a good hour on two cores
python -m tests.performance.bench --minutes 4 2 --pairs 1  a small one, to see that it runs
python -m tests.performance.bench --write docs/performance.md

The programs run in turn, so that what else the machine does hits all of them; figures are medians.
Processor seconds are given beside those of the clock: they can be compared on a busy machine too.
"""

from __future__ import annotations

import argparse
import os
import re
import statistics
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from ashdraft.options import Options
from ashdraft.transcribe.weights import find_model, ready

from tests.performance.runs import Ran, run
from tests.performance.sounds import Made, make
from tests.speech.measure import measure

BEGIN, END = "<!-- measured -->", "<!-- end of measured -->"
HEAD = ("| sound | what | seconds | of processor | to ours | of processor | peak MB | words |"
        " errors |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- |")  # fmt: skip
NAMES = {
    "ours": "`ashdraft write`, to the draft",
    "again": "`ashdraft write` once more, all recognised",
    "plain": "peer, default call",
    "vad": "peer, `vad_filter=True`",
    "batched": "peer, batched, 8",
}


@dataclass(frozen=True, slots=True)
class Row:
    """Medians of one program on one sound; `words` heard, `errors` by words said."""

    how: str
    wall: float
    cpu: float
    peak: float
    words: int
    errors: float


def row(how: str, runs: Sequence[Ran], made: Made) -> Row:
    """The medians of `runs`; what was heard is the same in all of them."""
    measured = measure([{"text": made.words, "descriptors": []}], runs[0].text)
    return Row(
        how,
        statistics.median(one.wall for one in runs),
        statistics.median(one.cpu for one in runs),
        statistics.median(one.peak for one in runs),
        len(runs[0].text.split()),
        measured.wer,
    )


def lines(sound: str, rows: Sequence[Row]) -> list[str]:
    """Table rows; ratios are ours divided by the other."""
    ours = next(one for one in rows if one.how == "ours")
    told = []
    for one in rows:
        cells = [
            sound, NAMES[one.how], f"{one.wall:.1f}", f"{one.cpu:.1f}",
            f"{ours.wall / one.wall:.2f}", f"{ours.cpu / one.cpu:.2f}", f"{one.peak:.0f}",
            str(one.words), f"{one.errors:.3f}",
        ]  # fmt: skip
        told.append(f"| {' | '.join(cells)} |")
    return told


def compare(
    made: Made, name: str, programs: Sequence[str], pairs: int, threads: int, folder: Path
) -> list[str]:
    model = ready(find_model(Options((made.path,), model="base")))
    runs: dict[str, list[Ran]] = {how: [] for how in programs}
    for number in range(pairs):
        for how in programs:
            if how == "plain" and number:
                continue  # many times slower than the others; once shows that
            runs[how].append(run(how, made.path, model, threads, folder))
            last = runs[how][-1]
            print(f"{name}: {how} {last.wall:.1f} s, {last.cpu:.1f} of processor,"
                  f" {last.peak:.0f} MB", flush=True)  # fmt: skip
    return lines(name, [row(how, found, made) for how, found in runs.items()])


def replaced(page: Path, table: str) -> None:
    """Put the table between the marks of `page`."""
    text = page.read_text("utf-8")
    inside = f"{BEGIN}\n{table}\n{END}"
    page.write_text(
        re.sub(f"{BEGIN}.*{END}", lambda _: inside, text, flags=re.DOTALL), encoding="utf-8"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--minutes", type=float, nargs="*", default=[90, 10, 180],
                        help="of the sparse, the dense and the longest session")  # fmt: skip
    parser.add_argument("--pairs", type=int, default=3)
    parser.add_argument("--threads", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--plain", action="store_true", help="also the peer's default call")
    parser.add_argument("--write", type=Path, help="page to write the table into")
    asked = parser.parse_args()
    plain = ["plain"] if asked.plain else []
    plans = [
        ("sparse", ["vad", "batched", "ours", "again", *plain], asked.pairs),
        ("dense", ["batched", "ours", "again"], asked.pairs),
        ("sparse", ["ours", "again"], 1),
    ]
    table = [HEAD]
    with tempfile.TemporaryDirectory() as name:
        for (kind, programs, pairs), minutes in zip(plans, asked.minutes, strict=False):
            made = make(Path(name), kind, minutes)
            sound = f"{minutes:g} min {kind}"
            table += compare(made, sound, programs, pairs, asked.threads, Path(name))
    load = " ".join(f"{number:.1f}" for number in os.getloadavg())
    about = (f"{date.today()}, {asked.threads} threads of {os.cpu_count()}, `base`, int8, medians"
             f" of {asked.pairs}, load at the end {load}.")  # fmt: skip
    told = "\n".join([*table, "", about])
    print(told)
    if asked.write:
        replaced(asked.write, told)


if __name__ == "__main__":
    main()
