"""The names that README promises to Python callers."""

from __future__ import annotations

import subprocess
import sys

import ashdraft
import pytest


def test_names_are_the_stages_own() -> None:
    from ashdraft.assemble import draft
    from ashdraft.intake import open_session
    from ashdraft.options import Options
    from ashdraft.rules import read
    from ashdraft.session import write
    from ashdraft.sheet import fill, load_sheet

    wanted = {
        "Options": Options, "write": write, "read": read, "open_session": open_session,
        "load_sheet": load_sheet, "fill": fill, "draft": draft,
    }  # fmt: skip
    for name, value in wanted.items():
        assert getattr(ashdraft, name) is value
    assert set(ashdraft.__all__) == {*wanted, "Result", "__version__"}


def test_unknown_names_are_refused() -> None:
    with pytest.raises(AttributeError, match="no attribute 'scores'"):
        _ = ashdraft.scores


def test_importing_loads_nothing_heavy() -> None:
    code = "import sys, ashdraft; print([m for m in ('spacy', 'av', 'numpy') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
