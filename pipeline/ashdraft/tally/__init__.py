"""The draft as a form: marks read back from its table, added up, and written into it."""

from .blind import Sealed, is_sealed, seal, unseal
from .run import Tallied, tally

__all__ = ["Sealed", "Tallied", "is_sealed", "seal", "tally", "unseal"]
