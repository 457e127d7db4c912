"""A part's line with a comma between its clauses, whatever sign parted them: ``paper - reads 80 nF; V4 g1 to chassis``.

A sign is a comma where a clause begins behind it: what was or is there, what was measured, how it leaks, its ends, its
day. So no value goes into a remark behind a semicolon. Signs and words are replaced by as many characters, so that
everything keeps its column.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from .line_values import words_of
from .numerals import NUMBER
from .spoken import place_at
from .text import Text
from .trade_words import CONDITIONS, LEAKY, MEASURED, NOW
from .whole_sentences import in_its_clauses
from .written_days import comma_in_date, looks_like_a_date


def _any(words: Iterable[str]) -> str:
    return "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))


_LEAKS = {"leak", "leaked", "leakage", "insulation"} | {word for word, means in CONDITIONS.items() if means == LEAKY}
_SIGN = r"(?:\s*[:=]\s*|\s+)"
_FIGURE = rf"[<>~≈]?\s?{NUMBER}"
_READS = rf"(?:{_any(('measured', 'tested', 'checked', 'read', *MEASURED))})"
_IS_NEW = rf"(?:{_any(('now', *NOW))})"
_UNIT = r"(?:[µμu]F|nF|pF|m?mfds?|mmf|uuF|MFD|n|p|k|R|meg(?:ohms?)?|[kM]?\s?(?:ohms?|Ω))"
_VALUE = rf"(?<![\w.])(?:{NUMBER}\s?{_UNIT}(?![\w])|\d+[kRM]\d{{1,2}}(?!\w))"
_OPENS = re.compile(
    rf"(?:{_READS}{_SIGN}{_FIGURE}|(?:{_IS_NEW}{_SIGN}|->|=>|→)(?:an?\s|new\s)?{_FIGURE}"
    rf"|(?:was|original(?:ly)?|orig\.?){_SIGN}{_FIGURE}|(?:{_any(_LEAKS)}|ESR)(?:\sof)?{_SIGN}{_FIGURE}"
    rf"|(?:(?:now )?fitted|put in|fitted new)\s+{_VALUE})",
    re.I,
)
_NEW = re.compile(rf"(?:(?<=[\s,;(])|\A)(?:{_IS_NEW}{_SIGN}|->|=>|→)(?:an?\s|new\s)?{_FIGURE}", re.I)
_OLD_WORD = re.compile(rf"(?:(?<=^)|(?<=[\s,;(]))(?:originally|original|orig\.?)(?=\s+{_VALUE})", re.I)
_READS_AS = re.compile(rf"(?<!\w){_READS}(?P<sign>\s*[:=]\s*)(?={_FIGURE})", re.I)
_READ = re.compile(rf"(?:(?<=^)|(?<=[,;] )|(?<=[,;]  ))read(?=[\s:=]+{_FIGURE})", re.I)
_FITTED_NEW = re.compile(
    rf"(?:(?<=^)|(?<=[\s,;(]))(?:now fitted|fitted new|new fitted|put in|fitted)(?=\s+{_VALUE})", re.I
)
_OFF_EITHER_WAY = re.compile(
    r"(?:(?<=[^\W\d_])|(?<=[kKRM]\d)|(?<=[kKRM]\d\d))\s*(?:±|\+\s?/?\s?-|\+-)\s?(?=\d{1,2}\s?%)"
)
"""Before a part's tolerance, which is that of its value and not of the watts right before it."""
_EXCLAIMED = re.compile(r"(?P<value>\d\s?(?:[^\W\d]{1,6}|[Ω%])?)(?P<marks>!+)(?=[\s,;)]|\Z)")
_DATED = re.compile(
    r"(?P<word>fitted|changed|replaced|renewed|swapped|done)?\s*(?:\b(?:on(?:\s+the)?|am|op)\s+)?(?P<day>\S.*)",
    re.I | re.S,
)
_SIGNS = re.compile(
    r";(?=\s)|(?<=[\w%Ω)+-])\.(?=\s)|(?<=\s)[-–—](?=\s)|(?<=\s)\(|\A\(|(?<=[^\s,])\s(?=(?:->|=>)\s?[.\d])"
)
_SHORT = re.compile(
    r"(?<![\w.])(?:repl|orig|meas|elec|approx|ca|cap|osc|resp|incl|nr|no|pos|neg|cond|cath|max|min|sec|pri|prim|res|appr)\Z",
    re.I,
)
"""Words that are written short with a point, which ends no clause."""
_JOINTS = frozenset({"to", "and", "-", "–", "naar", "nach"})
_ARROWS = {"->": "to", "/": "-", "→": "-", "=>": "to"}
_LEAD = re.compile(r"(?:between|from|zwischen|tussen|von|van)\s+", re.I)
_ENDS_HERE = re.compile(r";(?=\s)|(?<=[\w%Ω)+-])\.(?=\s)|(?<=\s)[-–—](?=\s)|\(|\)")

_GOES_ON = re.compile(r"\) \s*[^\s,;.]")
_TOLD_BESIDE = re.compile(r"\s*,?\s*\((?P<told>(?:[^()\s\d]+\s+){2,}[^()\s\d]+)\)(?=\s*(?:,|;|\Z))")
_OPENS_A_KEY = re.compile(rf"\b(?:was|{_IS_NEW})(?!\w)", re.I)
"""What a sentence in brackets may have in it and does not mean: ``(while I was in there)``."""


def clauses_parted(line: Text) -> Text:
    """The part's line with its clauses parted by commas, and in the words that its grammar has for them."""
    if not line.single:
        return line
    plain = in_its_clauses(line)
    if plain != line:
        line = line.taken_as(plain)
    said = _ends_joined(line)
    said = _EXCLAIMED.sub(lambda loud: loud["value"].ljust(len(loud[0])), said)
    chars = list(said)
    for sign in _SIGNS.finditer(said):
        at = sign.start()
        before = "".join(chars[:at]).rstrip()
        comma = len(before) if before and before[-1] not in ",;" else None
        if said[at] == "(":
            if not _opens_bracket(chars, said, at, line):
                continue
        elif said[at] == " ":
            chars[at : at + 3] = "  →"
        elif not (said[at] == "." and _SHORT.search(said[:at])) and _begins_clause(said, at + 1, line):
            chars[at] = " "
        else:
            continue
        if comma is not None and chars[comma] == " ":
            chars[comma] = ","
    said = _told_beside(_in_its_words("".join(chars)), line)
    return line.taken_as(said) if said != line else line


def _told_beside(said: str, line: Text) -> str:
    """The line with a note of what is told in brackets, or behind a semicolon with values of the part behind that."""
    said = _TOLD_BESIDE.sub(
        lambda told: f", note {told['told']}" if _OPENS_A_KEY.search(told["told"]) else told[0], said
    )
    mark = said.find("; ")
    behind = said[mark + 2 :].split(", ") if mark > 0 else []
    clause = (n for n, item in enumerate(behind) if n and (_OPENS.match(item.strip()) or _is_ends(item.strip(), line)))
    if first := next(clause, 0):
        return f"{said[:mark]}, {', '.join(behind[first:])}, note {', '.join(behind[:first])}"
    return said


def _opens_bracket(chars: list[str], said: str, at: int, line: Text) -> bool:
    """Whether a clause stands in a bracket, which then is taken away: a comma stands for its end."""
    close = said.find(")", at)
    inner = said[at + 1 : close]
    if close < 0 or "(" in inner or not _begins_clause(inner, 0, line):
        return False
    chars[at] = " "
    chars[close] = "," if _GOES_ON.match(said, close) else " "
    return True


def _begins_clause(said: str, start: int, line: Text) -> bool:
    """Whether a clause of a part's line stands at a character."""
    rest = said[start:].lstrip()
    if _OPENS.match(rest) or (re.match(_VALUE, rest, re.I) and not re.search(_VALUE, said[:start], re.I)):
        return True
    end = next((m.start() for m in re.finditer(r",(?=\s|$)", rest) if not comma_in_date(rest, m.start())), len(rest))
    stop = _ENDS_HERE.search(rest[:end])
    item = rest[:end]
    if (dated := _DATED.fullmatch(item.rstrip(" )."))) and looks_like_a_date(dated["day"]):
        return True
    if _is_ends(item, line):
        return True
    alone = (item[: stop.start()] if stop else item).strip(" .)")
    return bool(alone) and alone.casefold() in CONDITIONS


def _is_ends(item: str, line: Text) -> bool:
    """Whether an item begins with two places that a part joins."""
    lead = _LEAD.match(item)
    text = Text(item[lead.end() if lead else 0 :].replace(";", " ")).like(line)
    words = words_of(text, strokes=False)
    first = place_at(text, words, 0) if words else None
    joint = first[0] if first else 0
    if not joint or joint + 1 >= len(words) or text[slice(*words[joint])].casefold() not in _JOINTS:
        return False
    return place_at(text, words, joint + 1) is not None


def _ends_joined(line: Text) -> str:
    """The line with a word for the arrow or the stroke between two places: ``V3 anode -> V4 g1``, ``HT2 / chassis``."""
    said = str(line)
    line = Text(re.sub(r"[;()]", " ", line), line.place).like(line)
    words = words_of(line, strokes=False)
    for at, (start, end) in enumerate(words[:-1]):
        joint = _ARROWS.get(said[start:end])
        if joint is None or place_at(line, words, at + 1) is None:
            continue
        if any((place := place_at(line, words, n)) and n + place[0] == at for n in range(at)):
            said = f"{said[:start]}{joint}{said[end:]}"
    return said


def _in_its_words(said: str) -> str:
    """Other words for what was there, what is there and when it came, as the grammar has them."""
    said = _OLD_WORD.sub(lambda word: "was".ljust(len(word[0])), said)
    said = _OFF_EITHER_WAY.sub(lambda off: " " * len(off[0]) if len(off[0]) > 1 else off[0], said)
    said = _READS_AS.sub(lambda word: word[0][: word.start("sign") - word.start()] + " " * len(word["sign"]), said)
    said = _READ.sub("meas", said)
    said = _FITTED_NEW.sub(lambda word: "now".ljust(len(word[0])), said)
    return _days_said(said) if _NEW.search(said) else said


def _days_said(said: str) -> str:
    """``on 14/3-2025`` and ``changed 14/3-2025`` behind what is there now: the day it was fitted."""
    start = 0
    for comma in [*re.finditer(r",(?=\s)", said), None]:
        end = comma.start() if comma else len(said)
        if comma and comma_in_date(said, end):
            continue
        item = said[start:end]
        dated = _DATED.fullmatch(item.strip())
        if dated and looks_like_a_date(dated["day"]) and dated.start("day"):
            lead = len(item) - len(item.lstrip())
            word = (dated["word"] or "").casefold()
            until = lead + dated.start("day")
            head = "" if len(word) < len("fitted") else "fitted"
            said = f"{said[:start]}{' ' * lead}{head.ljust(until - lead)}{said[start + until :]}"
        start = end + 1
    return said
