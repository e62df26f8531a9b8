"""Which address a phone in the same network reaches this computer by, and the sockets to use."""

from __future__ import annotations

import contextlib
import socket

from ..errors import AddressRefused, UsageError
from .certificates import is_private

PORT = 8750
"""The pages on this computer; a phone uses the next one."""
_ELSEWHERE = ("192.0.2.1", 9)
"""An address that is nobody's (RFC 5737). Nothing is sent there: a datagram socket only asks the
system which way it would go."""


def own_address() -> str | None:
    """The IPv4 address of this computer in its network; None where it is in none."""
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(_ELSEWHERE)
        address = str(probe.getsockname()[0])
        return None if address.startswith("127.") else address
    return None


def lan_address(wanted: str | None) -> str:
    """The address to serve phones at: `wanted`, else the one found.

    Raises UsageError where `wanted` is no private address, AddressRefused where none is found.
    """
    if wanted is not None:
        try:
            if is_private(wanted):
                return wanted
        except ValueError:
            pass
        raise UsageError(
            f"{wanted!r} is no address of a home network.", "Give one such as 192.168.1.20."
        )
    found = own_address()
    if found is None:
        raise AddressRefused(
            "This computer is in no network that a phone could reach it by.",
            "Connect it to the same Wi-Fi as the phone, or name its address with --address.",
        )
    if not is_private(found):
        raise AddressRefused(
            f"This computer's address, {found}, can be reached from the whole internet.",
            "Use it in a home network, or name an address of one with --address.",
        )
    return found


def local_name() -> str:
    """The name by which other devices may find this computer without knowing its address."""
    return f"{socket.gethostname().split('.')[0].lower()}.local"


def listening(host: str, port: int) -> socket.socket:
    """A socket that listens there. Raises AddressRefused."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        return socket.create_server((host, port), family=family, backlog=256)
    except OSError as error:
        raise AddressRefused(
            f"The pages cannot be served at {host}, port {port} ({error.strerror}).",
            "Is ashdraft open running already? Else choose another port with --port.",
        ) from error
