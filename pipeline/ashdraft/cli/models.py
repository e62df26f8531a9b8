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
    from ..transcribe import weights
    from ..transcribe.manifest import known_models

    for model in known_models().values():
        there = model.is_installed or weights.cached_folder(model).is_dir()
        print(f"{model.name:<10}{'installed' if there else 'not installed':<15}{model.about}")
        if not there:
            print(f"{'':<10}to install it: {model.install}")
    print(f"Kept in {weights.cache()}")
