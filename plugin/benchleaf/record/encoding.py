"""A file's bytes to text: its length, its encoding, and the characters that do not belong in a record."""

from __future__ import annotations

import re

from .problems import Problem

MAX_BYTES = 1_000_000
_MOST_TOLD = 10
_SAVE = "save the file again with the encoding UTF-8"

FOREIGN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ufeff\ufffe\uffff]")
_OTHER_ENCODINGS = {b"\xff\xfe": "UTF-16", b"\xfe\xff": "UTF-16", b"\x00\x00\xfe\xff": "UTF-32"}


def decode(data: bytes, file: str) -> tuple[str, list[Problem]]:
    """The text of a file's bytes, and its problems: too long, not UTF-8, control characters.

    After a problem the text is what can be read of it, so that the rest can be told of too; line and column are kept.
    """
    if len(data) > MAX_BYTES:
        found = f"a file of more than {MAX_BYTES:,} bytes"
        return "", [Problem(file, 1, 1, "", found, f"at most {MAX_BYTES:,}", "move long text into story.md")]
    for mark, encoding in _OTHER_ENCODINGS.items():
        if data.startswith(mark):
            found = f"text in {encoding}"
            return "", [Problem(file, 1, 1, "", found, "text in UTF-8", _SAVE)]
    problems = []
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        problems.append(_foreign_byte(data, error.start, file))
        text = data.removeprefix(b"\xef\xbb\xbf").decode("cp1252", errors="replace")
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if "\0" in text[:1000] and text.count("\0") > len(text) // 10:
        return "", [Problem(file, 1, 1, "", "a file that is no plain text", "text in UTF-8", _SAVE)]
    return _cleaned(text, file, problems), problems


def _foreign_byte(data: bytes, at: int, file: str) -> Problem:
    """The first byte that is not UTF-8, with the letter it most likely was."""
    before = data[:at].decode("utf-8", errors="replace").replace("\r\n", "\n")
    line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
    letter = data[at : at + 1].decode("cp1252", errors="replace")
    likely = f", a “{letter}” in an old encoding" if letter.isalpha() else ""
    return Problem(file, line, column, "", f"the byte 0x{data[at]:02x}{likely}", "text in UTF-8", _SAVE)


def _cleaned(text: str, file: str, problems: list[Problem]) -> str:
    """The text with a blank for each control character; the first of each line is told of, in the first few lines."""
    if not FOREIGN.search(text):
        return text
    told = 0
    for number, line in enumerate(text.split("\n"), 1):
        foreign = FOREIGN.search(line)
        if foreign and told < _MOST_TOLD:
            told += 1
            found = f"the control character U+{ord(foreign[0]):04X}"
            problems.append(Problem(file, number, foreign.start() + 1, "", found, "plain text", "delete it"))
    return FOREIGN.sub(" ", text)
