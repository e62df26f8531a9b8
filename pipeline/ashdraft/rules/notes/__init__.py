"""Tasting notes: which words name one, whether it is there, where it is found and how strong.

`find` needs no sections and says for each line how likely its words name notes; `settle` makes
the descriptors once each line has its place.
"""

from __future__ import annotations

from .decide import Found, find, settle

__all__ = ["Found", "find", "settle"]
