"""Progress on stderr: plain lines in a pipe, a bar on a terminal, nothing when silent."""

from __future__ import annotations

import io

import pytest
from ashdraft.progress import Bar, Lines, Progress, Silent, for_stream, printable


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def work(progress: Progress) -> None:
    progress.start("Listening", 200.0, "s")
    for _ in range(100):
        progress.advance(2.0)
    progress.note("clip2.wav: gap of 6 min")
    progress.finish()


def test_lines_report_each_tenth_once() -> None:
    stream = io.StringIO()
    work(Lines(stream))
    assert stream.getvalue().splitlines() == [
        "Listening (200 s)",
        *(f"Listening: {n}0%" for n in range(1, 11)),
        "clip2.wav: gap of 6 min",
    ]


def test_lines_of_stopped_work_claim_no_more_than_was_done() -> None:
    stream = io.StringIO()
    lines = Lines(stream)
    lines.start("Listening", 100, "s")
    lines.advance(35)
    lines.finish()
    lines.advance(60)
    assert stream.getvalue().splitlines() == [
        "Listening (100 s)",
        "Listening: 30%",
    ]


def test_lines_take_work_of_unknown_length() -> None:
    stream = io.StringIO()
    lines = Lines(stream)
    lines.start("Reading", 0, "")
    lines.advance(3)
    lines.finish()
    assert stream.getvalue() == "Reading\n"


def test_bar_prints_notes_and_leaves_nothing_behind() -> None:
    stream = Terminal()
    work(Bar(stream))
    assert "clip2.wav: gap of 6 min" in stream.getvalue()
    assert "Listening (200 s)" in stream.getvalue()


def test_bar_takes_a_note_before_any_work() -> None:
    stream = Terminal()
    bar = Bar(stream)
    bar.note("[bold]as typed[/bold]")
    bar.advance(1)
    bar.finish()
    assert stream.getvalue() == "[bold]as typed[/bold]\n"


def test_bar_shows_markup_as_text() -> None:
    stream = Terminal()
    bar = Bar(stream)
    bar.start("[red]x[/red]", 1, "s")
    bar.note("[bold]y[/bold]")
    bar.finish()
    assert "[red]x[/red]" in stream.getvalue()
    assert "[bold]y[/bold]" in stream.getvalue()


def test_silent_says_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    work(Silent())
    assert capsys.readouterr() == ("", "")


def test_stream_decides() -> None:
    assert isinstance(for_stream(io.StringIO()), Lines)
    assert isinstance(for_stream(Terminal()), Bar)


@pytest.mark.parametrize(
    ("text", "shown"),
    [("plain é ’", "plain é ’"), ("a\nb", "a\\nb"), ("\x1b[2J", "\\x1b[2J"), ("\u202e", "\\u202e")],
)
def test_printable_shows_control_characters(text: str, shown: str) -> None:
    assert printable(text) == shown
