"""Which devices may use the pages: a secret token for each, let in by a link that works once."""

from __future__ import annotations

import hashlib
import json
import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from ..output import atomic_write

LINK_LASTS = 600.0
"""Seconds for which a pairing link works."""
_TRIES = 20
_PER = 60.0


@dataclass(slots=True)
class Devices:
    """Tokens by their SHA-256 sums, kept in `file` (owner only) or, without one, in memory.

    A token has 256 bits of chance, so that a plain sum of it cannot be guessed back.
    """

    file: Path | None = None
    clock: Callable[[], float] = time.monotonic
    _known: dict[str, str] = field(default_factory=dict)
    _links: dict[str, float] = field(default_factory=dict)
    _tried: list[float] = field(default_factory=list)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def __post_init__(self) -> None:
        if self.file is None:
            return
        try:
            listed = json.loads(self.file.read_text("utf-8"))["devices"]
            self._known = {str(sum): str(since) for sum, since in listed.items()}
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            self._known = {}  # nobody is let in by a damaged list; devices are paired again

    def new_link(self) -> str:
        """A code for one device, to be used once within ten minutes."""
        code = secrets.token_urlsafe(16)
        with self._lock:
            self._links[_sum(code)] = self.clock() + LINK_LASTS
        return code

    def waits(self, code: str) -> bool:
        """Whether a link of this code could still be used."""
        with self._lock:
            return self._links.get(_sum(code), 0.0) > self.clock()

    def pair(self, code: str) -> str | None:
        """A token in exchange for a code that waits; None for any other code, or too many tries."""
        now = self.clock()
        with self._lock:
            self._tried = [at for at in self._tried if at > now - _PER]
            if len(self._tried) >= _TRIES:
                return None
            self._tried.append(now)
            if self._links.pop(_sum(code), 0.0) <= now:
                return None
        return self.new_token()

    def new_token(self) -> str:
        """A token that is let in from now on."""
        token = secrets.token_urlsafe(32)
        with self._lock:
            self._known[_sum(token)] = time.strftime("%Y-%m-%dT%H:%M:%S")
            self._keep()
        return token

    def knows(self, token: str) -> bool:
        """Whether `token` was given out and not forgotten since."""
        return _sum(token) in self._known

    def forget_all(self) -> None:
        """Let nobody in any more; every device must be paired again."""
        with self._lock:
            self._known.clear()
            self._keep()

    def _keep(self) -> None:
        if self.file is None:
            return
        self.file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        self.file.touch(mode=0o600)
        text = json.dumps({"devices": self._known}, indent=2)
        atomic_write(self.file, text.encode())


def _sum(secret: str) -> str:
    return hashlib.sha256(secret.encode("utf-8", "surrogateescape")).hexdigest()
