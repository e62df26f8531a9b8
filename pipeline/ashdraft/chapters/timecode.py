"""Frame numbers and timecodes (SMPTE 12M): hours, minutes, seconds, frames."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

FRAMES_DROPPED = 2
"""Numbers left out at each minute but the tenth, at 30000/1001 frames per second."""


@dataclass(frozen=True, slots=True)
class Rate:
    """Frames per second; `drop` leaves timecode numbers out so that they keep to the clock."""

    name: str
    exact: Fraction
    drop: bool = False

    @property
    def nominal(self) -> int:
        """Frames that a second of timecode counts."""
        return round(self.exact)

    def frame(self, ms: int) -> int:
        """Return the number of the frame that is shown at `ms` milliseconds, from 0."""
        return int(ms * self.exact / 1000)

    def timecode(self, frame: int) -> str:
        """Return `HH:MM:SS:FF`; with numbers dropped, `HH:MM:SS;FF`."""
        if self.drop:
            ten, rest = divmod(frame, 600 * self.nominal - 9 * FRAMES_DROPPED)
            minute = max(0, rest - FRAMES_DROPPED) // (60 * self.nominal - FRAMES_DROPPED)
            frame += FRAMES_DROPPED * (9 * ten + minute)
        seconds, frames = divmod(frame, self.nominal)
        minutes, second = divmod(seconds, 60)
        hour, minute = divmod(minutes, 60)
        return f"{hour:02}:{minute:02}:{second:02}{';' if self.drop else ':'}{frames:02}"


_NTSC = Fraction(30000, 1001)
RATES = {
    rate.name: rate
    for rate in (
        Rate("24", Fraction(24)),
        Rate("25", Fraction(25)),
        Rate("29.97", _NTSC),
        Rate("29.97df", _NTSC, drop=True),
        Rate("30", Fraction(30)),
    )
}
