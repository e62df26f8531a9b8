"""What holds for the draft of every third labelled recording, read back as programs read it."""

from __future__ import annotations

import html
import re
from collections import Counter
from functools import cache

import pytest
import yaml
from ashdraft.assemble import draft, read_times
from ashdraft.assemble.markdown import plain
from ashdraft.rules.numbers import read_numbers
from ashdraft.sheet import fill, load_sheet
from markdown_it import MarkdownIt
from markdown_it.token import Token

from . import gold

NAMES = tuple(f.stem for f in gold.FILES[::3])
PAGE = MarkdownIt("js-default")
HEADINGS = [
    "How it was obtained", "At a glance", "Appearance", "Before lighting", "Palate", "First third",
    "Second third", "Final third", "The whole smoke", "Burn", "Presentation and value", "Pairings",
    "Verdict", "Score sheet", "Loose notes", "Check before publishing", "Doubtful hearings",
    "Repairs made", "Contradictions", "Never mentioned", "Thirds that were inferred",
    "Names and files", "Caution",
]  # fmt: skip
UNITS = {"dollar", "dollars", "pound", "pounds", "euro", "euros", "percent", "cents", "by", "x"}


@cache
def made(name: str) -> str:
    reading = gold.reading(name)
    return draft(gold.notes(reading), fill(load_sheet(), reading), caution=True)


def body(text: str) -> str:
    return text.split("\n---\n", 1)[1]


@cache
def tokens(name: str) -> tuple[Token, ...]:
    return tuple(PAGE.parse(body(made(name))))


@cache
def prose_lines(name: str) -> list[str]:
    """The lines of paragraphs that are not the tool's, as plain text."""
    lines = []
    for before, token in zip(tokens(name), tokens(name)[1:], strict=False):
        if before.type == "paragraph_open" and before.level == 0:
            kept = [c for c in token.content.split("\n") if not re.fullmatch(r"\*.+\*", c)]
            lines += [plain(c) for c in kept]
    return lines


def words(text: str) -> list[str]:
    for number in reversed(read_numbers(text)):
        text = text[: number.start] + " " + text[number.stop :]
    found = re.findall(r"[^\W\d_]+(?:['’][^\W\d_]+)*", text.lower())
    return [w for w in found if w not in UNITS]


@pytest.mark.parametrize("name", NAMES)
def test_draft_headings_stand_in_order(name: str) -> None:
    found = [
        token.content
        for before, token in zip(tokens(name), tokens(name)[1:], strict=False)
        if before.type == "heading_open"
    ]
    assert found == HEADINGS


@pytest.mark.parametrize("name", NAMES)
def test_draft_holds_every_sentence_once_and_no_aside(name: str) -> None:
    told = gold.reading(name).utterances
    spoken = Counter(re.sub(r"\W+", " ", u.text.lower()).strip() for u in told
                     if u.section != "aside" and u.text)  # fmt: skip
    announced = re.findall(r"“([^”]+)” \(", made(name).partition("Announcements")[2].split("\n")[0])
    shown = " | ".join([*prose_lines(name), *map(plain, announced)])
    text = re.sub(r"[^\w|]+", " ", html.unescape(shown).lower())
    assert len(spoken) > 20
    for sentence, times in spoken.items():
        assert len(re.findall(rf"(?<!\w){re.escape(sentence)}(?!\w)", text)) >= times, sentence
    size = sum(len(words(u.text)) for u in told if u.section != "aside")
    assert sum(len(words(line)) for line in [*prose_lines(name), *announced]) == size


@pytest.mark.parametrize("name", NAMES)
def test_draft_invents_no_word(name: str) -> None:
    utterances = {u.id: u for u in gold.reading(name).utterances}
    lines = made(name).splitlines()
    by_line: dict[int, list[int]] = {}
    for timed in read_times(made(name)):
        assert timed.line is not None
        by_line.setdefault(timed.line, []).append(timed.utterance)
    assert len(by_line) > 20
    for at, ids in by_line.items():
        said = iter([w for n in ids for w in words(utterances[n].said)])
        for word in words(plain(lines[at - 1])):
            assert word in said, f"line {at} has a word that was not said: {word}"


@pytest.mark.parametrize("name", NAMES)
def test_draft_gives_every_sentence_its_seconds(name: str) -> None:
    timed = {t.utterance: t for t in read_times(made(name))}
    for utterance in gold.reading(name).utterances:
        if utterance.id in timed:
            own = timed[utterance.id]
            assert own.start == pytest.approx(utterance.start, abs=0.06)
            assert own.end == pytest.approx(utterance.end, abs=0.06)
    lines = {t.line for t in timed.values()}
    own_lines = frozenset(prose_lines(name))
    prose = {n for n, line in enumerate(made(name).splitlines(), 1) if plain(line) in own_lines}
    assert prose <= lines


@pytest.mark.parametrize("name", NAMES)
def test_draft_times_are_seen_by_no_reader(name: str) -> None:
    text = body(made(name))
    without = text[: text.index("\n[times]: ")]
    assert PAGE.render(text) == PAGE.render(without)
    assert "#t" not in PAGE.render(text)


@pytest.mark.parametrize("name", NAMES)
def test_draft_tool_lines_are_set_apart(name: str) -> None:
    """A paragraph line is an utterance's text, or it is in italics as a whole."""
    for before, token in zip(tokens(name), tokens(name)[1:], strict=False):
        if before.type == "paragraph_open" and before.level == 0:
            for line in token.content.split("\n"):
                inner = PAGE.parseInline(line)[0].children or []
                marked = [c.type for c in inner if c.type.endswith(("_open", "_close"))]
                assert marked in ([], ["em_open", "em_close"])
                if marked:
                    assert inner[0].type == "em_open"
                    assert inner[-1].type == "em_close"


@pytest.mark.parametrize("name", NAMES)
def test_draft_front_matter_is_read_back(name: str) -> None:
    reading = gold.reading(name)
    assert made(name).startswith("---\n")
    front = made(name).split("\n---\n", 1)[0].removeprefix("---\n")
    matter = yaml.safe_load(front)
    assert matter["cigar"] == dict(reading.facts)
    assert matter["draft"] is True
    assert str(matter["date"]) == "2026-05-02"
    for key, count in (("touch_ups", reading.touch_ups), ("relights", reading.relights)):
        told = count.total or count.utterances
        assert matter.get(key) == (
            {"total": count.total, "by_third": list(count.by_third)} if told else None
        )
    assert [m["item"] for m in matter.get("spoken_marks", [])] == [m.item for m in reading.marks]


@pytest.mark.parametrize("name", NAMES)
def test_draft_score_sheet_is_read_back(name: str) -> None:
    rows: list[list[str]] = []
    inside = False
    for token in tokens(name):
        if token.type == "heading_open":
            inside = False
        if token.type == "inline" and token.content == "Score sheet":
            inside = True
        if inside and token.type == "tr_open":
            rows.append([])
        if inside and token.type == "inline" and token.level > 3:
            rows[-1].append(token.content)
    assert rows[0] == ["Section", "Criterion", "Weight", "Mark", "Evidence"]
    sheet = load_sheet()
    expected = [(s.name, r.name, f"{r.weight:g}") for s in sheet.sections for r in s.rows]
    assert [tuple(r[:3]) for r in rows[1:]] == expected
    assert all(row[3] == "" for row in rows[1:])  # no labelled mark names a scale of nine
    assert all(row[4] for row in rows[1:])


@pytest.mark.parametrize("name", NAMES)
def test_draft_counts_are_the_readings(name: str) -> None:
    reading = gold.reading(name)
    for label, count in (("Touch-ups", reading.touch_ups), ("Relights", reading.relights)):
        row = next(r for r in made(name).splitlines() if r.startswith(f"| {label} |"))
        cells = [c.strip() for c in row.strip("|").split("|")]
        total = cells[-1].split()[0]
        if count.total:
            assert total == str(count.total)
            for cell, k in zip(cells[1:4], count.by_third, strict=True):
                assert cell.split()[0] == (str(k) if k else "not")
        else:
            assert cells[-1] == ("none, as said" if count.utterances else "not mentioned")


@pytest.mark.parametrize("name", NAMES[:6])
def test_draft_is_the_same_every_time(name: str) -> None:
    reading = gold.reading(name)
    again = draft(gold.notes(reading), fill(load_sheet(), reading), caution=True)
    assert again == made(name)


@pytest.mark.parametrize("name", NAMES[:6])
def test_draft_caution_can_be_switched_off(name: str) -> None:
    reading = gold.reading(name)
    without = draft(gold.notes(reading), fill(load_sheet(), reading), caution=False)
    assert "## Caution" in made(name)
    assert "## Caution" not in without
    for word in ("health", "addictive", "legal age", "medical", "fire"):
        assert word in made(name).partition("## Caution")[2]
