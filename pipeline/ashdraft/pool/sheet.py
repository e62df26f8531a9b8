"""The pooled score sheet: every stick's marks side by side, and nothing suggested."""

from __future__ import annotations

from collections.abc import Sequence

from ..assemble.markdown import added, escape, items, table
from .figures import FEW, Summary
from .marks import Agreement, Criterion, PooledSheet
from .pooled import Group, Pool, numbered
from .tables import number, side_by_side

NOT_TALLIED = (
    "No stick of this size was tallied, so there is nothing to pool. Type marks into a draft and "
    "run: ashdraft tally draft.md"
)
PERSONAL = (
    "Marks are personal and the sticks are few: nothing here claims significance. Marks are in "
    "order and not equally far apart, so the median comes before the mean."
)


def sheet_page(pool: Pool, title: str) -> str:
    """Return `pooled-sheet.md`: for each size the sticks, their marks, comments and totals."""
    parts = [f"# {escape(title)}: score sheet of {len(pool.sticks)} sticks", added(PERSONAL)]
    for group in pool.groups:
        parts += [f"## {escape(group.of.size.words)}", side_by_side(group.sticks)]
        parts += [scores(group), _comments(group)]
    return "\n\n".join(part for part in parts if part) + "\n"


def scores(group: Group) -> str:
    """Return the tables of the marks of one size, a table for each sheet."""
    if not group.sheets:
        return added(NOT_TALLIED)
    return "\n\n".join(_score(sheet) for sheet in group.sheets)


def _score(sheet: PooledSheet) -> str:
    sticks = sheet.sticks
    head = ("Section", "Criterion", *(f"Stick {n}" for n in sticks),
            "Median", "Mean", "Range", "n")  # fmt: skip
    rows: list[Sequence[str]] = [
        (escape(c.section), escape(c.name), *(_mark(c, n) for n in sticks), *_figures(c.summary))
        for c in sheet.criteria
    ]
    rows += [_totals(f"{escape(name)}, total", row, sticks) for name, row in sheet.sections.items()]
    rows.append(_totals("**Overall total**", sheet.total, sticks))
    lines = [f"Sheet: {escape(sheet.name)}, marked for {numbered(sticks)} (n = {len(sticks)})"]
    lines += _remarks(sheet)
    return f"{table(head, rows)}\n\n{items(lines)}"


def _totals(name: str, found: Summary | None, sticks: Sequence[int]) -> Sequence[str]:
    values = found.values if found else {}
    cells = [number(values[n], 2) if n in values else "open" for n in sticks]
    return (name, "", *cells, *_figures(found, 2))


def _mark(criterion: Criterion, stick: int) -> str:
    mark = criterion.marks.get(stick)
    if mark is None:
        return "blank" if stick in criterion.blank else "not judged"
    return number(mark, 2)


def _figures(found: Summary | None, digits: int = 1) -> list[str]:
    if found is None:
        return ["", "", "", "0"]
    if found.n == 1:
        return ["", "", "", "1"]
    span = f"{number(found.lowest, 2)} to {number(found.highest, 2)}"
    return [number(found.median, 2), number(found.mean, digits), span, str(found.n)]


def _remarks(sheet: PooledSheet) -> list[str]:
    lines = []
    if total := sheet.total:
        spread = "" if total.spread is None else f", standard deviation {number(total.spread, 2)}"
        span = f"{number(total.lowest, 2)} to {number(total.highest, 2)}"
        one = number(total.median, 2)
        lines.append(f"Overall total: {span if total.n > 1 else one}{spread} (n = {total.n})")
    if 1 < len(sheet.sticks) < FEW:
        lines.append("Of two sticks a mean says little: read the marks themselves")
    totalled = sheet.total.values if sheet.total else {}
    unjudged = {n: names for n, names in sheet.unmarked.items() if n in totalled}
    if len(totalled) > 1 and unjudged:
        told = "; ".join(f"stick {n} without {', '.join(names)}" for n, names in unjudged.items())
        lines.append(f"The totals are not of the same rows: {escape(told)}")
    if sheet.agreement:
        lines.append(agreed(sheet.agreement))
    return lines


def agreed(found: Agreement) -> str:
    """Return Krippendorff's alpha in words, with what went into it."""
    names = escape(", ".join(found.reviewers))
    criteria = "criterion" if found.criteria == 1 else "criteria"
    both = f"{found.criteria} {criteria} marked by two or more"
    of = f"{len(found.reviewers)} reviewers ({names}), {both}"
    if found.alpha is None:
        return f"Agreement: alpha is not defined, as marks do not vary or are of one person; {of}"
    return (
        f"Agreement: Krippendorff's alpha (ordinal) {found.alpha:.2f}; {of}, each by the median of "
        "a reviewer's own sticks; 1 is full agreement, 0 is chance; different sticks are part of it"
    )


def _comments(group: Group) -> str:
    lines = [
        f"{escape(c.name)}, stick {stick}: {escape(text)}"
        for sheet in group.sheets
        for c in sheet.criteria
        for stick, text in c.comments.items()
    ]
    return f"### Comments\n\n{items(lines)}" if lines else ""
