"""One file from the web: by http or https, from the public network alone, and within bounds of size and time.

The host is looked up once, and the connection goes to the address that was looked at, so that a name which leads
elsewhere the next time leads nowhere. Each redirect is looked at anew. No proxy, password or cookie is used.
"""

from __future__ import annotations

import http.client
import socket
import ssl
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass

from ... import __version__
from .public_address import UnfitAddressError, WebAddress, is_public, led_on, web_address

SECONDS = 60.0
"""For all of it, redirects included."""
_SILENT = 15.0
"""Seconds that a host may say nothing."""
MOST_REDIRECTS = 3
_MOVED = frozenset({301, 302, 303, 307, 308})
_PIECE = 65536
_ASKED = {
    "Accept": "application/json",
    "Accept-Encoding": "identity",
    "Connection": "close",
    "User-Agent": f"benchleaf/{__version__}",
}


class NotFetchedError(Exception):
    """Why a file could not be fetched."""


def _looked_up(host: str, port: int) -> Sequence[str]:
    return [str(found[4][0]) for found in socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)]


def _connected(number: str, port: int, seconds: float) -> socket.socket:
    return socket.create_connection((number, port), seconds)


@dataclass(frozen=True)
class WayToWeb:
    """The way to the network: ``looked_up`` gives a host's addresses by number, ``connected`` a connection to one."""

    looked_up: Callable[[str, int], Sequence[str]] = _looked_up
    connected: Callable[[str, int, float], socket.socket] = _connected


@dataclass(frozen=True)
class Fetched:
    """What was fetched, and the address it came from in the end."""

    data: bytes
    address: str


def fetched(written: str, most: int, network: WayToWeb | None = None, seconds: float = SECONDS) -> Fetched:
    """The file at an address, of ``most`` bytes at the most, within so many ``seconds``.

    Raises NotFetchedError, and UnfitAddressError for an address that is none.
    """
    way = network or WayToWeb()
    address = web_address(written)
    watch = _Watch(seconds)
    try:
        for _ in range(MOST_REDIRECTS + 1):
            found = _asked(address, most, way, watch)
            if isinstance(found, bytes):
                return Fetched(found, address.written)
            address = found
    except (OSError, http.client.HTTPException, ValueError) as error:
        raise NotFetchedError(_why(error, watch, seconds)) from None
    finally:
        watch.end()
    raise NotFetchedError(f"found more than {MOST_REDIRECTS} redirects; expected the file")


def _why(error: Exception, watch: _Watch, seconds: float) -> str:
    if watch.over:
        return f"found no end after {seconds:.0f} s; expected the whole file by then"
    if isinstance(error, ssl.SSLCertVerificationError):
        return f"found a certificate that does not hold: {error.verify_message}"
    if isinstance(error, TimeoutError):
        return f"found no answer for {_SILENT:.0f} s"
    said = getattr(error, "strerror", None) or str(error) or type(error).__name__
    return f"cannot be reached: {' '.join(said.split())[:200]}"


class _Watch:
    """Ends the connection when the time is up, however slowly a host still says something."""

    def __init__(self, seconds: float) -> None:
        self.over = False
        self._connection: socket.socket | None = None
        self._timer = threading.Timer(seconds, self._stop)
        self._timer.daemon = True
        self._timer.start()

    def over_it(self, connection: socket.socket) -> None:
        """Watch this connection from now on. Raises TimeoutError where the time is up."""
        self._connection = connection
        if self.over:
            raise TimeoutError

    def end(self) -> None:
        """The time is not counted any more."""
        self._timer.cancel()

    def _stop(self) -> None:
        self.over = True
        if self._connection is not None:
            with suppress(OSError):
                self._connection.shutdown(socket.SHUT_RDWR)


def _asked(address: WebAddress, most: int, network: WayToWeb, watch: _Watch) -> bytes | WebAddress:
    """The file at an address, or where it leads on to."""
    plain = network.connected(_number(address, network), address.port, _SILENT)
    with plain:
        watch.over_it(plain)
        sock = _private(plain, address.host) if address.scheme == "https" else plain
        with sock:
            watch.over_it(sock)
            asking = http.client.HTTPConnection(address.host, address.port)
            asking.sock = sock
            asking.request("GET", address.target, headers=_ASKED)
            answer = asking.getresponse()
            if answer.status in _MOVED:
                return led_on(address, answer.getheader("Location") or "")
            return _content(answer, most)


def _number(address: WebAddress, network: WayToWeb) -> str:
    """The number of the host, which is one of the public network by each of its numbers."""
    try:
        numbers = network.looked_up(address.host, address.port)
    except (OSError, UnicodeError):
        raise NotFetchedError(f"found no host of the name {address.host}") from None
    if not numbers or not all(map(is_public, numbers)):
        raise UnfitAddressError("found an address of this machine or its own network; expected one of the public web")
    return numbers[0]


def _private(plain: socket.socket, host: str) -> socket.socket:
    return ssl.create_default_context().wrap_socket(plain, server_hostname=host)


def _content(answer: http.client.HTTPResponse, most: int) -> bytes:
    if answer.status != http.client.OK:
        raise NotFetchedError(f"found the answer {answer.status}; expected the file")
    if (answer.getheader("Content-Encoding") or "identity").lower() != "identity":
        raise NotFetchedError("found a compressed answer, which was not asked for")
    pieces, size = [], 0
    while piece := answer.read(_PIECE):
        pieces.append(piece)
        size += len(piece)
        if size > most:
            raise NotFetchedError(f"found more than {most // 1_000_000} MB; expected the sets.json of an archive")
    if answer.length:
        raise NotFetchedError("found a file that breaks off; expected all of it")
    return b"".join(pieces)
