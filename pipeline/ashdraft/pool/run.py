"""One run: sessions in, a folder with the pooled draft, sheet, figures and charts out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ..charts import families_by_third
from ..output import Written, open_folder
from ..sheet import load_sheet
from .document import pooled_json
from .draft import pooled_draft
from .pooled import Group, Pool, pool
from .sheet import sheet_page
from .sizes import UNKNOWN
from .sticks import read_sticks, session_path

COUNTED = ("third of a stick", "thirds of sticks")
"""What a bar of the chart counts: a stick counts once in each third in which it has a family."""


@dataclass(frozen=True, slots=True)
class Pooled:
    """What a run left behind."""

    folder: Path
    files: tuple[Written, ...]
    pool: Pool


def write_pool(
    sessions: Sequence[str],
    out: Path | None = None,
    *,
    name: str | None = None,
    sheet: Path | None = None,
    caution: bool = True,
    force: bool = False,
) -> Pooled:
    """Pool `sessions` (`FOLDER`, draft.md or notes.json, or `…@REVIEWER`) into the folder `out`.

    Without `out` it is named after the first session and stands beside it. `sheet` is the
    sheet of sessions that do not keep theirs. Raises the errors of ashdraft.errors.
    """
    definition = load_sheet(sheet) if sheet else None
    found = pool(read_sticks(sessions), definition, name)
    title = _title(found)
    names = ["families"]
    if len(found.groups) > 1:
        names = [f"families-{n}" for n, _ in enumerate(found.groups, start=1)]
    drawn = zip(names, found.groups, strict=True)
    charts = {f"{file}.svg": _chart(group, file) for file, group in drawn}
    folder = out or _default_folder(sessions[0])
    with open_folder(folder, force=force) as opened:
        files = opened.write(
            {
                "pooled.md": pooled_draft(found, title, tuple(charts), caution=caution),
                "pooled-sheet.md": sheet_page(found, title),
                "pooled.json": pooled_json(found),
                **charts,
            }
        )
    return Pooled(folder, files, found)


def _chart(group: Group, file: str) -> str:
    rows = group.taste.families_by_third()
    any_third = any(any(counts) for counts in rows.values())
    size = group.of.size.words
    which = f", {size}" if size != UNKNOWN else ""
    return families_by_third(
        rows,
        title=f"Families of notes by third: in how many of {len(group.sticks)} sticks{which}",
        unit=COUNTED if any_third else ("note", "notes"),
        name=file,
    )


def _title(found: Pool) -> str:
    """Return the name with its maker, else what was told of format and country."""
    facts = found.agreed_facts
    if found.name:
        return " ".join(str(part) for part in (facts.get("maker"), found.name) if part)
    formats = {g.of.size.format for g in found.groups if g.of.size.format}
    parts = [*sorted(formats), *(str(facts[key]) for key in ("country",) if key in facts)]
    text = ", ".join(parts) or "Several sticks"
    return text[:1].upper() + text[1:]


def _default_folder(session: str) -> Path:
    path = session_path(session).resolve()
    folder = path if path.is_dir() else path.parent
    return folder.with_name(f"{folder.name.removesuffix('-draft')}-pooled")
