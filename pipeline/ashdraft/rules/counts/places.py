"""Words that place something in a third of the stick, for counts told without a placed line."""

from __future__ import annotations

import re

ORDER = {
    1: r"(?:first|opening|1st|initial) (?:third|leg|stage|part|act|period|movement|bit|half|"
        r"section|session|"
       r"inch|instalment|portion|chapter|stretch)|beginning|start|top|opening|outset|attack|"
       r"the first(?! (?:one|two|time|stick|cigar|of the))|in bud|early(?: on)?|front|"
       r"out of the gate|off the bat|from the off|the off|get go|straight away|right away",
    2: r"(?:second|middle|2nd|mid) (?:third|leg|stage|part|act|period|movement|bit|section|"
        r"session|instalment|"
       r"portion|chapter|stretch)|middle|half way|halfway|mid way|the second|the mid|centre|center",
    3: r"(?:third|last|final|closing|3rd) (?:third|leg|stage|part|act|period|movement|bit|"
        r"section|session|"
       r"inch|inches|instalment|portion|chapter|stretch|knockings)|end|bottom|finish|nub|the "
       r"last(?! (?:one|time|stick|cigar|of))|"
       r"the final|the third(?! (?:one|time|stick))|close|late(?: on)?|home stretch|tail",
}  # fmt: skip
PLACES = {third: re.compile(rf"\b(?:{words})\b") for third, words in ORDER.items()}


def place_in(text: str) -> int | None:
    """The third that a few words name; None for none or for more than one."""
    named = [third for third, words in PLACES.items() if words.search(text)]
    return named[0] if len(named) == 1 else None
