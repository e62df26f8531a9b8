"""The draft as .docx and .pdf, read back by other programs."""

from __future__ import annotations

import io
import zipfile

import docx
import pytest
from ashdraft.assemble import HOW_TO_READ
from ashdraft.page import draft_docx, draft_pdf
from markdown_it import MarkdownIt
from pypdf import PdfReader

from tests.page.made import draft_of, notes, saying

MARKS = "```text\n*a* &lt;\n```\n\n> quoted\n\n1. one\n2. two\n   - inner\n\n---\n\n![p](x.jpg)\n"
HOSTILE = ["<b>x</b>", "a & b", "]]>", "\x0b\x1f control", "{{ x }}", "𝄞 雪茄 🙂 سيجار", "\ufffe"]


def squeezed(text: str) -> str:
    return "".join(text.split())


def inline_text(draft: str) -> list[str]:
    """The text of every block of a draft as markdown-it reads it, tables included."""
    body = draft.split("\n---\n", 1)[1]
    tokens = MarkdownIt("js-default").parse(body)
    texts = (
        "".join(c.content if c.content else " " for c in t.children or () if c.nesting == 0)
        for t in tokens
        if t.type == "inline"
    )
    return [t for t in texts if t.strip() and t != HOW_TO_READ]


def read_docx(data: bytes) -> str:
    made = docx.Document(io.BytesIO(data))
    cells = [c.text for t in made.tables for row in t.rows for c in row.cells]
    return "\n".join([*(p.text for p in made.paragraphs), *cells])


@pytest.fixture(scope="module")
def draft() -> str:
    return draft_of(notes())


@pytest.fixture(scope="module")
def document(draft: str) -> bytes:
    return draft_docx(draft)


@pytest.fixture(scope="module")
def pdf(draft: str) -> bytes:
    return draft_pdf(draft)


def test_docx_holds_all_text(draft: str, document: bytes) -> None:
    text = read_docx(document)
    for line in inline_text(draft):
        assert line in text


def test_docx_headings_and_tables_are_the_word_processors_own(draft: str, document: bytes) -> None:
    made = docx.Document(io.BytesIO(document))
    headings = [p.text for p in made.paragraphs if p.style and p.style.name == "Heading 2"]
    assert headings == [line[3:] for line in draft.splitlines() if line.startswith("## ")]
    assert len(made.tables) == draft.count("\n| --- |")
    assert made.core_properties.title


def test_docx_tool_lines_are_italic_and_speech_is_not(document: bytes) -> None:
    made = docx.Document(io.BytesIO(document))
    spoken = notes().reading.utterances[3].text
    looks = {r.text: bool(r.italic) for p in made.paragraphs for r in p.runs}
    assert [look for text, look in looks.items() if spoken in text] == [False]
    assert [look for text, look in looks.items() if text.startswith("Said:")]
    assert all(look for text, look in looks.items() if text.startswith("Said:"))


@pytest.mark.slow
def test_documents_same_draft_same_bytes(draft: str, document: bytes, pdf: bytes) -> None:
    assert draft_docx(draft) == document
    assert draft_pdf(draft) == pdf
    with zipfile.ZipFile(io.BytesIO(document)) as archive:
        assert archive.testzip() is None
        assert {i.date_time for i in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_pdf_holds_all_text(draft: str, pdf: bytes) -> None:
    text = squeezed("".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages))
    head = squeezed("SectionCriterionWeightMarkEvidence")
    assert head in text
    text = text.replace(head, "")
    cells = {line for line in inline_text(draft) if line in draft.split("## Score sheet")[1]}
    for line in inline_text(draft):
        if line not in cells:  # a cell may be parted by the end of a page
            assert squeezed(line) in text, line


def test_pdf_embeds_its_letters(pdf: bytes) -> None:
    """ISO 32000-1, 9.9: an embedded TrueType font has a FontFile2 stream."""
    reader = PdfReader(io.BytesIO(pdf))
    fonts = [f.get_object() for f in reader.pages[0]["/Resources"]["/Font"].values()]
    assert fonts
    for font in fonts:
        (descendant,) = (d.get_object() for d in font["/DescendantFonts"])
        assert "/FontFile2" in descendant["/FontDescriptor"]


@pytest.mark.slow
def test_documents_take_any_markdown() -> None:
    text = read_docx(draft_docx(MARKS))
    for words in ("*a* &lt;", "quoted", "1. one", "2. two", "inner"):
        assert words in text
    read = PdfReader(io.BytesIO(draft_pdf(MARKS))).pages[0].extract_text()
    for words in ("*a* &lt;", "quoted", "1.", "one", "inner"):
        assert words in read


@pytest.mark.slow
@pytest.mark.parametrize("empty", ["", "---\ntitle: x\n---\n"])
def test_documents_of_an_empty_draft(empty: str) -> None:
    assert read_docx(draft_docx(empty)).split() == [("x" if empty else "Draft")]
    assert len(PdfReader(io.BytesIO(draft_pdf(empty))).pages) == 1


def test_documents_hostile_speech_is_text(caplog: pytest.LogCaptureFixture) -> None:
    made = draft_of(saying(HOSTILE))
    text = read_docx(draft_docx(made))
    for words in ("<b>x</b>", "a & b", "]]>", "control", "{{ x }}", "𝄞 雪茄 🙂 سيجار"):
        assert words in text
    read = squeezed("".join(p.extract_text() for p in PdfReader(io.BytesIO(draft_pdf(made))).pages))
    for words in ("<b>x</b>", "a&b", "]]>", "control", "{{x}}"):
        assert words in read
    assert not caplog.records, "no letter of what was said goes into a log"
