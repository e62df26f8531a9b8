"""The page: it holds the whole draft, plays each sentence, and runs or loads nothing else."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from dataclasses import replace
from urllib.parse import unquote

import pytest
from ashdraft.assemble import read_times
from ashdraft.assemble.times import clock
from ashdraft.page import Clip, Playable, page_html
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.assemble.gold import FILES
from tests.page.made import SOUND, draft_of, notes, page_of, saying, shown

ALLOWED = frozenset(
    "html head meta title style body a header h1 p nav ul li main figure div svg defs pattern path "
    "rect circle text desc figcaption section h2 h3 table thead tbody tr th td span em strong "
    "blockquote audio script ol".split()
)
SOME = [path.stem for path in FILES[::24]]
REST = [pytest.param(path.stem, marks=pytest.mark.slow) for path in FILES if path.stem not in SOME]


def squeezed(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("name", [*SOME, *REST])
def test_page_holds_every_sentence_and_plays_it(name: str) -> None:
    made = notes(name)
    page = page_of(made)
    links = {a.attributes["href"]: a for a in page.all("a", class_="t")}
    text = squeezed(page.text)
    timed = [t for t in read_times(draft_of(made)) if t.line is not None]
    assert timed
    for sentence in timed:
        begin, end = sentence.start, max(sentence.end, sentence.start + 0.1)
        # W3C Media Fragments URI 1.0, 4.2.1: t=begin,end in seconds.
        link = links[f"../stick.m4a#t={begin:.1f},{end:.1f}"]
        assert link.text == clock(made.reading.utterances[sentence.utterance].start)
        assert link.attributes["aria-label"] == f"Play from {link.text}"
        said = squeezed(made.reading.utterances[sentence.utterance].text)
        assert said.rstrip(".…")[1:] in text


@pytest.mark.parametrize("name", SOME)
def test_page_has_unique_ids_and_links_that_lead_somewhere(name: str) -> None:
    page = page_of(notes(name))
    ids = [e.attributes["id"] for e in page.elements if "id" in e.attributes]
    assert len(ids) == len(set(ids))
    inner = [a.attributes["href"][1:] for a in page.all("a") if a.attributes["href"][0] == "#"]
    assert inner
    assert set(inner) <= set(ids)


def test_page_same_input_same_bytes() -> None:
    text = draft_of(notes())
    assert page_html(text, notes(), SOUND) == page_html(text, notes(), SOUND)


def test_page_policy_allows_its_own_script_and_style_and_nothing_else() -> None:
    """W3C Content Security Policy Level 3: hash-source, 'sha256-' and base64 of the digest."""
    page = page_of(notes())
    (policy,) = (
        m.attributes["content"]
        for m in page.all("meta", **{"http_equiv": "Content-Security-Policy"})
    )
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    assert rules["default-src"] == "'none'"
    assert rules["base-uri"] == rules["form-action"] == "'none'"
    for rule, tag in (("script-src", "script"), ("style-src", "style")):
        (element,) = page.all(tag)
        digest = hashlib.sha256(element.text.encode()).digest()
        assert rules[rule] == f"'sha256-{base64.b64encode(digest).decode()}'"
    assert "unsafe" not in policy
    assert "http" not in policy


def test_page_loads_nothing_and_has_no_inline_style_or_handler() -> None:
    page = page_of(notes())
    for element in page.elements:
        assert element.tag in ALLOWED, element.tag
        names = set(element.attributes)
        assert not {n for n in names if n.startswith("on")} | (names & {"style", "src", "srcset"})
        assert "http" not in element.attributes.get("href", "")
    (style,) = page.all("style")
    assert "url(" not in style.text
    assert "@import" not in style.text


HOSTILE = [
    "<script>alert(1)</script>", "</style><script>alert(1)</script>", "![x](http://example.org/p)",
    "[x](javascript:alert(1))", "<img src=x onerror=alert(1)>", "| a | b |", "# loud", "> quoted",
    "*not the tool's*", "{{ site }}", "`code`", "&lt;b&gt;", "\u202eright to left", "a\u2028b",
    "]]>", "<!-- x -->", '" onclick="x', "' onclick='x", "𝄞 émigré 雪茄 سيجار 🙂",
]  # fmt: skip


@settings(max_examples=25, deadline=None)
@given(st.lists(st.one_of(st.sampled_from(HOSTILE), st.text(max_size=25)), min_size=1, max_size=5))
def test_page_hostile_speech_is_text(texts: list[str]) -> None:
    texts = [t for t in texts if t.split()] or ["x"]
    page = page_of(saying(texts))
    assert {e.tag for e in page.elements} <= ALLOWED
    assert len(page.all("script")) == 1
    assert not [e for e in page.elements if any(n.startswith("on") for n in e.attributes)]
    seen = squeezed(page.text)
    for text in texts:
        clean = re.sub(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]", " ", text)
        assert squeezed(clean.encode("utf-8", "replace").decode()).rstrip(".…")[1:] in seen


@pytest.mark.parametrize("hostile", [h for h in HOSTILE if "/" not in h])
def test_page_hostile_file_name_and_title_are_text(hostile: str) -> None:
    made = saying(["It opens with cedar."])
    named = replace(
        made,
        recordings=(replace(made.recordings[0], file=f"{hostile}.m4a"),),
        typed_facts={"name": hostile},
    )
    sound = (Playable("../x.m4a", f"{hostile}.m4a", 0.0, 1e6),)
    page = shown(page_html(draft_of(named), named, sound))
    assert {e.tag for e in page.elements} <= ALLOWED
    assert len(page.all("script")) == 1
    assert page.all("a", class_="t")[0].attributes["data-name"] == f"{hostile}.m4a"
    (heading,) = page.all("h1")
    assert squeezed(heading.text)


EDITS = {
    "raw html": ("## Verdict", '<iframe src="https://example.org"></iframe>\n\n## Verdict'),
    "front matter gone": ("title:", "title: [unclosed\nx:"),
    "script heading": ("## Burn", "## Burn <script>1</script>"),
    "own link": ("## Burn", "See [there](https://example.org/?a=1&b=2).\n\n## Burn"),
    "own picture": ("## Burn", "![a band](band.jpg)\n\n## Burn"),
    "bad link": ("## Burn", "[x](javascript:alert(1)) [y](data:text/html,x)\n\n## Burn"),
    "deep list": ("## Burn", "- a\n  - b\n    1. c\n\n---\n\n    code\n\n## Burn"),
    "ragged table": ("## Burn", "| a | b |\n| --- | --- |\n| 1 |\n| 1 | 2 | 3 |\n\n## Burn"),
    "windows": ("\n", "\r\n"),
    "empty": (None, ""),
    "only front matter": (None, "---\ntitle: x\n---\n"),
    "no front matter": (None, "## A\n\ntext\n"),
    "front matter is a list": (None, "---\n- a\n---\ntext\n"),
    "front matter is not yaml": (None, "---\n\t: {\n---\ntext\n"),
}


@pytest.mark.parametrize("name", EDITS)
def test_page_of_an_edited_draft(name: str) -> None:
    old, new = EDITS[name]
    text = draft_of(notes())
    page = shown(page_html(new if old is None else text.replace(old, new), notes(), SOUND))
    assert len(page.all("script")) == 1
    assert not page.all("iframe")
    for a in page.all("a"):
        assert not re.match(r"(?i)\s*(javascript|data|vbscript):", a.attributes["href"])
    if name == "raw html":
        assert '<iframe src="https://example.org">' in page.text
    if name == "own picture":
        assert page.all("img")[0].attributes == {"src": "band.jpg", "alt": "a band"}
    if name == "windows":
        assert page.text.split() == page_of(notes()).text.split()
        assert len(page.all("a", class_="t")) == len(page_of(notes()).all("a", class_="t"))


def test_page_without_sound_has_times_and_no_player() -> None:
    page = shown(page_html(draft_of(notes()), notes()))
    assert not page.all("a", class_="t")
    assert page.all("span", class_="t")
    assert not page.all("audio")
    assert "the time before a sentence is when it was said" in page.text
    assert "the time before a sentence plays it" in page_of(notes()).text


def test_page_tool_lines_stay_marked_as_the_tools() -> None:
    page = page_of(notes())
    for paragraph in page.all("p", class_="tool"):
        assert squeezed(paragraph.text)
    spoken = {u.id for u in notes().reading.utterances}
    for span in page.all("span", class_="said"):
        assert int(span.attributes["id"][1:]) in spoken


def test_page_of_several_recordings_plays_each_from_its_own_beginning() -> None:
    made = saying(["one", "two", "three"])
    sound = (Playable("../a.m4a", "a.m4a", 0.0, 10.0), Playable("../b.m4a", "b.m4a", 10.0, 5.0))
    page = shown(page_html(draft_of(made), made, sound))
    links = [a.attributes["href"] for a in page.all("a", class_="t") if a.text]
    assert links[:2] == ["../a.m4a#t=1.0,5.0", "../b.m4a#t=1.0,5.0"]
    assert not [href for href in links if "21" in href]
    assert [s.text for s in page.all("span", class_="t")][:1] == ["0:21"]


def test_page_with_clips_embeds_them_for_their_sentences() -> None:
    made = saying(["one", "two"])
    clip = Clip(b"\x00</script>\xff", "audio/ogg")
    page = shown(page_html(draft_of(made), made, clips={1: clip}))
    (data,) = page.all("script", id="clips")
    address = json.loads(data.text)["1"]
    assert address.startswith("data:audio/ogg;base64,")
    assert base64.b64decode(address.partition(",")[2]) == clip.data
    playing = [a.attributes for a in page.all("a", class_="t")]
    assert {a["data-u"] for a in playing} == {"1"}
    assert playing[0]["href"] == "#u1"
    assert unquote(playing[0]["href"]) in {f"#{e.attributes.get('id')}" for e in page.elements}
