"""What the sequence decision may look at: named features of each utterance and its neighbours.

Every feature is a readable string, so that an explanation can name it: `w:` a word, `b:` two
words, `c:` a cue phrase (models/ashdraft_models/cues), `f:` a lexicon family, `n:` a number's
shape, `t:` time; with `-1` or `+1` for the neighbour before or after.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence

from ...model import Kind
from ..lines import Line
from ..notes.nouns import kind
from .voices import voices

_NUMBER_WORDS = frozenset(
    (
        "one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
        "fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty seventy "
        "eighty ninety hundred thousand "
    ).split()
)
_LIVE_SECONDS = 1200.0
_LIVE_WORDS_PER_MINUTE = 75.0


def recorded_as(lines: Sequence[Line]) -> Kind:
    """Notes made while smoking are long and sparse; a narration is dense.

    Live: at least 20 minutes on the clock and under 75 words a minute over it. Common
    practice, no source (unhurried speech is 130 to 180 words a minute).
    """
    if not lines:
        return "narration"
    span = max(line.end for line in lines) - min(line.start for line in lines)
    words = sum(len(line.words()) for line in lines)
    sparse = words * 60.0 < _LIVE_WORDS_PER_MINUTE * span
    return "live" if span >= _LIVE_SECONDS and sparse else "narration"


def _normal(word: str) -> str:
    if word in _NUMBER_WORDS or word[0].isdigit():
        return "<n>"
    return word.replace("\u2019", "'")


def _shapes(line: Line) -> list[str]:
    words = [_normal(w) for w in line.words()]
    text = " ".join(words)
    found = []
    if re.search(r"<n>( and (a|an) \w+| and <n> \w+| and a half)? by", text):
        found.append("n:by")
    if re.search(r"<n> (percent|per cent|%)", text) or "%" in line.text:
        found.append("n:percent")
    if re.search(r"<n> (dollars?|euros?|pounds?|quid|francs?|bucks|rand|rupees|pesos|cents)", text):
        found.append("n:money")
    if re.search(r"[$£€]", line.text):
        found.append("n:money")
    if re.search(r"<n> (minutes?|hours?)|an hour|hour and", text):
        found.append("n:duration")
    if re.search(r"<n> (days?|weeks?|months?|years?)", text):
        found.append("n:rest")
    if re.search(r"(inch|inches|centimetres?|centimeters?|millimetres?|millimeters?|mm|cm)", text):
        found.append("n:length")
    if re.search(r"(out of|outta|of|from) <n>$", text):
        found.append("n:scale")
    if re.fullmatch(r"(\S+ ){1,4}<n>( and (a )?half)?", text):
        found.append("n:mark")
    if "<n>" in words:
        found.append("n:any")
    return found


_TOPICS = (
    "setup", "look", "nose", "burn", "taste", "show", "pair", "verdict", "third", "notes.frame",
)  # fmt: skip


# Cues that tell what a line is about or where in the stick it is. Others serve one rule of the
# notes, counts or facts and would be noise here.
_TELLING = (
    "setup.", "look", "nose", "burn.", "taste.", "show.", "pair", "verdict.", "aside.", "third.",
    "notes.frame.", "notes.topic.", "notes.source.", "notes.smells", "notes.say", "notes.report",
    "notes.colour", "notes.texture",
    "facts.leaf.", "facts.country", "facts.format", "facts.item", "facts.mark-said",
    "counts.lit", "counts.down", "counts.noun", "counts.relight-noun", "counts.relit",
    "counts.object", "counts.flame", "counts.scope.",
)  # fmt: skip


def _domains(line: Line) -> set[str]:
    """Kind letters (animal, person, food ...) of the nouns, `?` for unknown ones."""
    nouns = (t.lower for t in line.tokens if t.pos in ("NOUN", "PROPN"))
    return {kind(noun)[:1] or "?" for noun in nouns}


def _own(line: Line) -> list[str]:
    words = [_normal(w) for w in line.words()]
    found = [f"w:{w}" for w in set(words)]
    found += [f"b:{a} {b}" for a, b in set(itertools.pairwise(words))]
    telling = [c.cue for c in line.cues if c.cue.startswith(_TELLING)]
    found += [f"c:{cue}" for cue in telling]
    found += [f"c:{cue.split('.')[0]}" for cue in telling]
    found += [f"f:{t.family}" for t in line.terms]
    if line.terms:
        found.append(f"f:terms{min(3, len(line.terms))}")
    found += _shapes(line)
    found += parts(line)
    found += [f"d:{letter}" for letter in sorted(_domains(line))]
    if not line.terms and not any(c.cue.startswith(_TOPICS) for c in line.cues):
        found.append("c:none")
    if words:
        found += [f"first:{words[0]}", f"first2:{' '.join(words[:2])}", f"last:{words[-1]}"]
    found.append(f"len:{min(len(words) // 3, 7)}")
    if line.text.rstrip().endswith("?"):
        found.append("ends:?")
    return found


_ORDINALS = {
    "first": 1, "opening": 1, "initial": 1, "1st": 1, "second": 2, "middle": 2, "mid": 2,
    "2nd": 2, "third": 3, "last": 3, "final": 3, "closing": 3, "3rd": 3,
}  # fmt: skip
_CARDINALS = ("one", "two", "three")
_PARTS = frozenset(
    (
        "part bit stage level act phase leg chapter period movement round section verse "
        "portion instalment stretch third scene course innings set lap reel "
    ).split()
)
# Ordinals of these count something else: sticks, times, drinks.
_COUNTED = frozenset(
    (
        "one ones stick sticks cigar cigars time times of coffee cup glass box pair cut box "
        "week month night day year brewery beer rum match try attempt hand draw puff smoke "
        "marriage floor bay "
    ).split()
)


_NTH = {"first": 1, "one": 1, "1": 1, "second": 2, "two": 2, "2": 2, "third": 3, "three": 3, "3": 3}
_OF_THREE = re.compile(
    r"\b(first|one|second|two|third|three|[123]) (?:out )?of (?:the )?(?:three|3)\b"
)
_THIRD_NUMBER = re.compile(r"\bthird (?:number |no )?(one|two|three|[123])\b")


def parts(line: Line) -> list[str]:
    """Ordinals that name a part of the stick, or may: `first leg`, `bit two`, `two of three`."""
    found = []
    for a, b in itertools.pairwise(line.tokens):
        part = _ORDINALS.get(a.lower)
        if part and b.pos in ("NOUN", "PROPN") and b.lower not in _COUNTED:
            found.append(f"part:{part}")
        elliptic = b.pos not in ("NOUN", "PROPN", "ADJ", "NUM") and b.lower not in _COUNTED
        if part and elliptic and a.at and line.text[: a.at].lower().endswith("the "):
            found.append(f"part:{part}")
        if a.lower in _PARTS and b.lower in _CARDINALS:
            found.append(f"part:{_CARDINALS.index(b.lower) + 1}")
    words = " ".join(line.words())
    found += [f"c:third.{_NTH[n]}.named" for n in _OF_THREE.findall(words)]
    found += [f"c:third.{_NTH[n]}.named" for n in _THIRD_NUMBER.findall(words)]
    return found


_ANNOUNCING = re.compile(
    r"^(?:okay|ok|right|so|now|next|then|alright|all right|well|anyway|and now|first|finally|last)"
    r"\b"
    r"|\b(?:moving on|on to|onto|let's|let me|time for|what about|how about|as for|that brings|"
    r"start(?:ing)? with|begin(?:ning)? with|turn(?:ing)? to|over to|back to|get to|come to|"
    r"going to|do the|doing the|talk about|question|part|chapter|card|page|heading|item|number)\b"
)
_SHORT = 10


def _announces(line: Line) -> bool:
    """A short line of the kind that opens a topic: "So, the burn", "What about the price?"."""
    words = line.words()
    if not words or len(words) > _SHORT or line.terms:
        return False
    return bool(_ANNOUNCING.search(" ".join(words))) or line.text.rstrip().endswith((":", "?"))


def _elsewhere(line: Line, voice: list[str]) -> list[str]:
    """The voices of a line, with `v:elsewhere` where another's words name no part of this stick."""
    others = "v:mostly report" in voice or "v:mostly other" in voice
    here = line.has("third.here") or any(line.has(f"third.{k}") for k in (1, 2, 3))
    return [*voice, "v:elsewhere"] if others and not here else voice


def _gap(seconds: float) -> str:
    for limit in (3.0, 8.0, 20.0, 60.0, 180.0):
        if seconds < limit:
            return f"{limit:g}"
    return "long"


def lit_at(lines: Sequence[Line]) -> float | None:
    """Start of the first utterance that speaks of lighting as done or doing, if any."""
    for line in lines:
        if line.has("burn.light") and not line.has("nose.cold"):
            return line.start
    return None


def features(lines: Sequence[Line], recorded: Kind) -> list[list[str]]:
    """Feature names of every line, in order."""
    own = [
        _own(line) + _elsewhere(line, voice)
        for line, voice in zip(lines, voices(lines), strict=True)
    ]
    first, last = (lines[0].start, lines[-1].start) if lines else (0.0, 0.0)
    lit = lit_at(lines)
    span = max(1.0, last - first)
    all_found = []
    for i, line in enumerate(lines):
        found = ["bias", f"kind:{recorded}", *own[i]]
        for offset in (-2, -1, 1, 2):
            j = i + offset
            if not 0 <= j < len(lines):
                found.append(f"edge:{offset:+d}")
                continue
            near = abs(offset) == 1
            keep = ("c:", "f:", "n:", "w:", "d:", "v:", "part:") if near else ("c:",)
            found += [f"{offset:+d}{name}" for name in own[j] if name.startswith(keep)]
        if i + 1 < len(lines) and _announces(line):
            follow = (n for n in own[i + 1] if n.startswith("c:") and "." not in n)
            found += ["announces", *(f"announces:{name}" for name in follow)]
        place = min(9, int(10 * (line.start - first) / span))
        found.append(f"t:{recorded}:{place}")
        before = line.start - lines[i - 1].start if i else 999.0
        after = lines[i + 1].start - line.start if i + 1 < len(lines) else 999.0
        found += [f"t:gap:{recorded}:{_gap(before)}", f"t:gap+1:{recorded}:{_gap(after)}"]
        if recorded == "live" and lit is not None:
            share = (line.start - lit) / max(1.0, last - lit)
            found.append(f"t:lit:{max(-1, min(9, int(10 * share)))}")
            minutes = (line.start - lit) / 60.0
            found.append(f"t:minutes:{max(-1, min(12, int(minutes / 6)))}")
        all_found.append(sorted(set(found)))
    return all_found
