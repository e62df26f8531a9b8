"""The strict WebVTT reader of the W3C's own test tools (npm webvtt-parser 2.2.0).

It does not look for cue identifiers that occur twice or cues that overlap (tried).
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess

from tests.needs import need

STRICT = """
const { WebVTTParser } = require('webvtt-parser');
const result = new WebVTTParser().parse(require('fs').readFileSync(0, 'utf8'), process.argv[1]);
console.log(JSON.stringify({
  errors: result.errors.map((e) => `${e.line}: ${e.message}`),
  cues: result.cues.map((c) => [c.id, c.startTime, c.endTime, c.text]),
}));
"""


def read(text: str, mode: str = "subtitles") -> dict[str, list[list[object]]]:
    """Return `errors`, and `cues` as id, start, end (seconds) and text.

    `mode` is the kind of file: subtitles or chapters.
    """
    node = shutil.which("node")
    need(node, "Node.js is not installed (Debian package nodejs)")
    where = {**os.environ, "NODE_PATH": os.environ.get("NODE_PATH", "")}
    found = subprocess.run(
        [str(node), "-e", "require('webvtt-parser')"], env=where, capture_output=True, check=False
    )
    need(not found.returncode, "npm package webvtt-parser is not in NODE_PATH")
    done = subprocess.run(
        [str(node), "-e", STRICT, mode],
        input=text,
        env=where,
        capture_output=True,
        text=True,
        check=True,
    )
    result: dict[str, list[list[object]]] = json.loads(done.stdout)
    return result
