"""The sticks side by side: facts, storage, burn and money, a column or a row for each."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal

from ..assemble.glance import ORDER
from ..assemble.markdown import added, escape, items, table
from ..facts import NOTES_FACTS
from ..model import Count, FactValue
from ..sheet.fill import THIRDS
from ..sheet.printed import heading, printed
from .figures import Rate, Summary
from .measures import Measured, Measures
from .pooled import STORAGE, Group, Pool, by_value, differing
from .sticks import Stick

SILENT = "not mentioned"
_FACTS = tuple(key for key in ORDER if key != "name")


def side_by_side(sticks: Sequence[Stick]) -> str:
    """Return the table of facts, a column for each stick; facts that nobody gave below it."""
    rows = [
        ("Session", *(escape(s.source) for s in sticks)),
        ("Day", *(s.day or SILENT for s in sticks)),
    ]
    if any(s.reviewer for s in sticks):
        rows.append(("Reviewer", *(escape(s.reviewer or SILENT) for s in sticks)))
    for key in _FACTS:
        if any(key in s.facts for s in sticks):
            cells = (escape(printed(key, s.facts)) if key in s.facts else SILENT for s in sticks)
            rows.append((capital(heading(key)), *cells))
    given = {key for s in sticks for key in s.facts}
    silent = [heading(key) for key in NOTES_FACTS if key not in given and key != "currency"]
    text = table(("", *(f"Stick {s.number}" for s in sticks)), rows)
    return f"{text}\n\n{added('Not mentioned: ' + ', '.join(silent) + '.')}" if silent else text


def sizes(pool: Pool) -> str:
    """Return the sizes side by side, each with its own figures; empty where there is one."""
    if len(pool.groups) == 1:
        return ""
    head = ("Size", "Sticks", "Touched up", "Relit", "Smoking time", "Overall total")
    rows = []
    for group in pool.groups:
        found = group.measures
        totals = [summarised(s.total, "", 2) for s in group.sheets if s.total]
        rows.append(
            (
                escape(group.of.size.words),
                ", ".join(str(stick.number) for stick in group.sticks),
                rated(found.touched_up),
                rated(found.relit),
                summarised(found.minutes, " min", 0),
                "; ".join(totals) or "not tallied",
            )
        )
    return table(head, rows)


def storage(pool: Pool) -> str:
    """Return what was found of sticks that were stored differently; empty where none was."""
    if not pool.stored_differently:
        return ""
    told = [
        f"{heading(key)} {by_value(_printed(pool.sticks, key))}"
        for key in STORAGE
        if len(set(differing(pool.sticks, key).values())) > 1
    ]
    rows = []
    for group in pool.groups:
        measured = {row.stick: row for row in group.measures.sticks}
        for stick in group.sticks:
            own = measured[stick.number]
            cells = [printed(key, stick.facts) if key in stick.facts else SILENT for key in STORAGE]
            total = stick.tallied.total if stick.tallied else None
            rows.append(
                (
                    f"Stick {stick.number}",
                    *cells,
                    counted(own.touch_ups),
                    counted(own.relights),
                    minutes(own.minutes),
                    "not tallied" if total is None else number(total, 2),
                )
            )
    head = ("", "Humidity", "Days of rest", "Touch-ups", "Relights", "Smoking time", "Total")
    remark = "Side by side; so few sticks cannot show what storage did."
    line = f"Stored differently: {'; '.join(told)}. {remark}"
    return f"{added(line)}\n\n{table(head, rows)}"


def _printed(sticks: Sequence[Stick], key: str) -> dict[int, FactValue]:
    return {s.number: escape(printed(key, s.facts)) for s in sticks if key in s.facts}


def burn(group: Group) -> str:
    """Return the tables of the burn, and the rates over the sticks."""
    measured = group.measures
    counts = []
    for name, field in (("touch-ups", "touch_ups"), ("relights", "relights")):
        for row in measured.sticks:
            count: Count | None = getattr(row, field)
            counts.append((f"Stick {row.stick}", name, *_by_third(count), counted(count)))
    times = [
        (
            f"Stick {row.stick}",
            *(minutes(t) for t in row.thirds),
            _total(row),
            pace(row.pace, row.pace_by_third),
        )
        for row in measured.sticks
    ]
    names = tuple(name.capitalize() for name in THIRDS)
    return "\n\n".join(
        [
            table(("", "", *names, "In all"), counts),
            items(_rates(measured)),
            table(("", *names, "Smoking time", "Pace"), times),
            items(_times(measured)),
        ]
    )


def money(group: Group) -> str:
    """Return the table of prices; empty where no price was told."""
    rows = group.measures.sticks
    if not any(row.price is not None or row.box_price_each is not None for row in rows):
        return ""
    head = ("", "Price", "Each by the box", "Saved by the box", "Price per hour of smoking")
    return table(
        head,
        [
            (
                f"Stick {row.stick}",
                _money(row.price, row),
                _money(row.box_price_each, row),
                _saving(row.box_saving),
                _money(row.price_per_hour, row),
            )
            for row in rows
        ],
    )


def rated(rate: Rate | None) -> str:
    """Return a rate in words: `1 of 5 sticks, 4 to 62 %`; one stick alone has no interval."""
    if rate is None:
        return SILENT
    silent = f"; {SILENT} in {len(rate.silent)}" if rate.silent else ""
    if rate.n == 1:
        return f"{rate.k} of 1 stick{silent}"
    span = f"{rate.low * 100:.0f} to {rate.high * 100:.0f} %"
    return f"{rate.k} of {rate.n} sticks, {span}{silent}"


def summarised(found: Summary | None, unit: str = "", digits: int = 1) -> str:
    """Return median, mean, range and n in words."""
    if found is None:
        return SILENT
    if found.n == 1:
        return f"{number(found.median, digits)}{unit} (n = 1)"
    return (
        f"median {number(found.median, digits)}, mean {number(found.mean, digits)}, "
        f"{number(found.lowest, digits)} to {number(found.highest, digits)}{unit} (n = {found.n})"
    )


def counted(count: Count | None) -> str:
    """Return a total; a count that nobody spoke of is not mentioned, and not 0."""
    if count is None:
        return SILENT
    return str(count.total) if count.total else "none, as said"


def minutes(value: float | None) -> str:
    return SILENT if value is None else f"{number(value, 0)} min"


def number(value: float, digits: int = 1) -> str:
    """Return a number without idle noughts, halves rounded away from zero: `7`, `6.5`."""
    exact = Decimal(repr(float(value))).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP)
    text = str(exact + 0)  # minus nought is nought
    return text.rstrip("0").rstrip(".") if "." in text else text


def pace(whole: float | None, thirds: Sequence[float | None] = ()) -> str:
    """Return millimetres a minute, over the whole and by third."""
    if whole is None and not any(thirds):
        return SILENT
    text = "" if whole is None else f"{whole:.1f} mm/min"
    if not any(thirds):
        return text
    own = ", ".join("–" if t is None else f"{t:.1f}" for t in thirds)
    return f"{text} (by third {own})".strip()


def _rates(found: Measures) -> list[str]:
    remark = "Rates count sticks, not touch-ups; the span is the 95 % Wilson interval of the share."
    lines = [
        f"Touched up: {rated(found.touched_up)}",
        f"Relit: {rated(found.relit)}",
        f"Touch-ups a stick: {summarised(found.touch_ups)}",
        f"Relights a stick: {summarised(found.relights)}",
    ]
    return [*lines, added(remark)]


def _times(found: Measures) -> list[str]:
    lines = [f"Smoking time: {summarised(found.minutes, ' min', 0)}"]
    for name, row in zip(THIRDS, found.minutes_by_third, strict=True):
        lines.append(f"{name.capitalize()}: {summarised(row, ' min', 0)}")
    lines.append(f"Pace: {summarised(found.pace, ' mm/min')}")
    remark = (
        "Pace is the whole length by the smoking time, for the butt is not measured; a third is "
        "a third of the length."
    )
    return [*lines, added(remark)] if found.pace else lines


def _by_third(count: Count | None) -> list[str]:
    if count is None or not count.total:
        return [""] * len(THIRDS)
    return [str(k) if k else SILENT for k in count.by_third]


def _total(row: Measured) -> str:
    basis = {"told": "told", "recorded": "on the recording", None: ""}[row.basis]
    return f"{minutes(row.minutes)} {basis}".strip()


def _money(value: float | None, row: Measured) -> str:
    return SILENT if value is None else f"{escape(row.currency or '')} {value:.2f}".strip()


def _saving(share: float | None) -> str:
    if share is None:
        return SILENT
    if share < 0:
        return f"none: {number(-share * 100, 0)} % dearer"
    return f"{number(share * 100, 0)} %"


def capital(text: str) -> str:
    """Return a text with its first letter as a capital, the others as they are."""
    return text[:1].upper() + text[1:]
