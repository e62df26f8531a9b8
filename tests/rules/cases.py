"""Reads the readable fixtures of counts, facts and marks (see the head of each file)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from ashdraft.model import Section
from ashdraft.rules.lines import Line
from ashdraft.rules.place.model import Placed

FOLDER = Path(__file__).parent / "fixtures"


@dataclass(frozen=True, slots=True)
class Case:
    """A titled fixture: spoken lines with their places, expectations and wanted checks."""

    title: str
    kind: str
    spoken: tuple[tuple[str, str], ...]
    wanted: tuple[str, ...]
    checks: tuple[str, ...]

    @property
    def written(self) -> bool:
        """True for a case that depends on punctuation or capitals."""
        return self.title.endswith("(written)")


def read_cases(name: str) -> list[Case]:
    """The cases of one fixture file."""
    cases = []
    for block in re.split(r"^## ", (FOLDER / name).read_text(encoding="utf-8"), flags=re.M)[1:]:
        title, *rest = [line.strip() for line in block.splitlines()]
        kind, spoken, wanted, checks = "", [], [], []
        for line in rest:
            if not line or line.startswith("#"):
                continue
            if line in ("live", "told"):
                kind = line
            elif line.startswith("="):
                wanted.append(line[1:].strip())
            elif line.startswith("?"):
                checks.append(line[1:].strip())
            else:
                spoken.append(_spoken(line))
        cases.append(Case(title, kind, tuple(spoken), tuple(wanted), tuple(checks)))
    return cases


def _spoken(line: str) -> tuple[str, str]:
    """The place of a line, "" where none is given, and its words."""
    if match := re.fullmatch(r"\[([^]]*)\] *(.*)|([0-4-][^|]*)\| *(.*)", line):
        place, text, other, said = match.groups()
        return (place, text) if place is not None else (other, said)
    return "", line


def raw(text: str) -> str:
    """The same words as a raw recogniser gives them."""
    text = re.sub(r"(?<=\d)[.,](?=\d)", "\0", text.lower())
    text = re.sub(r"[^\w\s'’%$£€/½¼¾\0-]", " ", text).replace("\0", ".")
    return " ".join(text.replace("-", " ").split())


def lines(case: Case, *, bare: bool = False) -> tuple[Line, ...]:
    """The lines of a case, spoken one right after the other."""
    made = []
    at = 0.0
    for n, (_, text) in enumerate(case.spoken):
        said = raw(text) if bare else text
        end = at + 0.4 * max(1, len(said.split()))
        made.append(Line(n, at, end, said, ()))
        at = end + 0.5
    return tuple(made)


SECTIONS: dict[str, Section] = {
    "setup": "setup", "appearance": "appearance", "pre-light": "pre-light", "palate": "palate",
    "burn": "burn", "presentation": "presentation", "pairing": "pairing", "verdict": "verdict",
    "aside": "aside",
}  # fmt: skip


def placed(case: Case, default: Section) -> tuple[Placed, ...]:
    """Where the fixture says its lines belong: `[burn 2]`, `[burn down]`, `2 palate|`, `4|`."""
    made = []
    current = 0
    for place, _ in case.spoken:
        words = place.split()
        section = next((SECTIONS[w] for w in words if w in SECTIONS), default)
        number = next((w for w in words if w in ("0", "1", "2", "3", "4", "-")), "")
        third = int(number) if number in ("1", "2", "3") else None
        if number and number != "-":
            current = int(number)
        if "down" in words:
            current = 4
        told = third if section in ("burn", "palate") else None
        made.append(Placed(section, told, "said" if told else None, 0.9, current))
    return tuple(made)
