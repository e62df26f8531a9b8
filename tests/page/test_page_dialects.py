"""`draft.md` in the dialects of static-site generators: untouched, whole, no time in sight."""

from __future__ import annotations

import html
import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import markdown
import mistune
import pytest
from markdown_it import MarkdownIt

from tests.assemble.gold import FILES
from tests.needs import need
from tests.page.made import draft_of, notes, saying

HOSTILE = [
    "{{ site.title }} {% raw %}", "{{< youtube x >}}", "<b>bold</b> & *star* _under_", "a | b",
    "[x](y) ![z](w)", "# no heading", "1. no list", "~~gone~~ `code` $$x$$", "[^1]: no footnote",
    ": no definition", "<script>alert(1)</script>",
]  # fmt: skip
DRAFTS = {"d01": draft_of(notes("d01")), "hostile": draft_of(saying(HOSTILE))}


def body(draft: str) -> str:
    return draft.split("\n---\n", 1)[1]


def python_markdown(draft: str) -> str:
    """Python-Markdown with `tables`, as MkDocs and Pelican are set up by default."""
    return markdown.markdown(body(draft), extensions=["tables"])


def mistune_markdown(draft: str) -> str:
    return str(mistune.html(body(draft)))


def commonmark(draft: str) -> str:
    """CommonMark with tables, as markdown-it based generators (Eleventy) render."""
    return str(MarkdownIt("commonmark").enable("table").render(body(draft)))


def shown(page: str) -> str:
    """What a reader sees: no markup, blanks run together, quotation marks straight."""
    text = html.unescape(re.sub(r"<(script|style).*?</\1>|<[^>]*>", " ", page, flags=re.S))
    for fancy, plain in {"’": "'", "‘": "'", "“": '"', "”": '"', "…": "...", "–": "--"}.items():
        text = text.replace(fancy, plain)
    return " ".join(re.sub(r"\s([.,;:])", r"\1", text).split())


def check(draft: str, page: str, said: list[str]) -> None:
    """Every sentence is there as text, every table is one, and no time's line is seen."""
    text = shown(page)
    for sentence in said:
        assert shown(html.escape(sentence)) in text, sentence
    assert page.count("<table") == draft.count("\n| --- |")
    assert page.count("<h2") == draft.count("\n## ")
    assert "#t=" not in text
    assert not re.search(r"\[u\d+\]", text)
    assert "<script" not in page.partition("</head>")[2].replace("<script src", "")


@pytest.mark.parametrize("render", [python_markdown, mistune_markdown, commonmark])
def test_draft_is_whole_in_a_dialect(render: Callable[[str], str]) -> None:
    draft = DRAFTS["d01"]
    told = [u.text for u in notes("d01").reading.utterances if f"\n{u.text}\n" in draft]
    assert len(told) > 30
    check(draft, render(draft), told)


@pytest.mark.parametrize("render", [python_markdown, mistune_markdown, commonmark])
def test_hostile_speech_is_text_in_a_dialect(render: Callable[[str], str]) -> None:
    check(DRAFTS["hostile"], render(DRAFTS["hostile"]), HOSTILE)


def hugo(folder: Path, drafts: dict[str, str]) -> dict[str, str]:
    """The pages that Hugo makes of drafts in its content folder (goldmark, default settings)."""
    (folder / "hugo.toml").write_text('baseURL = "http://localhost/"\ntitle = "x"\n')
    (folder / "config.toml").write_text('baseURL = "http://localhost/"\ntitle = "x"\n')
    layouts = folder / "layouts" / "_default"
    layouts.mkdir(parents=True)
    (layouts / "single.html").write_text("<html><head></head><body>{{ .Content }}</body></html>")
    (folder / "content").mkdir()
    for name, draft in drafts.items():
        (folder / "content" / f"{name}.md").write_text(draft, encoding="utf-8")
    run(["hugo", "--buildDrafts", "--quiet"], folder)
    return {n: (folder / "public" / n / "index.html").read_text("utf-8") for n in drafts}


def jekyll(folder: Path, drafts: dict[str, str]) -> dict[str, str]:
    """The pages that Jekyll makes of drafts (Liquid, then kramdown, default settings)."""
    (folder / "_config.yml").write_text("title: x\n")
    (folder / "_layouts").mkdir()
    for name, draft in drafts.items():
        (folder / f"{name}.md").write_text(draft, encoding="utf-8")
    run(["jekyll", "build", "--quiet", "--disable-disk-cache"], folder)
    return {n: (folder / "_site" / f"{n}.html").read_text("utf-8") for n in drafts}


def run(command: list[str], folder: Path) -> None:
    need(shutil.which(command[0]), f"{command[0]} is not installed (Debian package {command[0]})")
    subprocess.run(command, cwd=folder, check=True, capture_output=True, timeout=300)


@pytest.mark.slow
@pytest.mark.parametrize("generator", [hugo, jekyll])
def test_draft_builds_untouched_in_a_generator(
    tmp_path: Path, generator: Callable[[Path, dict[str, str]], dict[str, str]]
) -> None:
    names = [path.stem for path in FILES[::6]]
    drafts = {name: draft_of(notes(name)) for name in names} | {"hostile": DRAFTS["hostile"]}
    pages = generator(tmp_path, drafts)
    for name, draft in drafts.items():
        if name == "hostile":
            told = HOSTILE
        else:
            told = [u.text for u in notes(name).reading.utterances if f"\n{u.text}\n" in draft]
        check(draft, pages[name], told)
