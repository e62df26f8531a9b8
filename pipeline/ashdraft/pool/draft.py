"""`pooled.md`: one draft from several sticks, in the reviewers' own sentences."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from .. import __version__
from ..assemble.markdown import added, escape, items, one_line, quoted
from ..assemble.placing import OBTAINED, place
from ..assemble.prose import prose
from ..assemble.times import clock
from ..sheet.fill import THIRDS
from .coverage import status
from .lists import families, in_short
from .opposites import Contradiction, Remark
from .palate import palate
from .pooled import Group, Pool, numbered
from .sheet import PERSONAL, scores
from .sticks import Stick
from .tables import burn, capital, money, rated, side_by_side, sizes, storage, summarised
from .voices import Voice, definitions, tag, told

HOW_TO_READ = (
    "Plain text is the reviewers' own, with the stick and the time before it. What stands in "
    "italics, in a list or in a table was added by Ashdraft and can be deleted. The figures are "
    "of these sticks and no others."
)
CAUTION = (
    "These are adults' notes on a few sticks, for adults of legal age where they live. Smoking "
    "harms your health and that of people around you, and nicotine is addictive; no mark or "
    "figure here recommends smoking, and nothing here is medical advice. Smoke where it cannot "
    "start a fire, and see that what you put down is out."
)
"""As in a draft, after the points of age, health and fire. Off only when asked."""
QUOTES = 2
"""Quotations of one stick on one side of a contradiction; the times of the others follow."""
SEVERAL_SIZES = "Sizes are kept apart: nothing is pooled across them."


def pooled_draft(pool: Pool, title: str, charts: Sequence[str], *, caution: bool) -> str:
    """Return the draft. `charts` are the file names of the pictures, one for each size."""
    voices = [Voice(stick, place(stick.reading)) for stick in pool.sticks]
    several = len(pool.groups) > 1
    parts = [
        _front_matter(pool, title, voices),
        added(HOW_TO_READ),
        _obtained(voices),
        "## The sticks",
        side_by_side(pool.sticks),
        storage(pool),
        added(SEVERAL_SIZES) if several else "",
        sizes(pool),
    ]
    for group, chart in zip(pool.groups, charts, strict=True):
        if several:
            parts.append(f"## {capital(escape(group.of.size.words))}: {_which(group)}")
        parts += _group(group, voices, chart, 3 if several else 2)
    parts += ["## Check before publishing", _checks(pool)]
    if caution:
        parts += ["## Caution", added(CAUTION)]
    parts.append(definitions(voices))
    return "\n\n".join(part for part in parts if part) + "\n"


def _group(group: Group, voices: Sequence[Voice], chart: str, level: int) -> list[str]:
    head = "#" * level
    own = [v for v in voices if v.stick in group.sticks]
    sections = (
        ("In short", items(_in_short(group))),
        ("Introductions", told(own, ("setup", 0))),
        ("Appearance", _told(group, own, "appearance")),
        ("Before lighting", _told(group, own, "pre-light")),
    )
    after = (
        ("Notes by family", _families(group, chart)),
        ("Burn", _burn(group, own)),
        ("Presentation and value", _told(group, own, "presentation", money(group))),
        ("Pairings", told(own, ("pairing", 0)) or added("Not mentioned.")),
        ("Verdict", _told(group, own, "verdict")),
        ("Where the sticks disagree", _disagreements(group)),
        ("Score sheet", f"{added(PERSONAL)}\n\n{scores(group)}"),
        ("Loose notes", told(own, ("loose", 0)) or added("Every sentence found its place.")),
    )
    return [
        *(f"{head} {name}\n\n{text}" for name, text in sections if text),
        palate(group, own, level),
        *(f"{head} {name}\n\n{text}" for name, text in after),
    ]


def _families(group: Group, chart: str) -> str:
    block = f"One block is one of {len(group.sticks)} sticks that names the family in that third."
    picture = f"![Families of notes by third]({chart})"
    return "\n\n".join((picture, added(block), families(group.taste)))


def _told(group: Group, voices: Sequence[Voice], section: str, between: str = "") -> str:
    parts = (status(section, group.sticks), between, told(voices, (section, 0)))
    return "\n\n".join(part for part in parts if part)


def _burn(group: Group, voices: Sequence[Voice]) -> str:
    parts = [status("burn", group.sticks), burn(group)]
    for third, name in enumerate(THIRDS, start=1):
        parts.append(told(voices, ("burn", third), added(f"{name.capitalize()}.")))
    parts.append(told(voices, ("burn", 0), added("The whole smoke.")))
    return "\n\n".join(part for part in parts if part)


def _in_short(group: Group) -> list[str]:
    """Return the few lines that an article is built round, all of them counted."""
    found = group.measures
    lines = in_short(group) if len(group.sticks) > 1 else []
    lines.append(f"Touched up: {rated(found.touched_up)}")
    lines.append(f"Relit: {rated(found.relit)}")
    lines.append(f"Smoking time: {summarised(found.minutes, ' min', 0)}")
    lines += [
        f"Overall total ({escape(sheet.name)}): {summarised(sheet.total, '', 2)}"
        for sheet in group.sheets
        if sheet.total
    ]
    about = [c.about for c in group.contradictions]
    if about:
        lines.append(f"{added('The sticks disagree on:')} {escape(', '.join(about))}")
    return lines


def _disagreements(group: Group) -> str:
    if not group.contradictions:
        return added("No opposites were found in what was said.")
    return "\n\n".join(_disagreement(c, group.sticks) for c in group.contradictions)


def _disagreement(found: Contradiction, sticks: Sequence[Stick]) -> str:
    lines = []
    for side, remarks in found.sides:
        told_by = sorted({r.stick for r in remarks})
        quotes = "; ".join(_quotes(remarks, stick) for stick in sticks if stick.number in told_by)
        lines.append(f"{added(f'{escape(side)}, {numbered(told_by)}:')} {quotes}")
    return f"{added(f'{capital(escape(found.about))}.')}\n\n{items(lines)}"


def _quotes(remarks: Sequence[Remark], stick: Stick) -> str:
    """Return the first remarks of a stick, and when the others were made."""
    own = [r for r in remarks if r.stick == stick.number]
    shown = "; ".join(
        f"{quoted(r.quote)} ({tag(stick)}, {clock(r.start)}{_in_third(r)})" for r in own[:QUOTES]
    )
    more = ", ".join(clock(r.start) for r in own[QUOTES:])
    return f"{shown}, more at {more}" if more else shown


def _in_third(remark: Remark) -> str:
    return f", {THIRDS[remark.place - 1]}" if isinstance(remark.place, int) else ""


def _obtained(voices: Sequence[Voice]) -> str:
    """Return how each stick was obtained: this is never left out."""
    parts = ["## How they were obtained"]
    for voice in voices:
        typed = voice.stick.facts.get("obtained")
        said = voice.places.disclosing
        state = f" Typed: {typed}." if typed else " Said." if said else " Not mentioned."
        moved = voice.places.at(*OBTAINED)
        quotes = [f"> {escape(u.text)}" for u in said if u not in moved]
        parts += [added(f"{tag(voice.stick)}.{state}"), prose(moved), "\n".join(quotes)]
    return "\n\n".join(part for part in parts if part)


def _checks(pool: Pool) -> str:
    lines = [escape(check.message) for check in pool.checks]
    lines += [
        f"{capital(escape(group.of.size.words))}: one stick only, nothing is pooled"
        for group in pool.groups
        if len(group.sticks) == 1
    ]
    lines.append("Doubtful hearings and repairs stand in the draft of each session")
    return items(lines)


def _front_matter(pool: Pool, title: str, voices: Sequence[Voice]) -> str:
    import yaml

    matter: dict[str, Any] = {"title": one_line(title)}
    if days := sorted(stick.day for stick in pool.sticks if stick.day):
        matter["date"] = date.fromisoformat(days[-1])
    matter["draft"] = True
    said = [" ".join(u.text for u in v.places.disclosing) or _typed(v.stick) for v in voices]
    matter["disclosure"] = [
        one_line(f"Stick {n}: {text}") for n, text in enumerate(said, 1) if text
    ]
    facts = {"name": pool.name, **pool.agreed_facts}
    matter["cigar"] = {key: one_line(str(value)) for key, value in facts.items() if value}
    matter["sticks"] = [
        {"stick": s.number, "session": one_line(s.source)}
        | {k: v for k, v in (("date", s.day), ("reviewer", s.reviewer)) if v}
        for s in pool.sticks
    ]
    matter["sizes"] = [
        {
            "size": one_line(g.of.size.words),
            "sticks": [s.number for s in g.sticks],
            "touched_up": rated(g.measures.touched_up),
            "relit": rated(g.measures.relit),
        }
        for g in pool.groups
    ]
    matter["made_by"] = f"Ashdraft {__version__}"
    matter["notes"] = "pooled.json"
    kept = {key: value for key, value in matter.items() if value not in ({}, [])}
    text = yaml.safe_dump(kept, sort_keys=False, allow_unicode=True, width=1000)
    return f"---\n{text}---"


def _typed(stick: Stick) -> str:
    return f"{stick.facts['obtained']}, as typed" if "obtained" in stick.facts else ""


def _which(group: Group) -> str:
    return numbered([stick.number for stick in group.sticks])
