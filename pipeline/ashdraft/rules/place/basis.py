"""How a third is known: said outright, from a cue, carried on, or only from the clock."""

from __future__ import annotations

from collections.abc import Sequence

from ...model import ThirdBasis
from ..lines import Line
from .features import parts
from .states import State


def _own_basis(line: Line, third: int) -> ThirdBasis | None:
    if line.has(f"third.{third}.named") or line.has(f"third.{third}.part"):
        return "said"
    if {f"part:{third}", f"c:third.{third}.named"} & set(parts(line)):
        return "said"
    if line.has(f"third.{third}"):
        return "cue"
    if third == 1 and line.has("burn.light"):
        return "cue"
    return None


def third_bases(lines: Sequence[Line], states: Sequence[State]) -> list[ThirdBasis | None]:
    """Basis for each line; None where the line carries no third.

    A third that begins without any word for it, here or in the line before, is `timed` until
    a word confirms it; afterwards lines without a word of their own are `carried`.
    """
    bases: list[ThirdBasis | None] = []
    confirmed: dict[int, bool] = {}
    for i, (line, state) in enumerate(zip(lines, states, strict=True)):
        now = state.current
        if now in (1, 2, 3):
            near = [line] if i == 0 else [lines[i - 1], line]
            if any(_own_basis(n, now) for n in near):
                confirmed[now] = True
        if state.third is None:
            bases.append(None)
            continue
        own = _own_basis(line, state.third)
        if own:
            bases.append(own)
        else:
            bases.append("carried" if confirmed.get(state.third) else "timed")
    return bases
