"""`ashdraft archive find`: which sessions match, and where in them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ..errors import UsageError
from . import settings
from .failures import reported

if TYPE_CHECKING:
    from ..archive import Range

Archive = Annotated[
    Path | None,
    typer.Option(help="The archive's file; else ASHDRAFT_ARCHIVE, or one in your data folder."),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON, for other programs.")]
THIRDS = ("1", "2", "3")
POLARITIES = ("present", "absent", "any")


@reported
def find(
    note: Annotated[
        list[str] | None,
        typer.Option(help="A tasting note: cedar, 'white pepper', pep*. May be repeated."),
    ] = None,
    family: Annotated[
        str | None, typer.Option(help="Family of the note, by a word of it: wood, spice ...")
    ] = None,
    third: Annotated[str | None, typer.Option(help="Third of the note or text: 1, 2, 3.")] = None,
    polarity: Annotated[
        str, typer.Option(help="present, absent (said not to be there), or any.")
    ] = "present",
    source: Annotated[
        str | None, typer.Option(help="Where the note was met: palate, retrohale, finish ...")
    ] = None,
    text: Annotated[
        str | None,
        typer.Option(help='Words said in one sentence; "in a row"; begin* for a beginning.'),
    ] = None,
    cigar: Annotated[str | None, typer.Option(help="Words of the cigar's name.")] = None,
    maker: Annotated[str | None, typer.Option(help="Words of the maker's name.")] = None,
    wrapper: Annotated[str | None, typer.Option(help="Words of the wrapper leaf.")] = None,
    origin: Annotated[str | None, typer.Option(help="Country it was made in.")] = None,
    shape: Annotated[str | None, typer.Option("--format", help="Words of the format.")] = None,
    price: Annotated[
        str | None, typer.Option(help="Price of one: 8, 5..10, '..10 EUR', '5.. USD'.")
    ] = None,
    total: Annotated[str | None, typer.Option(help="Total of the sheet: 7.., 6..8.")] = None,
    mark: Annotated[
        list[str] | None,
        typer.Option(help="Typed mark, or total of a section: draw=7.., palate=6..8."),
    ] = None,
    said_mark: Annotated[
        list[str] | None, typer.Option(help="Mark that was said aloud: draw=7..")
    ] = None,
    sheet: Annotated[str | None, typer.Option(help="Words of the sheet's name.")] = None,
    since: Annotated[str | None, typer.Option(help="From this day, month or year on.")] = None,
    until: Annotated[str | None, typer.Option(help="Up to this day, month or year.")] = None,
    limit: Annotated[int, typer.Option(min=0, help="How many sessions to show; 0 is all.")] = 20,
    archive: Archive = None,
    as_json: AsJson = False,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Find sessions; everything that is asked for must hold.

    Family, third, polarity and source are those of the note. Capital letters and accents do not
    matter. A range is 7, 7..9, 7.. or ..9; both ends belong to it.

    \b
    Examples:
      ashdraft archive find --note cedar --third 3
      ashdraft archive find --text '"draw is tight" relit*'
      ashdraft archive find --wrapper habano --price '..10 EUR' --mark draw=7..
      ashdraft archive find --family spice --source retrohale --since 2026-03
    """
    from ..archive import Search, default_archive, parse_day, parse_range
    from ..archive import find as search_for
    from .archive_text import as_document, found

    search = Search(
        notes=tuple(note or ()),
        family=family,
        third=int(_one_of("--third", third, THIRDS)) if third else None,
        polarity=None if _one_of("--polarity", polarity, POLARITIES) == "any" else polarity,
        source=_source(source),
        text=text,
        cigar=cigar,
        maker=maker,
        wrapper=wrapper,
        origin=origin,
        format=shape,
        sheet=sheet,
        price=parse_range(price, "--price", money=True) if price else None,
        total=parse_range(total, "--total") if total else None,
        marks=_marks("--mark", mark),
        said_marks=_marks("--said-mark", said_mark),
        since=parse_day(since, "--since") if since else None,
        until=parse_day(until, "--until") if until else None,
    )
    if search == Search(polarity=search.polarity):
        raise UsageError("Nothing was asked for.", "Type, for example: --note cedar")
    sessions, number = search_for(archive or default_archive(), search, limit or None)
    print(as_document(sessions) if as_json else found(sessions, number))


def _one_of(option: str, value: str, values: tuple[str, ...]) -> str:
    if value not in values:
        raise UsageError(f"{option} cannot be {value!r}.", f"Use one of: {', '.join(values)}")
    return value


def _source(value: str | None) -> str | None:
    from typing import get_args

    from ..model import Source

    return _one_of("--source", value, get_args(Source)) if value else None


def _marks(option: str, given: list[str] | None) -> tuple[tuple[str, Range], ...]:
    from ..archive import parse_range

    found = []
    for text in given or ():
        item, sign, wanted = text.partition("=")
        if not sign or not item.strip():
            raise UsageError(f"{option} {text!r} names no mark.", f"Type: {option} draw=7..9")
        found.append((item.strip(), parse_range(wanted, option)))
    return tuple(found)
