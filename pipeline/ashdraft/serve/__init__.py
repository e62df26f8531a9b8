"""The local server: who may speak to it, how a phone is let in, and which sessions it shows."""

from .app import make_app
from .sessions import Session, Sessions

__all__ = ["Session", "Sessions", "make_app"]
