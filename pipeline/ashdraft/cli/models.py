"""`ashdraft models`: which speech models there are, and where."""

from __future__ import annotations

from . import settings
from .failures import reported


@reported
def models(debug: settings.Debug = False) -> None:  # noqa: ARG001 (`reported` reads it)
    """List the installed speech models.

    Says which folder they are kept in, and how to install one.

    \b
    Examples:
      ashdraft models
    """
