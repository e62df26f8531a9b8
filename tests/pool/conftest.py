"""Three sessions of one invented cigar, spoken by nobody, read by the whole program once."""

from __future__ import annotations

from pathlib import Path

import pytest
from ashdraft.options import Options
from ashdraft.session import write

SESSIONS = Path(__file__).parent / "sessions"
TYPED = {"name": "Ledger", "maker": "Copperline"}


@pytest.fixture(scope="session")
def folders(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, ...]:
    """The folders that `ashdraft write` makes of the three transcripts. Do not change them."""
    root = tmp_path_factory.mktemp("sticks")
    made = []
    for n in (1, 2, 3):
        out = root / f"stick{n}-draft"
        write(Options(inputs=(SESSIONS / f"stick{n}.srt",), out=out, facts=TYPED))
        made.append(out)
    return tuple(made)
