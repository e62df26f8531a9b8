"""Where each packet of a recording lies in time, sound or unsound as its time stamps may be."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from av.packet import Packet

# Without a credible length in the header, a jump ahead of more than this is a broken stamp.
_LONGEST_SILENT_JUMP = 60.0
_BACKWARD_TOLERANCE = 1.0


class Clock:
    """Maps time stamps to seconds from the recording's start.

    Gaps that the stamps show are kept. A jump past the promised length `limit` (seconds), or
    one back by more than a second, is taken for a broken stamp: time then runs straight on.
    """

    def __init__(
        self, time_base: Fraction | None, zero: float | None = None, limit: float | None = None
    ) -> None:
        self._tick = float(time_base) if time_base else 0.0
        self._zero = zero
        self._limit = limit
        self.end = 0.0

    def place(self, packet: Packet[Any]) -> float:
        """Seconds at which `packet` starts; call once for each packet, in file order."""
        stamp = packet.pts
        if stamp is None:
            stamp = packet.dts
        start = self.end if stamp is None or not self._tick else self._settle(stamp * self._tick)
        end = start + (packet.duration or 0) * self._tick
        if end > self.end:
            self.end = end
        return start

    def seconds(self, stamp: int | None) -> float | None:
        """A decoded frame's stamp in seconds, by the packets placed so far."""
        if stamp is None or not self._tick or self._zero is None:
            return None
        return stamp * self._tick - self._zero

    def _settle(self, seconds: float) -> float:
        if self._zero is None:
            self._zero = seconds
        start = seconds - self._zero
        end = self.end
        if start < end - _BACKWARD_TOLERANCE or start > end + _LONGEST_SILENT_JUMP:
            promised = self._limit is not None and end <= start <= self._limit + 1.0
            if not promised:
                self._zero = seconds - end
                start = end
        return start
