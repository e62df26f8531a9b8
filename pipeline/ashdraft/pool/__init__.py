"""Several sticks of one cigar: marks, counts, times and notes of each, and of all together."""

from .pooled import Group, Pool, pool
from .run import Pooled, write_pool
from .sticks import Stick, read_sticks

__all__ = ["Group", "Pool", "Pooled", "Stick", "pool", "read_sticks", "write_pool"]
