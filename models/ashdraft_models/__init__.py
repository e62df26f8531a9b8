"""Data that Ashdraft works with: lexicon, cue phrases, score sheets, speech-model manifest.

Everything here is plain text that a reviewer can read and extend; see docs/extending.md.
"""

from pathlib import Path

ROOT = Path(__file__).parent
