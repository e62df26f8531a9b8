"""The place in a draft that belongs to the tally, between two lines that no reader sees.

Both are link reference definitions (CommonMark 4.7), which every renderer reads and none prints:

    [tally]: <#tally> "Ashdraft writes what follows, down to [tallied]"
    ...
    [tallied]: <#tallied-1a2b3c4d> "The end of it"

The digits are a sum of what stands between, so that words typed there by hand are noticed before
they are written over.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence

BEGIN = '[tally]: <#tally> "Ashdraft writes what follows, down to [tallied]; type nothing here"'
BEGINS = re.compile(r"\[tally\]: ")
ENDS = re.compile(r"\[tallied\]: (?:<#tallied-([0-9a-f]{8})>)?")
OPEN_TOTAL = "Total: open, no mark has been added up."


def block(lines: Sequence[str]) -> list[str]:
    """Return the lines of the block around `lines`, without line ends."""
    return [BEGIN, "", *lines, "", f'[tallied]: <#tallied-{own(lines)}> "The end of it"']


def own(lines: Sequence[str]) -> str:
    """Return the sum of what stands in the block: words only, however they are spaced."""
    words = " ".join(" ".join(lines).split())
    return hashlib.sha256(words.encode()).hexdigest()[:8]
