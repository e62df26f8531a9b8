"""Ashdraft: spoken cigar-review notes in, a structured written draft out."""

__version__ = "0.1.0"
