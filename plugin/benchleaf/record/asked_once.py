"""One question for one habit: what is asked of several lines is told at the first, with the lines of the others."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from .problems import Problem, one_of
from .written_days import ONE_WAY_ONLY

SETTLES = "“dates: month first” or “dates: day first” in this record (or slash_dates in mkdocs.yml) settles them all"
"""What can be done about every date that may be two."""
_IN_M = re.compile(r"“M” (?:does not say which unit it is: write [<>~]? ?[\d.,]+ megohm|may stand for a million)")
_WITHOUT_UNIT = re.compile(r"it has no unit: write ")
_THOUSANDS = re.compile(r"may be thousands")
_QUOTED = re.compile(r"“[^”]*”")
_ASKED_BACK = "did you mean"
_A_PICTURE = "the path of a picture in the set's folder"
_NOT_LISTED = ("a part or tube of this record", "a part listed under parts")
_THE_SAME = "the same in all its words"
_USED_ONCE = ", a name used once"
_DASHED = ", two numbers with a dash"
_MORE_THAN_ONE = re.compile(r", which an? \S+ has more than one of")
_SECOND = ", a second value"


def asked_once(problems: Iterable[Problem]) -> list[Problem]:
    """The problems in the order of the file, those that ask the same habit in the first of them.

    What may be private is never told on another line than its own.
    """
    told: list[Problem] = []
    asked: dict[tuple[str, ...], list[Problem]] = {}
    for problem in sorted(problems):
        if not problem.private:
            asked.setdefault((problem.file, *_habit(problem)), []).append(problem)
        else:
            told.append(problem)
    told += [_told(habit, first, others) for (_, habit, *_), (first, *others) in asked.items()]
    return sorted(told)


def _habit(problem: Problem) -> tuple[str, ...]:
    """What a problem asks that others may ask too, by its name and what else they must share."""
    if problem.expected == ONE_WAY_ONLY:
        return ("date",)
    if _IN_M.match(problem.remedy):
        return ("M",)
    for ending in (_SECOND, _DASHED):
        if problem.found.endswith(ending):
            return (ending,)
    if problem.expected == _A_PICTURE and not problem.remedy.startswith(_ASKED_BACK):
        return ("picture",)
    if problem.expected in _NOT_LISTED:
        return ("not listed", problem.expected)
    if problem.found.endswith(_USED_ONCE) and not problem.remedy.startswith(_ASKED_BACK):
        return ("used once",)
    if several := _MORE_THAN_ONE.search(problem.found):
        return ("several", several[0])
    for way in (_WITHOUT_UNIT, _THOUSANDS):
        if way.search(problem.expected + problem.remedy):
            return (way.pattern, problem.expected)
    if "“" not in problem.found:
        return ("by itself", str(problem.line), str(problem.column), problem.field, problem.expected)
    return (_THE_SAME, problem.found, problem.expected, problem.remedy)


def _told(habit: str, first: Problem, others: Sequence[Problem]) -> Problem:
    """The first problem of a habit with the others named in it."""
    remedy = first.remedy
    if habit == "date":
        remedy = f"{remedy}; {SETTLES}"
    if others:
        how = _LIKE.get(habit, _and_what_else)(first, others)
        remedy = f"{remedy}{how}" if remedy else how.lstrip(",; ")
    return replace(first, remedy=remedy)


def _and_lines(first: Problem, others: Sequence[Problem]) -> str:
    """The other lines by their numbers alone: what stands there is asked in the same words."""
    lines = [str(line) for line in dict.fromkeys(other.line for other in others) if line != first.line]
    too = f"; it stands on line{'s' * (len(lines) > 1)} {one_of(lines, 'and')} too"
    return too if lines else f", and so for the other{'s' if len(others) > 1 else ''} on this line"


def _and_what_else(first: Problem, others: Sequence[Problem]) -> str:
    """The others with what each is about, in the words that were typed."""
    said = [f"{found[0]} on line {other.line}" for other in others if (found := _QUOTED.search(other.found))]
    return f"; the same is asked of {one_of(dict.fromkeys(said), 'and')}" if said else ""


_LIKE: dict[str, Callable[[Problem, Sequence[Problem]], str]] = {"M": _and_lines, _THE_SAME: _and_lines}
