"""How far two pronunciations are from each other: a weighted edit distance over sounds.

The distance of Wagner and Fischer, "The string-to-string correction problem", JACM 21 (1974),
with costs that grow with the difference in articulation, after Kondrak, "A new algorithm for the
alignment of phonetic sequences", NAACL 2000 (place, manner and voice of consonants; height,
backness and glide of vowels). 1.0 is about one wrong consonant.
"""

from __future__ import annotations

from .sounds import VOWELS

# Place from the lips (0) to the throat (10), manner from stop to glide, voice.
_CONSONANTS = {
    "p": (0, "stop", 0), "b": (0, "stop", 1), "m": (0, "nasal", 1), "w": (0, "glide", 1),
    "f": (1, "hiss", 0), "v": (1, "hiss", 1), "T": (2, "hiss", 0), "D": (2, "hiss", 1),
    "t": (3, "stop", 0), "d": (3, "stop", 1), "n": (3, "nasal", 1), "l": (3, "liquid", 1),
    "r": (4, "liquid", 1), "s": (3, "hiss", 0), "z": (3, "hiss", 1), "S": (5, "hiss", 0),
    "Z": (5, "hiss", 1), "c": (5, "affricate", 0), "j": (5, "affricate", 1), "y": (6, "glide", 1),
    "k": (8, "stop", 0), "g": (8, "stop", 1), "N": (8, "nasal", 1), "h": (10, "hiss", 0),
}  # fmt: skip
_MANNERS = {
    frozenset(pair): cost
    for *pair, cost in (
        ("stop", "hiss", 0.5), ("stop", "affricate", 0.3), ("stop", "nasal", 0.6),
        ("stop", "liquid", 0.7), ("stop", "glide", 0.8), ("hiss", "affricate", 0.25),
        ("hiss", "nasal", 0.8), ("hiss", "liquid", 0.7), ("hiss", "glide", 0.7),
        ("affricate", "nasal", 0.9), ("affricate", "liquid", 0.9), ("affricate", "glide", 0.9),
        ("nasal", "liquid", 0.5), ("nasal", "glide", 0.7), ("liquid", "glide", 0.3),
    )
}  # fmt: skip
# Height (0 open to 4 close), backness (0 front to 2 back), where a glide leads ("" nowhere).
_VOWELS = {
    "i": (3.5, 0.3, ""), "I": (4, 0, ""), "e": (2, 0, ""), "A": (1, 0, ""), "x": (2, 1, ""),
    "a": (0, 1.5, ""), "o": (1, 2, ""), "U": (3.5, 1.7, ""), "u": (4, 2, ""), "R": (2, 1, "r"),
    "E": (2.5, 0, "y"), "O": (2.5, 2, "w"), "Y": (0, 1, "y"), "Q": (0, 1, "w"), "J": (2, 2, "y"),
}  # fmt: skip
# Sounds that are easily lost in speech, or heard where there are none.
_LOOSE = {
    "x": 0.25, "h": 0.3, "i": 0.4, "y": 0.35, "w": 0.4, "r": 0.5, "t": 0.5, "d": 0.5, "z": 0.6,
    "s": 0.7, "n": 0.55, "m": 0.7, "l": 0.6, "D": 0.6, "v": 0.7, "R": 0.5,
}  # fmt: skip
_LOST_VOWEL, _LOST_CONSONANT = 0.6, 0.9
_ACROSS = 1.3  # a vowel for a consonant
_ALIKE = {
    frozenset(pair): cost
    for pair, cost in (
        ("Rr", 0.2), ("uw", 0.3), ("Iy", 0.3), ("iy", 0.4), ("Ol", 0.6), ("xl", 0.6), ("Ul", 0.6),
        ("bv", 0.35), ("mn", 0.3), ("nN", 0.2),
    )
}  # fmt: skip
_TAP = 0.1  # t and d, which sound the same between vowels in American speech


def _substitution(a: str, b: str) -> float:
    if a == b:
        return 0.0
    if (known := _ALIKE.get(frozenset((a, b)))) is not None:
        return known
    if {a, b} == {"t", "d"}:
        return 0.15 + _TAP
    if a in VOWELS and b in VOWELS:
        (h1, b1, g1), (h2, b2, g2) = _VOWELS[a], _VOWELS[b]
        reduced = 0.6 if "x" in (a, b) else 1.0
        return min(0.8, reduced * (0.11 * abs(h1 - h2) + 0.14 * abs(b1 - b2) + 0.2 * (g1 != g2)))
    if a in VOWELS or b in VOWELS:
        return _ACROSS
    (p1, m1, v1), (p2, m2, v2) = _CONSONANTS[a], _CONSONANTS[b]
    manner = 0.0 if m1 == m2 else _MANNERS[frozenset((m1, m2))]
    place = min(0.6, 0.15 * abs(p1 - p2))
    return min(1.2, 0.25 * (v1 != v2) + place + manner)


_SOUNDS = (*_CONSONANTS, *_VOWELS)
COST = {a: {b: _substitution(a, b) for b in _SOUNDS} for a in _SOUNDS}
LOSS = {s: _LOOSE.get(s, _LOST_VOWEL if s in VOWELS else _LOST_CONSONANT) for s in _SOUNDS}
_CHEAPEST = min(LOSS.values())


def distance(heard: str, meant: str, limit: float = 9.0) -> float:
    """The cost of turning one string of sounds into the other, at most `limit`."""
    if abs(len(heard) - len(meant)) * _CHEAPEST >= limit:
        return limit
    columns = [(other, LOSS[other]) for other in meant]
    row = [0.0]
    for _, gained in columns:
        row.append(row[-1] + gained)
    for sound in heard:
        lost, costs = LOSS[sound], COST[sound]
        diagonal = row[0]
        left = lowest = diagonal + lost
        after = [left]
        for j, (other, gained) in enumerate(columns, start=1):
            above = row[j]
            best = diagonal + costs[other]
            if above + lost < best:
                best = above + lost
            if left + gained < best:
                best = left + gained
            after.append(best)
            diagonal, left = above, best
            if best < lowest:
                lowest = best
        if lowest >= limit:
            return limit
        row = after
    return min(limit, row[-1])
