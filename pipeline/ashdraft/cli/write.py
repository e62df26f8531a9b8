"""`ashdraft write`: recordings in, a folder with the draft out."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ..errors import UsageError
from ..facts import OBTAINED, parse_size
from ..model import FactValue
from ..options import Options
from . import settings
from .each import run_each
from .failures import reported
from .run import run


@reported
def write(
    inputs: Annotated[
        list[Path],
        typer.Argument(
            metavar="INPUT",
            readable=False,  # intake says which file cannot be read, and what to do
            help="Recordings, a folder of clips, or a transcript (.vtt, .srt, notes.json).",
        ),
    ],
    out: Annotated[
        Path | None, typer.Option(help="Folder to write into; if not given, one beside INPUT.")
    ] = None,
    model: settings.Model = "base",
    device: settings.Device = "cpu",
    threads: settings.Threads = 0,
    download: Annotated[
        bool, typer.Option("--download", help="Fetch the model by name from the model hub.")
    ] = False,
    each: Annotated[
        bool,
        typer.Option(
            "--each", help="Every recording is a session of its own; what is written is skipped."
        ),
    ] = False,
    jobs: Annotated[
        int | None, typer.Option(help="With --each: how many are read at once (default 1).")
    ] = None,
    force: settings.Force = False,
    no_caution: Annotated[
        bool, typer.Option("--no-caution", help="Leave the caution line out of the draft.")
    ] = False,
    sheet: Annotated[
        Path | None, typer.Option(help="Score sheet to fill in, if not the one that ships.")
    ] = None,
    blind: Annotated[
        bool,
        typer.Option(
            "--blind", help="Withhold name, maker and price in the draft until its tally is closed."
        ),
    ] = False,
    facts: Annotated[
        Path | None, typer.Option(help="File of typed facts; options win over it.")
    ] = None,
    name: Annotated[str | None, typer.Option(help="Fact: the cigar's name.")] = None,
    maker: Annotated[str | None, typer.Option(help="Fact: who makes it.")] = None,
    size: Annotated[
        str | None, typer.Option(help="Fact: inches by ring gauge: '5 5/8 x 46' or 6x52.")
    ] = None,
    shape: Annotated[
        str | None, typer.Option("--format", help="Fact: the format, such as 'corona gorda'.")
    ] = None,
    origin: Annotated[str | None, typer.Option(help="Fact: country it was made in.")] = None,
    wrapper: Annotated[str | None, typer.Option(help="Fact: wrapper leaf.")] = None,
    binder: Annotated[str | None, typer.Option(help="Fact: binder leaf.")] = None,
    filler: Annotated[str | None, typer.Option(help="Fact: filler leaves.")] = None,
    price: Annotated[float | None, typer.Option(help="Fact: price of one.")] = None,
    currency: Annotated[str | None, typer.Option(help="Fact: its code: USD, EUR ...")] = None,
    box_price_each: Annotated[
        float | None, typer.Option(help="Fact: price of each when bought by the box.")
    ] = None,
    rh: Annotated[
        float | None, typer.Option(help="Fact: relative humidity it was kept at, in percent.")
    ] = None,
    rest_days: Annotated[int | None, typer.Option(help="Fact: days of rest.")] = None,
    samples: Annotated[int | None, typer.Option(help="Fact: how many you smoked.")] = None,
    smoking_minutes: Annotated[
        float | None, typer.Option(help="Fact: smoking time in minutes.")
    ] = None,
    obtained: Annotated[
        str | None, typer.Option(help=f"Fact: how you got it: {', '.join(OBTAINED)}.")
    ] = None,
    cut: Annotated[str | None, typer.Option(help="Fact: the cut.")] = None,
    note: Annotated[str | None, typer.Option(help="Fact: a note of your own.")] = None,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Turn recorded notes into a written draft.

    The draft comes with its score sheet, and beside it are notes, chapters and captions. The
    recording is read on this machine and never changed. Typed facts win over spoken ones;
    where the two disagree the draft says so.

    \b
    Examples:
      ashdraft write stick2.m4a
      ashdraft write clips/ --out reviews/stick2
      ashdraft write stick2.m4a --name "Lantern No. 3" --size "5 5/8 x 46" --obtained sample
      ashdraft write stick2.vtt --force
      ashdraft write --each recordings/ --jobs 2
    """
    if jobs is not None and not each:
        raise UsageError("--jobs is for several sessions.", "Add --each, or leave it out.")
    typed: dict[str, FactValue | None] = {
        "name": name,
        "maker": maker,
        "format": shape,
        "country": origin,
        "wrapper": wrapper,
        "binder": binder,
        "filler": filler,
        "price": price,
        "currency": currency,
        "box_price_each": box_price_each,
        "rh_percent": rh,
        "rest_days": rest_days,
        "samples": samples,
        "smoking_minutes": smoking_minutes,
        "obtained": obtained,
        "cut": cut,
        "note": note,
    }
    options = Options(
        inputs=tuple(inputs),
        out=out,
        model=model,
        device=device,
        threads=threads,
        download=download,
        force=force,
        caution=not no_caution,
        sheet=sheet,
        blind=blind,
        facts=_from_file(facts) | _size(size) | {k: v for k, v in typed.items() if v is not None},
    )
    if each:
        run_each(options, 1 if jobs is None else jobs)
    else:
        run(options)


def _from_file(path: Path | None) -> dict[str, FactValue]:
    if path is None:
        return {}
    from ..intake import read_facts_file

    return dict(read_facts_file(path))


def _size(text: str | None) -> dict[str, FactValue]:
    if text is None:
        return {}
    try:
        return parse_size(text)
    except ValueError as fault:
        raise UsageError(f"--size {text!r} cannot be read: {fault}.") from None
