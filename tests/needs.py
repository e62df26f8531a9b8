"""What a test needs from the machine: skipped with the reason where it is missing, failed in CI."""

from __future__ import annotations

import os

import pytest


def need(there: object, reason: str) -> None:
    """Go on when `there` is true; otherwise skip, or fail where the environment sets CI."""
    if there:
        return
    if os.environ.get("CI"):
        pytest.fail(f"needed in CI: {reason}")
    pytest.skip(reason)
