"""Addresses on the web, and whether what they lead to is the public network and not this machine or its own."""

from __future__ import annotations

import ipaddress
from dataclasses import dataclass
from urllib.parse import quote, urljoin, urlsplit

LONGEST = 2000
"""Characters of an address."""
_PORTS = {"http": 80, "https": 443}
_SIXTO4 = ipaddress.ip_network("2002::/16")
_TRANSLATED = (ipaddress.ip_network("64:ff9b::/96"), ipaddress.ip_network("64:ff9b:1::/48"))
_COMPATIBLE = ipaddress.ip_network("::/96")
"""Networks of IPv6 in which an address of IPv4 is written (RFC 3056, 6052, 8215 and 4291)."""


class UnfitAddressError(Exception):
    """Why an address is not gone to."""


@dataclass(frozen=True)
class WebAddress:
    """An address by its parts; ``target`` is what is asked for at the host."""

    scheme: str
    host: str
    port: int
    target: str

    @property
    def written(self) -> str:
        """The whole address."""
        host = f"[{self.host}]" if ":" in self.host else self.host
        port = "" if self.port == _PORTS[self.scheme] else f":{self.port}"
        return f"{self.scheme}://{host}{port}{self.target}"


def web_address(written: str) -> WebAddress:
    """The parts of an address. Raises UnfitAddressError for one that is not http or https, or names a person."""
    if len(written) > LONGEST or any(not sign.isprintable() or sign in " \\" for sign in written):
        raise UnfitAddressError("found signs that no address has, or too many; expected http:// or https://")
    try:
        parts = urlsplit(written)
        port = parts.port
        host = (parts.hostname or "").encode("idna" if not (parts.hostname or "").isascii() else "ascii").decode()
    except (ValueError, UnicodeError):
        raise UnfitAddressError("found an address that cannot be read; expected http:// or https://") from None
    scheme = parts.scheme.lower()
    if scheme not in _PORTS or not host:
        raise UnfitAddressError("found no address on the web; expected one that begins with http:// or https://")
    if "@" in parts.netloc:
        raise UnfitAddressError("found a user's name in it; expected an address that is open to everybody")
    target = quote(parts.path or "/", safe="/%!$&'()*+,;=:@~") + (f"?{parts.query}" if parts.query else "")
    if not target.isascii():
        target = quote(target, safe="/%!$&'()*+,;=:@~?")
    return WebAddress(scheme, host.rstrip("."), port or _PORTS[scheme], target)


def led_on(address: WebAddress, location: str) -> WebAddress:
    """Where a redirect leads. Raises UnfitAddressError; also for one from https to http."""
    further = web_address(urljoin(address.written, location))
    if address.scheme == "https" and further.scheme == "http":
        raise UnfitAddressError("found a redirect from https to http; expected one that stays private on the way")
    return further


def is_public(number: str) -> bool:
    """Whether an address by its number (IP) is one of the public network, whatever way it is written."""
    try:
        ip = ipaddress.ip_address(number.partition("%")[0])
    except ValueError:
        return False
    if isinstance(ip, ipaddress.IPv6Address):
        inner = _inner(ip)
        if inner is not None:
            return is_public(str(inner))
        if ip.is_site_local or ip.teredo:
            return False
    return ip.is_global and not (ip.is_multicast or ip.is_reserved or ip.is_unspecified or ip.is_loopback)


def _inner(ip: ipaddress.IPv6Address) -> ipaddress.IPv4Address | None:
    """The address of IPv4 that one of IPv6 stands for; None where it stands for none."""
    if ip.ipv4_mapped:
        return ip.ipv4_mapped
    if ip in _SIXTO4:
        return ip.sixtofour
    if ip in _COMPATIBLE or any(ip in network for network in _TRANSLATED):
        return ipaddress.IPv4Address(int(ip) & 0xFFFF_FFFF)
    return None
