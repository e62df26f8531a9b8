"""`ashdraft write --each`: many sessions, and a table of what became of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from textwrap import wrap
from typing import TYPE_CHECKING

from ..errors import SomeNotWritten, UsageError
from ..options import Options
from ..progress import for_stream, printable

if TYPE_CHECKING:
    from ..batch import Outcome

_WIDTH = 100
_LONGEST = 40
_HEADS = ("recording", "", "length", "to check", "took", "draft")


def run_each(options: Options, jobs: int) -> None:
    """Write every session and print the table. Raises SomeNotWritten after it."""
    from ..batch import write_each

    if jobs < 1:
        raise UsageError("--jobs must be 1 or more.", "One job for two cores is a good start.")
    progress = for_stream()
    try:
        outcomes = write_each(options, jobs, progress)
    finally:
        progress.finish()
    print(table(outcomes))
    failed = sum(one.state == "not written" for one in outcomes)
    if failed:
        raise SomeNotWritten(
            f"{failed} of {len(outcomes)} not written.",
            "Type the same command again when they are mended; what is written is skipped.",
        )


def table(outcomes: Sequence[Outcome]) -> str:
    """Return the table, why some are not written, and the totals; plain text."""
    cells = [_HEADS, *(_cells(one) for one in outcomes)]
    widths = [max(len(row[at]) for row in cells) for at in range(len(_HEADS) - 1)]
    lines = [
        "  ".join([*(f"{c:<{w}}" for c, w in zip(row, widths, strict=False)), row[-1]]).rstrip()
        for row in cells
    ]
    for one in outcomes:
        if one.message:
            lines += ["", _short(one.source.name), *_told(one)]
    counts = Counter(one.state for one in outcomes)
    totals = [f"{counts[s]} {s}" for s in ("written", "done before", "not written") if counts[s]]
    return "\n".join([*lines, "", ", ".join(totals)])


def _told(outcome: Outcome) -> list[str]:
    told = [outcome.message, *([outcome.next_step] if outcome.next_step else [])]
    indent = "  "
    return [
        line
        for text in told
        for line in wrap(
            printable(text), _WIDTH, initial_indent=indent, subsequent_indent=indent,
            break_long_words=False, break_on_hyphens=False,
        )
    ]  # fmt: skip


def _cells(outcome: Outcome) -> tuple[str, ...]:
    from .summary import clock

    code = f" ({outcome.exit_code})" if outcome.exit_code else ""
    written = outcome.state == "written"
    return (
        _short(outcome.source.name),
        f"{outcome.state}{code}",
        clock(outcome.seconds) if written else "",
        str(outcome.to_check) if written else "",
        clock(outcome.took) if outcome.took else "",
        printable(str(outcome.draft)) if outcome.draft else "",
    )


def _short(name: str) -> str:
    text = printable(name)
    half = _LONGEST // 2 - 1
    return text if len(text) <= _LONGEST else f"{text[:half]}...{text[-half:]}"
