"""Builds notes_nouns.txt: what kind of thing each common English noun names.

    python -m ashdraft_models.reading.notes_nouns /usr/share/wordnet [--out notes_nouns.txt]

Source: WordNet 3.0 (Debian package wordnet-base), licence in notes_nouns_licence.txt. Kept are
single words in lower case. Each line holds a kind and its nouns; a kind is up to three letters,
one for each of the noun's first senses (WordNet orders senses by frequency):

    f food, p plant, s substance, a artifact, n animal, o natural object, b body, w weather and
    other phenomena, h person or group, l place, t time, q quantity or measure, c thought or word,
    e act, event, state, feeling or quality
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

# Lexicographer file numbers, from the manual page lexnames(5WN).
KINDS = {
    3: "e", 4: "e", 5: "n", 6: "a", 7: "e", 8: "b", 9: "c", 10: "c", 11: "e", 12: "e", 13: "f",
    14: "h", 15: "l", 16: "e", 17: "o", 18: "h", 19: "w", 20: "p", 21: "h", 22: "e", 23: "q",
    24: "e", 25: "e", 26: "e", 27: "s", 28: "t",
}  # fmt: skip
SENSES = 3
HEADER = "# Nouns and the kinds of thing they name; built by notes_nouns.py from WordNet 3.0.\n"


def _records(path: Path) -> Iterator[list[str]]:
    with path.open(encoding="utf-8") as lines:
        for line in lines:
            if not line.startswith(" "):
                yield line.split()


def build(folder: Path) -> str:
    """The text of notes_nouns.txt from WordNet's data.noun and index.noun."""
    written: dict[str, str] = {}
    kind_of: dict[str, str] = {}
    for fields in _records(folder / "data.noun"):
        kind_of[fields[0]] = KINDS[int(fields[1])]
        for word in fields[4 : 4 + 2 * int(fields[3], 16) : 2]:
            written.setdefault(word.lower(), word)
            if word.islower():
                written[word.lower()] = word
    groups: dict[str, list[str]] = {}
    for fields in _records(folder / "index.noun"):
        word, senses = fields[0], fields[-int(fields[2]) :]
        if re.fullmatch(r"[a-z]{2,}(-[a-z]+)*", word) and written[word].islower():
            kinds = "".join(dict.fromkeys(kind_of[s] for s in senses[:SENSES]))
            groups.setdefault(kinds, []).append(word)
    return HEADER + "".join(f"{k} {' '.join(groups[k])}\n" for k in sorted(groups))


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--out", type=Path, default=Path(__file__).with_name("notes_nouns.txt"))
    asked = parser.parse_args(arguments)
    asked.out.write_text(build(asked.folder), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
