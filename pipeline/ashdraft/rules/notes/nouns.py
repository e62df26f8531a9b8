"""What kind of thing a noun names, as evidence that it can name a note.

The kinds and their letters are explained in models/ashdraft_models/reading/notes_nouns.py.
"""

from __future__ import annotations

from functools import cache

import ashdraft_models

from ...errors import DataDamaged

CONCRETE = frozenset("fpsanobw")


@cache
def _kinds() -> dict[str, str]:
    path = ashdraft_models.ROOT / "reading" / "notes_nouns.txt"
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise DataDamaged(f"{path.name} cannot be read: {error}", "Install again.") from error
    found: dict[str, str] = {}
    for line in lines:
        if not line.startswith("#"):
            kinds, *words = line.split()
            found.update(dict.fromkeys(words, kinds))
    return found


def singulars(word: str) -> tuple[str, ...]:
    """A noun and what it may be the plural of."""
    forms = [word]
    if word.endswith("ies") and len(word) > 4:
        forms.append(word[:-3] + "y")
    if word.endswith("es") and len(word) > 3:
        forms.append(word[:-2])
    if word.endswith("s") and not word.endswith("ss") and len(word) > 3:
        forms.append(word[:-1])
    return tuple(forms)


@cache
def kind(word: str) -> str:
    """The kind letters of a noun, plural or not; empty where it is not known."""
    known = _kinds()
    for form in (word, *(f for f in singulars(word) if f != word)):
        if form in known:
            return known[form]
    return ""
