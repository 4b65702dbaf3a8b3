"""The bench on the local network: at which address of this machine, behind which door, and as a code for a phone's
camera. Nothing is sent to find the address, and nobody in the network is asked."""

from __future__ import annotations

import ipaddress
import socket
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from solids.base.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from segno import QRCode
    from starlette.types import ASGIApp, Receive, Scope, Send

ANYWHERE = "198.51.100.1"
"""An address that no machine has (RFC 5737). The system is asked by which of its own addresses it would send there; a
datagram socket that is connected sends nothing."""

QUIET = 4
"""Light squares round a code (ISO/IEC 18004)."""

BLOCKS = {(False, False): "\u2588", (False, True): "\u2580", (True, False): "\u2584", (True, True): " "}
"""Two squares of a code, one above the other, as a sign; True is dark. What is light is drawn, for a dark terminal."""

WARNING = (
    "Anyone in this network who has that address can see your pieces and tick their steps. They can change no recipe.",
    "Nothing is encrypted: others in this network may read along. Offer it only in a network that you trust.",
    "It ends with Ctrl-C. The next time there is another address.",
)


@dataclass(frozen=True)
class Lan:
    """The address of this machine in the local network that the bench is offered at, and others that it has."""

    address: str
    others: tuple[str, ...] = ()


def lan_of(wanted: str | None) -> Lan:
    """The address to use: the `wanted` one, or that by which this machine reaches its network. InputError where there
    is none, or where it is not plain which is meant."""
    own = own_addresses()
    there = [address for address in own if _is_local(address)]
    listed = f"--lan-address takes one of {', '.join(there)}" if there else ""
    if wanted is not None:
        if wanted in there:
            return Lan(wanted)
        raise InputError(f"--lan-address {wanted[:60]}: {_why_not(wanted, own)}{f'; {listed}' if listed else ''}")
    if not there:
        raise InputError(f"--lan: {_none(own)}")
    usual = _usual_address()
    if usual not in there and len(there) > 1:
        raise InputError(f"--lan: this machine is in several networks; {listed}")
    address = usual if usual in there else there[0]
    return Lan(address, tuple(one for one in there if one != address))


def own_addresses() -> list[str]:
    """All addresses of this machine, of both kinds, on whatever is up. The system itself tells them."""
    import psutil

    up = psutil.net_if_stats()
    kinds = (socket.AF_INET, socket.AF_INET6)
    found = [
        one.address.partition("%")[0]
        for name, listed in psutil.net_if_addrs().items()
        for one in listed
        if one.family in kinds and (name not in up or up[name].isup)
    ]
    return list(dict.fromkeys(found))


def _is_local(address: str) -> bool:
    """Whether it is an IPv4 address that other machines of the same network reach, and the rest of the world does
    not."""
    found = ipaddress.ip_address(address)
    special = found.is_loopback or found.is_link_local or found.is_multicast or found.is_unspecified
    return found.version == 4 and not special and not found.is_global


def _usual_address() -> str:
    """By which of its addresses this machine would send to others; "" where it would not."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect((ANYWHERE, 9))
        except OSError:
            return ""
        return str(asked.getsockname()[0])


def _why_not(wanted: str, own: list[str]) -> str:
    if wanted not in own:
        return "this machine has no such address"
    if ipaddress.ip_address(wanted).version == 6:
        return "the bench is offered at addresses like 192.168.1.20 (IPv4) only"
    if ipaddress.ip_address(wanted).is_global:
        return "the whole internet could reach the bench there, so it is not offered"
    return "other machines cannot reach that address"


def _none(own: list[str]) -> str:
    """Why no address will do."""
    found = [ipaddress.ip_address(one) for one in own]
    if any(one.version == 4 and one.is_global for one in found):
        return "this machine stands in the open internet, not in a local network; the bench is not offered there"
    if any(one.version == 6 and not (one.is_loopback or one.is_link_local) for one in found):
        return "this network has IPv6 addresses only, and the bench is offered at IPv4 addresses only"
    return "this machine is in no network; join one, or start the bench without --lan"


class Doors:
    """Sends each request to the guard of the socket that it came in by; the start and the end of the server to the
    first."""

    def __init__(self, guards: Mapping[tuple[str, int], ASGIApp]) -> None:
        self._guards = guards
        self._first = next(iter(guards.values()))

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answers one request. One that came in by no door of ours is left unanswered."""
        own: Any = scope.get("server")
        guard = self._first if scope["type"] == "lifespan" else self._guards.get((own[0], own[1])) if own else None
        if guard is not None:
            await guard(scope, receive, send)


# --- a code for a phone's camera -------------------------------------------------------------------


def code_rows(address: str) -> list[str]:
    """The code as lines of a terminal, two rows of squares in each."""
    rows = [[bool(square) for square in row] for row in _code(address).matrix_iter(border=QUIET)]
    rows += [[False] * len(rows[0])] * (len(rows) % 2)
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return ["".join(BLOCKS[pair] for pair in zip(upper, lower, strict=True)) for upper, lower in pairs]


def code_image(address: str) -> str:
    """The code as a picture in the text of an address (SVG 1.1 in a data URI), black on white whatever the page."""
    return _code(address).svg_data_uri(scale=8, border=QUIET, dark="#000", light="#fff")


def _code(address: str) -> QRCode:
    """A QR code (ISO/IEC 18004) of the least size."""
    import segno

    return segno.make_qr(address, error="l", boost_error=False)
