"""Makes english.txt and english.npz, the general English that the repair weighs against.

    python -m ashdraft_models.repair.build_english DICTIONARY UNIGRAMS PAIRS

DICTIONARY is cmudict.dict of the CMU Pronouncing Dictionary. UNIGRAMS (word, log10 probability,
log10 back-off weight) and PAIRS (first word, second word, log10 probability), both separated by
tabs, come from the US English language model of CMU Sphinx (en-us.lm.bin as in Debian's
pocketsphinx-en-us), printed with the functions of its library sphinxbase. Licences of both:
english_licence.txt.
"""

from __future__ import annotations

import argparse
import re
from pathlib import Path

import numpy as np
from ashdraft.repair.english import _PAIRED, _STEP, FOLDER
from ashdraft.repair.sounds import arpabet
from ashdraft.rules.data import lexicon
from ashdraft.rules.nlp import plural

MOST_PAIRS = 260_000
_WORD = re.compile(r"[a-z]+(?:'[a-z]+)*$")


def pronunciations(dictionary: Path) -> dict[str, list[str]]:
    """Word to its pronunciations, one letter a sound."""
    found: dict[str, list[str]] = {}
    for line in dictionary.read_text(encoding="utf-8").splitlines():
        word, _, symbols = line.split("#")[0].strip().partition(" ")
        sounds = arpabet(symbols.split())
        spellings = found.setdefault(re.sub(r"\(\d+\)$", "", word), [])
        if sounds not in spellings:
            spellings.append(sounds)
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    for name in ("dictionary", "unigrams", "pairs"):
        parser.add_argument(name, type=Path)
    chosen = parser.parse_args()
    sounds = pronunciations(chosen.dictionary)
    rows: list[tuple[float, str, float]] = []
    for line in chosen.unigrams.read_text(encoding="utf-8").splitlines():
        word, common, back = line.split("\t")
        if _WORD.match(word) and word in sounds:
            rows.append((-float(common), word, -float(back)))
    listed = {word for _, word, _ in rows}
    terms = {w for t in lexicon() for form in (t, plural(t)) for w in form.split()}
    rows += [(8.8, word, 0.0) for word in sorted(terms - listed) if word in sounds]
    rows.sort()
    places = {word: n for n, (_, word, _) in enumerate(rows)}
    head = (
        "# Word, -log10 of its probability, -log10 of its back-off weight, pronunciations.\n"
        "# From the CMU Pronouncing Dictionary and the CMU Sphinx US English language model;\n"
        "# see build_english.py and english_licence.txt.\n"
    )
    lines = [f"{w}\t{c:.3g}\t{b:.2g}\t{' '.join(sounds[w][:3])}\n" for c, w, b in rows]
    (FOLDER / "english.txt").write_text(head + "".join(lines), encoding="utf-8")
    pairs: list[tuple[float, int, float]] = []
    for line in chosen.pairs.read_text(encoding="utf-8").splitlines():
        first, second, log = line.split("\t")
        a, b = places.get(first, _PAIRED), places.get(second, _PAIRED)
        if a < _PAIRED and b < _PAIRED:
            pairs.append((rows[a][0] - float(log), a * _PAIRED + b, -float(log)))
    kept = sorted((key, log) for _, key, log in sorted(pairs)[:MOST_PAIRS])
    keys = np.array([key for key, _ in kept], dtype=np.uint64)
    gaps = np.diff(keys, prepend=np.uint64(0)).astype(np.uint32)
    steps = np.array([min(255, round(log * _STEP)) for _, log in kept], dtype=np.uint8)
    np.savez_compressed(FOLDER / "english.npz", gaps=gaps, steps=steps)


if __name__ == "__main__":
    main()
