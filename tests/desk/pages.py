"""A session's desk as a paired browser reaches it, through the whole application."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ashdraft.model import Notes
from ashdraft.serve.sessions import Sessions
from starlette.testclient import TestClient

from tests.desk.made import write
from tests.serve.made import client


@dataclass
class Page:
    """A session's desk as a paired browser reaches it."""

    client: TestClient
    folder: Path
    base: str
    line: int = 0

    def get(self, path: str = "", **more: Any) -> Any:
        return self.client.get(f"{self.base}{path}", **more)

    def change(self, do: str, id: int | None = None, **given: Any) -> Any:
        answer = self.client.post(
            f"{self.base}/change",
            json={"do": do, "id": id, "line": self.line, **given},
        )
        if answer.status_code == 200:
            self.line = answer.json()["line"]
        return answer

    @property
    def draft(self) -> str:
        return (self.folder / "draft.md").read_text("utf-8")


def page(root: Path, made: Notes, *, recording: bool = False, blind: bool = False) -> Page:
    write(root / "stick", made, recording=recording, blind=blind)
    (found,) = Sessions(root)
    return Page(client(root), root / "stick", f"/desk/{found.id}")
