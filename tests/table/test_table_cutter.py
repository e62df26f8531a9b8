"""The page cuts sound as the terminal does: `cutter.js` beside `cutting.py`, block by block."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import numpy as np
from ashdraft.serve.pages import Pages
from ashdraft.table.cutting import Cutter

from tests.needs import need
from tests.table.made import RATE, ZERO, later, noise

CUTTER = Pages("ashdraft.table").static / "cutter.js"
SCRIPT = """
import { readFileSync } from "node:fs";
import { Cutter } from "./cutter.js";
const cuts = [];
const cutter = new Cutter((samples, rate, begins) => cuts.push([samples.length, rate, begins]));
const [file, steps] = process.argv.slice(-2);
const sound = new Int16Array(readFileSync(file).buffer.slice(0));
for (const [from, to, rate, at] of JSON.parse(steps)) {
  if (from === to) cutter.end();
  else cutter.add(sound.slice(from, to), rate, at);
}
cutter.end();
console.log(JSON.stringify(cuts));
"""


def test_page_and_terminal_cut_alike(tmp_path: Path) -> None:
    need(shutil.which("node"), "node is not installed (Debian package nodejs)")
    sound = noise(70.0, 5)
    for second in (8, 17, 33, 52):  # quiet places of different depth
        sound[second * RATE : second * RATE + 1500] //= second
    steps: list[tuple[int, int, int, float]] = []
    at, clock = 0, 0.0
    for length in [2048] * 120 + [0] + [1777] * 60 + [2048] * 40:
        clock += length / RATE
        if at > 40 * RATE and clock < 60:
            clock += 20  # the phone slept
        steps.append((at, at + length, RATE, clock))
        at += length
    cutter, ours = Cutter(), []
    for begin, end, rate, now in steps:
        cuts = cutter.add(sound[begin:end], rate, later(now)) if end > begin else cutter.end()
        ours += [(len(cut.samples), cut.rate, (cut.moment - ZERO).total_seconds()) for cut in cuts]
    ours += [
        (len(cut.samples), cut.rate, (cut.moment - ZERO).total_seconds()) for cut in cutter.end()
    ]
    (tmp_path / "sound").write_bytes(sound.tobytes())
    (tmp_path / "run.mjs").write_text(SCRIPT)
    shutil.copy(CUTTER, tmp_path)
    (tmp_path / "package.json").write_text('{"type": "module"}')
    times = json.dumps([(begin, end, rate, now * 1000) for begin, end, rate, now in steps])
    command = ["node", str(tmp_path / "run.mjs"), str(tmp_path / "sound"), times]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    theirs = [(count, rate, begins / 1000) for count, rate, begins in json.loads(done.stdout)]
    assert len(ours) == 7
    assert [cut[:2] for cut in theirs] == [cut[:2] for cut in ours]
    assert np.allclose([cut[2] for cut in theirs], [cut[2] for cut in ours], atol=0.001)
