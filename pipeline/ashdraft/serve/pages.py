"""Where the pages and their files lie: `templates/` and `static/` of a package."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from starlette.templating import Jinja2Templates

BASE = "ashdraft.serve"


@dataclass(frozen=True, slots=True)
class Pages:
    """The pages of `package`, such as `ashdraft.desk`; `base.html` is the server's."""

    package: str

    @property
    def templates(self) -> Jinja2Templates:
        """Its templates, before those of the server; everything put in is escaped."""
        from jinja2 import Environment, FileSystemLoader, StrictUndefined
        from starlette.templating import Jinja2Templates

        folders = [folder_of(name) / "templates" for name in dict.fromkeys((self.package, BASE))]
        environment = Environment(
            loader=FileSystemLoader([str(folder) for folder in folders]),
            autoescape=True,
            undefined=StrictUndefined,
        )
        return Jinja2Templates(env=environment)

    @property
    def static(self) -> Path:
        """Its style sheets and scripts."""
        return folder_of(self.package) / "static"


def folder_of(package: str) -> Path:
    """The folder a package lies in; it is not imported."""
    spec = find_spec(package)
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent
