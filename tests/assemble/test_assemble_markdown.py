"""Escaping: whatever is said shows as text, in a paragraph, a list, a table, a title."""

from __future__ import annotations

import html
import re

import pytest
from ashdraft.assemble.markdown import added, escape, items, plain, quoted, table
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

# The preset for untrusted input (markdown-it-py documentation, "Security"), tables allowed.
PAGE = MarkdownIt("js-default")

NASTY = st.one_of(
    st.text(alphabet="ab 1.)(*_`[]<>&|~{}%#+-=:!\\\"'$^@/\n\t", max_size=30),
    st.text(max_size=20),
    st.sampled_from(
        [
            "<script>alert(1)</script>", "# not a heading", "- not a list", "1. not a list",
            "> not a quote", "    not code", "{{ site.title }}", "{% raw %}", "{{< youtube x >}}",
            "[a](b) ![c](d)", "**bold** _em_ `code` ~~gone~~", "a | b | c", "&amp; &lt;", "---",
            "===", "[u1]: <#t=1>", "[^1]: note", ": definition", "+ plus", "\\* back", "<!-- x -->",
            "a\\", "5. ", "12) twelve", "http://example.org/?a=1&b=2", "| --- |", "$$x$$",
        ]
    ),
)  # fmt: skip


def shown(source: str) -> str:
    """The text a reader of the rendered page sees, blanks run together."""
    text = re.sub(r"<[^>]*>", "", PAGE.render(source))
    return " ".join(html.unescape(text).split())


def as_said(text: str) -> str:
    clean = re.sub(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]", " ", text)
    return " ".join(clean.split())


@settings(max_examples=400)
@given(NASTY)
def test_escape_shows_what_was_said(text: str) -> None:
    assert shown(escape(text)) == as_said(text)
    assert plain(escape(text)) == as_said(text)


@settings(max_examples=200)
@given(NASTY, NASTY)
def test_escape_in_two_lines_of_one_paragraph(one: str, two: str) -> None:
    assume(as_said(one) and as_said(two))
    source = f"Start.\n{escape(one)}\n{escape(two)}\nEnd."
    assert PAGE.render(source).count("<p>") == 1
    assert shown(source) == " ".join(f"Start. {as_said(one)} {as_said(two)} End.".split())


@settings(max_examples=200)
@given(NASTY)
def test_escape_in_a_table_a_list_and_italics(text: str) -> None:
    cells = table(("A", "B"), [(escape(text), "x")])
    assert PAGE.render(cells).count("<td>") == 2
    assert shown(cells) == " ".join(f"A B {as_said(text)} x".split())
    assert shown(items([f"a {escape(text)}"])) == f"a {as_said(text)}".strip()
    assert shown(added(f"a {escape(text)} b")) == " ".join(f"a {as_said(text)} b".split())


@given(NASTY)
def test_escape_keeps_templates_out(text: str) -> None:
    # Liquid (Jekyll) and shortcodes (Hugo) run before Markdown: no brace may reach them.
    assert "{" not in escape(text)
    assert "}" not in escape(text)


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("Plain words, 65%, $8.50 and 5 1/2 × 46.", "Plain words, 65%, $8.50 and 5 1/2 × 46."),
        ("It's a robusto: firm.", "It's a robusto: firm."),
        ("7. Good", "7\\. Good"),
        ("-5 degrees", "\\-5 degrees"),
        ("5 < 6 & 7", "5 &lt; 6 &amp; 7"),
    ],
)
def test_escape_leaves_ordinary_speech_alone(text: str, written: str) -> None:
    assert escape(text) == written


def test_quoted_is_cut_at_a_word() -> None:
    assert quoted("Ash fell on the rug.") == "“Ash fell on the rug”"
    assert quoted("Ash fell on the rug, twice, and then again.", 22) == "“Ash fell on the rug…”"
