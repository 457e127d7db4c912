"""Whether a picture's file holds its pixels and nothing else, told by the file's own structure.

What may be in one: ISO/IEC 10918-1 (JPEG) and ISO/IEC 10918-5 (JFIF), RFC 9649 (WebP), ISO/IEC 15948 (PNG) and the
GIF89a specification. Anything else, also what a later standard may allow, counts as more than pixels.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

_JFIF = b"JFIF\0"
_JFIF_SEGMENT = 14
"""Bytes of JFIF's segment behind its length, with no thumbnail in it."""
_OF_JPEG = frozenset({0xC0, 0xC1, 0xC2, 0xC4, 0xDA, 0xDB, 0xDD})
"""Frames (baseline, extended, progressive), Huffman tables, scans, quantisation tables, restart interval."""
_OF_PNG = frozenset({b"IHDR", b"PLTE", b"IDAT", b"IEND"})
_GIF_HEAD, _GIF_IMAGE = 13, 10


def is_bare(content: bytes, format: str) -> bool:
    """Whether a file, of the format by Pillow's name, holds one picture and no more: no text, place, preview."""
    return _TESTS[format](content)


def _jpeg(content: bytes) -> bool:
    at = 2
    while True:
        marker, kind = content[at : at + 1], content[at + 1 : at + 2]
        if marker != b"\xff" or not kind:
            return False
        if kind == b"\xd9":
            return at + 2 == len(content)
        length = int.from_bytes(content[at + 2 : at + 4], "big")
        if not _belongs(kind[0], content[at + 4 : at + 2 + length], first=at == 2):
            return False
        at += 2 + length
        at = _behind_scan(content, at) if kind == b"\xda" else at


def _belongs(kind: int, segment: bytes, *, first: bool) -> bool:
    """Whether a segment is one of the pixels, or the head of JFIF without a preview."""
    if kind == 0xE0:
        return first and segment.startswith(_JFIF) and len(segment) == _JFIF_SEGMENT and segment[-2:] == b"\0\0"
    return kind in _OF_JPEG


def _behind_scan(content: bytes, at: int) -> int:
    """Where the next marker stands behind the coded data of a scan; the end of the file where there is none."""
    while (at := content.find(b"\xff", at)) >= 0:
        if content[at + 1 : at + 2] not in (b"\0", *(bytes([0xD0 + n]) for n in range(8))):
            return at
        at += 2
    return len(content)


def _webp(content: bytes) -> bool:
    """One chunk of pixels: the extended form (VP8X) is that of what has more."""
    length = int.from_bytes(content[16:20], "little")
    whole = 20 + length + length % 2
    sized = int.from_bytes(content[4:8], "little") + 8
    return content[12:16] in (b"VP8 ", b"VP8L") and whole == sized == len(content)


def _png(content: bytes) -> bool:
    at, kinds = 8, []
    while at < len(content):
        length, kind = int.from_bytes(content[at : at + 4], "big"), content[at + 4 : at + 8]
        kinds.append(kind)
        at += 12 + length
        if kind == b"IEND":
            break
    return at == len(content) and set(kinds) <= _OF_PNG and kinds[-1:] == [b"IEND"]


def _gif(content: bytes) -> bool:
    """Palette and one image, with no extension."""
    at = _GIF_HEAD + _palette(content[10:11])
    if content[at : at + 1] != b",":
        return False
    at += _GIF_IMAGE + _palette(content[at + 9 : at + 10]) + 1
    for length in _blocks(content, at):
        at += 1 + length
    return content[at : at + 1] == b";" and at + 1 == len(content)


def _palette(flags: bytes) -> int:
    """Bytes of the palette that a picture's flags announce."""
    return 3 * 2 ** ((flags[0] & 7) + 1) if flags and flags[0] & 0x80 else 0


def _blocks(content: bytes, at: int) -> Iterator[int]:
    """The lengths of the blocks of data from a place on, with the empty one at their end."""
    while at < len(content):
        length = content[at]
        yield length
        if not length:
            return
        at += 1 + length


_TESTS: Mapping[str, Callable[[bytes], bool]] = {"JPEG": _jpeg, "WEBP": _webp, "PNG": _png, "GIF": _gif}
