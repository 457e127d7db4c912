"""Addresses in a story: how a browser will read them, and which are refused."""

from __future__ import annotations

import html
import re
import unicodedata
from urllib.parse import unquote

from markdown.util import AMP_SUBSTITUTE

from ...record.problems import quoted

SCHEMES = frozenset({"http", "https", "mailto"})
"""Kinds of address a link may have, besides the way to a file of the same site."""

LEFT_BEHIND = re.compile("\x02klzzwxh:[0-9]{0,4}\x03?|[\x02\x03]")
"""What the library leaves of its own placeholders where brackets and quotation marks are out of step."""

UNFIT = re.compile("[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069\ufdd0\ufdd1]")
"""What no page may hold: control characters, those that turn text about, and the two around our own placeholders."""

_ENTITY = re.compile(r"&(?:#[0-9]{1,8}|#[xX][0-9a-fA-F]{1,8}|[A-Za-z][A-Za-z0-9]{1,31});")
_SCHEME = re.compile(r"([A-Za-z][A-Za-z0-9+.\-]*):")


def resolved(text: str) -> str:
    """Text of Markdown's tree as a browser will have it: character references resolved until nothing changes.

    What no page may hold is left out, however it was written.
    """
    text = LEFT_BEHIND.sub("", text.replace(AMP_SUBSTITUTE, "&"))
    for _ in range(5):
        plainer = _ENTITY.sub(lambda m: html.unescape(m.group()), text)
        if plainer == text:
            break
        text = plainer
    return UNFIT.sub("", text)


def is_external(href: str) -> bool:
    """Whether a link that was let through leads to another site."""
    scheme = _SCHEME.match(href)
    return bool(scheme) and not href.lower().startswith("mailto:")


def _bare(address: str, classes: str) -> str:
    """The address without what a browser skips over: control characters, spaces."""
    return "".join(c for c in address if unicodedata.category(c)[0] not in classes)


def link_fault(href: str) -> str:
    """Why this address is refused as a link, or nothing."""
    bare = _bare(href, "CZ")
    scheme = _SCHEME.match(bare)
    if scheme and scheme[1].lower() not in SCHEMES:
        return f"{quoted(scheme[1].lower())} links are not published"
    if re.match(r"[\\/]{2}", bare):
        return "write the whole address, beginning with https://"
    if "\\" in bare:
        return "write / in place of \\"
    if not scheme and ":" in re.split(r"[/?#]", bare, maxsplit=1)[0]:
        return "this reads as an address of an unknown kind; write ./ before the file's name"
    return ""


def image_fault(src: str) -> str:
    """Why this address is refused as a picture, or nothing: it must lie in the set's folder or below."""
    bare = _bare(unquote(src), "C").strip()
    if not bare:
        return "write where the picture lies: ![what it shows](photos/name.jpg)"
    if _SCHEME.match(bare) or re.match(r"[\\/]{2}", bare):
        return "a page asks nothing of another host; put a copy in photos/"
    if bare.startswith("/") or "\\" in bare or ".." in bare.split("/"):
        return "write the way from the set's folder, as in photos/below.jpg"
    if "?" in src or "#" in src:
        return "leave out what stands behind ? or #"
    return ""
