"""A file that breaks YAML's rules in one place, read on without that place."""

from __future__ import annotations

import re

from .trade_words import MEASURED, NOW

_NAMED = re.compile(r"( *(?:- +)*[^\s:#'\"\[\]{},&*!|>%@`?-][^:#]*:)(?:\s|$)")

_LISTS_OF_PARTS = re.compile(r"(?:parts|changes):\s*(?:#.*)?\Z", re.I)
_WORD_AND_COLON = re.compile(
    rf"(?<=[\s,;(])(?:{'|'.join(map(re.escape, (*MEASURED, *NOW)))}|measured|now|was|old|original|orig\.?|tested|read"
    r"|leakage|leaks?|leak|ESR|fitted|between|from|job|why|reason|note|sheet|positive|tolerance|volts|watts)(?P<colon>\s?:)(?=\s)",
    re.I,
)
_READINGS = re.compile(r"(?:readings|voltages?):\s*(?:#.*)?\Z", re.I)
_AT_AND_COLON = re.compile(r"(?<=[\s,])(?P<at>[a-z]\w*(?: \w+)?|\d{1,2})(?P<colon>\s?:)(?=\s+[-+−–~<>]?\s?\.?\d)", re.I)
"""An electrode or a pin and a colon before its volts: ``V1: 8: 246, 6: 92``."""
_LINE_SIDE = re.compile(r"(?:line|mains)[ _-]side:\s*(?:#.*)?\Z", re.I)
_ITEM_AND_COLON = re.compile(r"(?<=[\s,;])(?:plug|cord|flex|switch|fuse|touchable)(?P<colon>\s?:)(?=\s)", re.I)
_NAMED_LISTS = re.compile(r"(?:parts|tubes|valves|readings|voltages?):\s*(?:#.*)?\Z", re.I)
_NAMED_LINE = re.compile(r"(?P<indent> +)[^\s:#'\"\-][^:#]*:(?:\s|\Z)")
_BARE_LINE = re.compile(
    r"(?P<indent> +)(?P<name>[A-Z]{1,2}\d{1,3}[a-z]?)(?P<joint>\s+(?:[-–]\s+)?)(?=[^\s:#][^:#]*\Z)", re.I
)
_HEATERS = re.compile(r"heaters:\s*(?:#.*)?\Z", re.I)
_READ_AND_COLON = re.compile(r"(?<=[\s,;(])(?:measured|meas\.?|reads|feeds)(?P<colon>\s?:)(?=\s)", re.I)
_RESULTS = re.compile(r"results:\s*(?:#.*)?\Z", re.I)
_SIDE_AND_COLON = re.compile(r"(?<=[\s,;])(?:before|after|was|now|found|for|into|at)(?P<colon>\s?:)(?=\s)", re.I)
_PART = re.compile(r"\s+(?:- +)?[^\s:#'\"][^:#]*:\s+(?=[^\s'\"|>\[{#])")


def without_inner_colons(lines: list[str]) -> bool:
    """Take the colon behind a word of a part's line, or a tube's electrode, away: ``C7: was: 10 nF, measured: 13 nF``.

    Nothing else of such a line is read otherwise; False where there is none. A blank takes its place.
    """
    found = False
    within: re.Pattern[str] | None = None
    for number, line in enumerate(lines):
        if line[:1].strip():
            of_parts = _LISTS_OF_PARTS.match(line)
            within = _WORD_AND_COLON if of_parts else _AT_AND_COLON if _READINGS.match(line) else None
            within = _ITEM_AND_COLON if _LINE_SIDE.match(line) else within
            within = _READ_AND_COLON if _HEATERS.match(line) else within
            within = _SIDE_AND_COLON if _RESULTS.match(line) else within
        elif within and (part := _PART.match(line)):
            text, comment = line[part.end() - 1 :], ""
            if " #" in text:
                text, comment = text[: text.index(" #")], text[text.index(" #") :]
            plain = within.sub(lambda word: word[0][: word.start("colon") - word.start()].ljust(len(word[0])), text)
            found = found or plain != text
            lines[number] = f"{line[: part.end() - 1]}{plain}{comment}"
    return found


def with_colons(lines: list[str]) -> bool:
    """Put the colon behind the name of a part or a tube whose line has none: ``C7 was .05, now .047``.

    Only where the line stands under ``parts``, ``tubes`` or ``readings`` as deep as one with its colon; False where
    there is none. A dash between the two gives its place.
    """
    heads = [number for number, line in enumerate(lines) if line[:1].strip()]
    found = False
    for head, end in zip(heads, [*heads[1:], len(lines)], strict=True):
        if not _NAMED_LISTS.match(lines[head]):
            continue
        depths = {named.end("indent") for line in lines[head:end] if (named := _NAMED_LINE.match(line))}
        for number in range(head + 1, end):
            bare = _BARE_LINE.match(lines[number])
            if bare and bare.end("indent") in depths:
                joint = ":".ljust(max(2, len(bare["joint"])))
                lines[number] = f"{bare['indent']}{bare['name']}{joint}{lines[number][bare.end() :]}"
                found = True
    return found


def without(lines: list[str], number: int) -> bool:
    """Take what cannot be read out of line ``number`` (from 0), in place; False where there is nothing left to take.

    The first time the value is taken out and the name kept, so that what is indented below still has its place; the
    second time the line itself, with what is indented below it. Lines are emptied: the others keep their numbers.
    """
    line = lines[number]
    if not line.strip():
        return False
    named = _NAMED.match(line)
    if named and line[named.end(1) :].strip():
        lines[number] = named[1]
        return True
    depth = _indent(line)
    lines[number] = ""
    if line[depth] == "\t":
        return True
    for below in range(number + 1, len(lines)):
        if lines[below].strip() and _indent(lines[below]) <= depth:
            break
        lines[below] = ""
    return True


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
