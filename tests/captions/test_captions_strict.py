"""WebVTT by the strict reader of the W3C's own test tools (npm webvtt-parser 2.2.0).

It does not look for cue identifiers that occur twice or cues that overlap (references 1.1), so
both are checked here as well.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from itertools import pairwise

import pytest
from ashdraft.captions import Cue, cues, vtt

from tests.captions.speech import LONG, said, timed
from tests.needs import need

STRICT = """
const { WebVTTParser } = require('webvtt-parser');
const result = new WebVTTParser().parse(require('fs').readFileSync(0, 'utf8'), 'subtitles');
console.log(JSON.stringify({
  errors: result.errors.map((e) => `${e.line}: ${e.message}`),
  cues: result.cues.map((c) => [c.id, c.startTime, c.endTime, c.text]),
}));
"""


def read(text: str) -> dict[str, list[list[object]]]:
    node = shutil.which("node")
    need(node, "Node.js is not installed (Debian package nodejs)")
    where = {**os.environ, "NODE_PATH": os.environ.get("NODE_PATH", "")}
    found = subprocess.run(
        [str(node), "-e", "require('webvtt-parser')"], env=where, capture_output=True, check=False
    )
    need(not found.returncode, "npm package webvtt-parser is not in NODE_PATH")
    done = subprocess.run(
        [str(node), "-e", STRICT], input=text, env=where, capture_output=True, text=True, check=True
    )
    result: dict[str, list[list[object]]] = json.loads(done.stdout)
    return result


HOSTILE = "a & b < c --> d \u05e9\u05dc\u05d5\u05dd \N{LEAF FLUTTERING IN WIND} <b>NOTE</b> &amp;"


@pytest.mark.parametrize(
    "made",
    [
        (),
        cues([said(LONG, 0, 12), said(HOSTILE, 12.2, 20), said("WEBVTT", 59.9996, 61)]),
        cues([said(LONG, 1, 9), said(LONG, 3, 9), said("Over ten hours.", 36_100, 36_102)]),
        cues([said(LONG, t, t + 15, timed(LONG, t, 0.4)) for t in range(0, 4500, 15)]),
    ],
    ids=["none", "hostile", "overlapping", "many"],
)
def test_strict_reader_finds_no_fault(made: tuple[Cue, ...]) -> None:
    text = vtt(made)
    result = read(text)
    assert result["errors"] == []
    seconds = [s for cue in result["cues"] for s in cue[1:3]]
    assert seconds == pytest.approx([ms / 1000 for c in made for ms in (c.start, c.end)])
    assert {c[0] for c in result["cues"]} <= {""}
    blocks = text.split("\n\n")[1:]
    assert all(re.match(r"\d\d+:\d\d:", block) for block in blocks)  # no identifier line at all
    assert all(a.end <= b.start for a, b in pairwise(made))


def test_strict_reader_does_find_faults() -> None:
    assert read("WEBVTT\n\n00:02.000 --> 00:01.000\na & b\n")["errors"]
