"""The one place where a failure becomes an exit code and words on stderr."""

from __future__ import annotations

import functools
import sys
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import ParamSpec

import typer

from ..errors import AshdraftError
from ..progress import printable
from .signals import INTERRUPTED, TERMINATED, Terminated

BUG = 1
PACKAGE = Path(__file__).parents[1]

P = ParamSpec("P")


def reported(command: Callable[P, None]) -> Callable[P, None]:
    """Wrap a command that has a `debug` option: every failure in it ends with an exit code."""

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> None:
        try:
            command(*args, **kwargs)
        except AshdraftError as fault:
            _say(f"ashdraft: {fault.message}", fault.next_step)
            raise typer.Exit(fault.exit_code) from None
        except KeyboardInterrupt as stop:
            _say("Stopped.", "Finished blocks are kept; type the same command to go on.")
            ended = TERMINATED if isinstance(stop, Terminated) else INTERRUPTED
            raise typer.Exit(ended) from None
        except (typer.Exit, BrokenPipeError):
            raise
        except Exception as fault:
            _say_bug(fault, debug=bool(kwargs.get("debug")))
            raise typer.Exit(BUG) from None

    return run


def _say(message: str, next_step: str = "") -> None:
    print(printable(message), file=sys.stderr)
    if next_step:
        print(f"  {printable(next_step)}", file=sys.stderr)


def _say_bug(fault: Exception, *, debug: bool) -> None:
    """Say which line failed. The exception's own text may hold spoken words and stays out."""
    frames = traceback.extract_tb(fault.__traceback__)
    ours = [f for f in frames if PACKAGE in Path(f.filename).parents] or frames
    place = f"{Path(ours[-1].filename).name}, line {ours[-1].lineno}"
    _say(
        f"ashdraft: This is a fault of the program: {type(fault).__name__} in {place}.",
        "Your recording is untouched and finished work is kept.",
    )
    if debug:
        print("".join(traceback.format_tb(fault.__traceback__)), end="", file=sys.stderr)
    else:
        _say("  Add --debug to the command for a traceback to send to the developers.")
