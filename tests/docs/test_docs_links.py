"""Every relative link and every heading it points at exists, in every Markdown file."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from markdown_it import MarkdownIt

TOP = Path(__file__).parents[2]
PAGES = sorted([*TOP.glob("*.md"), *(TOP / "docs").glob("*.md"), *(TOP / "samples").glob("*.md")])
PARSER = MarkdownIt("js-default")


def links(page: Path) -> list[str]:
    """Targets of all links and pictures of a page that are not on another host."""
    tokens = PARSER.parse(page.read_text(encoding="utf-8"))
    inline = [child for token in tokens for child in token.children or ()]
    found = [str(t.attrGet("href") or t.attrGet("src") or "") for t in inline]
    return [t for t in found if t and "://" not in t and not t.startswith("mailto:")]


def anchors(page: Path) -> set[str]:
    """Names under which the headings can be linked, as code hosts make them (common practice)."""
    tokens = PARSER.parse(page.read_text(encoding="utf-8"))
    heads = [tokens[i + 1].content for i, t in enumerate(tokens) if t.type == "heading_open"]
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


@pytest.mark.parametrize("page", PAGES, ids=lambda p: str(p.relative_to(TOP)))
def test_links_resolve(page: Path) -> None:
    for target in links(page):
        path, _, anchor = target.partition("#")
        file = (page.parent / path).resolve() if path else page
        assert file.exists(), target
        assert file.is_relative_to(TOP), target
        if anchor:
            assert anchor in anchors(file), target


def test_every_page_of_docs_can_be_reached_from_the_readme() -> None:
    seen, waiting = set(), [TOP / "README.md"]
    while waiting:
        page = waiting.pop()
        if page in seen or page.suffix != ".md":
            continue
        seen.add(page)
        targets = (target.partition("#")[0] for target in links(page))
        waiting += [(page.parent / target).resolve() for target in targets if target]
    assert set(PAGES) <= seen


@pytest.mark.parametrize("page", PAGES, ids=lambda p: str(p.relative_to(TOP)))
def test_paths_named_in_code_marks_exist(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    named = re.findall(r"`((?:docs|tests|samples|models|pipeline)/[\w./-]+)`", text)
    for path in named:
        assert (TOP / path).exists(), path
