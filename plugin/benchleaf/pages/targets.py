"""Links between the pages of one set: each leads to the page that has its target, whichever page it stands on."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable, Mapping
from html import escape, unescape

_INSIDE = re.compile(r'(<a\b[^>]*?\s(?:xlink:)?href=")#([^"]+)"')
_ADDRESS = re.compile(
    r'((?:href|src)="(?:(?<=\shref=")|(?<=\sxlink:href=")|(?<=\ssrc=")))(?![a-zA-Z][a-zA-Z0-9+.-]*:|//|#)([^"]*)"'
)
_SRCSET = re.compile(r'(\ssrcset=")([^"]+)"')


def led(html: str, own: Iterable[str], places: Mapping[str, str]) -> str:
    """The page with each link to an id that it lacks leading to ``places[id]``; without a target it is left as it is.

    ``own`` are the ids of the page itself, which come first.
    """
    here = frozenset(own)

    def lead(match: re.Match[str]) -> str:
        target = unescape(match[2])
        address = None if target in here else places.get(target)
        return match[0] if address is None else f'{match[1]}{escape(address)}"'

    return _INSIDE.sub(lead, html)


def one_deeper(html: str) -> str:
    """The page with its addresses as they are from a folder below."""
    html = _ADDRESS.sub(lambda m: f'{m[1]}{escape(_deeper(unescape(m[2])))}"', html)
    return _SRCSET.sub(lambda m: f'{m[1]}{", ".join(_deeper(each) for each in m[2].split(", "))}"', html)


def _deeper(address: str) -> str:
    path, mark, fragment = address.partition("#")
    if path in ("", "./"):
        return f"../{mark}{fragment}"
    ends = "/" if path.endswith("/") else ""
    return posixpath.normpath(f"../{path}") + ends + mark + fragment


def from_below(addresses: Mapping[str, str]) -> dict[str, str]:
    """Where the same targets are from a folder below."""
    return {target: _deeper(address) for target, address in addresses.items()}
