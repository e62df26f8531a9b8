"""The two commands of README.md, so that CI and the tests run exactly what a reader copies.

python tests/docs/readme.py demo|test
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

README = Path(__file__).parents[2] / "README.md"
NAMES = ("demo", "test")


def commands(text: str) -> dict[str, str]:
    """The one-line `sh` blocks of the README in order: first the demo, then the tests.

    Raises ValueError where there are not exactly two, or one has more than one line.
    """
    blocks = re.findall(r"^```sh\n(.*?)\n```$", text, re.M | re.S)
    if len(blocks) != len(NAMES) or any("\n" in block for block in blocks):
        raise ValueError("README.md must have two sh blocks of one line each")
    return dict(zip(NAMES, blocks, strict=True))


if __name__ == "__main__":
    print(commands(README.read_text(encoding="utf-8"))[sys.argv[1]])
