"""A club's own words for words of the trade, read from a file beside its records: ``lytic`` for ``electrolytic``.

They are put into the lines of a record's sections before these are read. Names, what stands on the first level (owner,
chassis, power), the line side and free text stay as typed. A word that is known already never gets another meaning.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from .known_words import known_words
from .own_word_used import OwnWordUsed
from .problems import Problem, quoted
from .slips import Slips, near
from .text import Entries, LineColumn, Listing, Text

MOST_WORDS = 500
OwnWords = tuple[tuple[str, str], ...]
"""Each word in small letters with what it means, in the order of the file."""

_FIELD = "words"
_HEADINGS = {
    **dict.fromkeys(("word", "own word", "our word", "written", "abbreviation"), "word"),
    **dict.fromkeys(("means", "meaning", "stands for"), "means"),
}
_FIT = re.compile(r"[^\W\d_][\w'./&-]{0,39}(?: [\w'./&-]{1,39}){0,2}")
_FIT_MEANING = re.compile(r"[^\W\d_][\w+/&-]{0,39}(?: [\w+/&-]{1,39}){0,4}")
_NUMBERED = re.compile(r"[A-Za-z]{1,4}[-+ ]?\d+\w?|\w")
"""What positions, parts and rails are called, and letters alone, which are units and electrodes."""
_NOT_READ = frozenset({"line side", "photos", "recordings", "papers", "log"})
"""What a hand may reach is told in words that everybody reads alike; the others are names of files and free text."""
_FREE_TEXT = frozenset({"note", "notes", "remark", "remarks", "why", "reason", "caption", "source", "table", "from"})


def read_own_words(data: bytes, file: str) -> tuple[OwnWords, tuple[Problem, ...]]:
    """The words of a file, and a Problem for each line of it that cannot be; the other lines count."""
    from .saved_table import headed, saved_table

    slips = Slips(file)
    table, problems = saved_table(data, file, "a list of words")
    if table is None:
        return (), tuple(problems)
    head = headed(table, _HEADINGS, ("word", "means"))
    columns = [meant for meant, _ in head.columns] if head else []
    if head is None or "word" not in columns or "means" not in columns:
        first = table.rows[0] if table.rows else ()
        slips.add(None, _FIELD, quoted(", ".join(first) or "nothing"), "the headings word and means")
        return (), (*problems, *slips.problems())
    found: dict[str, tuple[str, Text]] = {}
    for cells in head.rows:
        row = {column: cell for column, cell in zip(columns, cells, strict=False) if column}
        word, means, at = row.get("word", cells[0]), row.get("means", cells[0]), cells[0]
        if len(found) == MOST_WORDS:
            slips.add(at, _FIELD, f"more than {MOST_WORDS} words", f"at most {MOST_WORDS}", "leave some out")
            break
        if _folded(word) in found:
            slips.add(at, _FIELD, f"{quoted(word)} a second time", "each word once")
        elif _is_fit(word, means, at, slips):
            found[_folded(word)] = " ".join(means.split()), at
    return _unchained(found, slips), (*problems, *slips.problems())


def _unchained(found: Mapping[str, tuple[str, Text]], slips: Slips) -> OwnWords:
    """The words whose meaning holds no other of them: nothing is read twice."""
    kept = []
    for word, (means, at) in found.items():
        if found.keys() & set(_folded(means).split()):
            told = f"{quoted(means)} for {quoted(word)}, which holds a word of this list"
            slips.add(at, _FIELD, told, "words that are known without it")
        else:
            kept.append((word, means))
    return tuple(kept)


def reworded(tree: Entries, words: OwnWords) -> tuple[OwnWordUsed, ...]:
    """Put what the words mean into the lines of a record's ``tree``, in place; the words that it has."""
    if not words:
        return ()
    used: dict[str, list[LineColumn]] = {}
    for name, value in tree.items():
        if isinstance(value, Entries | Listing) and _folded(name) not in _NOT_READ:
            _within(value, words, used)
    meanings = dict(words)
    return tuple(OwnWordUsed(word, meanings[word], tuple(sorted(places))) for word, places in used.items())


def _within(root: Entries | Listing, words: OwnWords, used: dict[str, list[LineColumn]]) -> None:
    waiting: list[Entries | Listing] = [root]
    for node in waiting:
        for at, value in list(node.items() if isinstance(node, Entries) else enumerate(node)):
            if isinstance(at, str) and _folded(at) in _FREE_TEXT:
                continue
            if isinstance(value, Text):
                node[at] = _reworded(value, words, used)  # type: ignore[index,call-overload]
            elif isinstance(value, Entries | Listing):
                waiting.append(value)


def _reworded(line: Text, words: OwnWords, used: dict[str, list[LineColumn]]) -> Text:
    """A line with what its own words mean, up to its remark."""
    meanings = dict(words)
    body, semicolon, remark = line.partition(";")

    def meant(found: re.Match[str]) -> str:
        word = _folded(found[0])
        used.setdefault(word, []).append(line.at(found.start()))
        return meanings[word]

    made = _pattern(words).sub(meant, body)
    return line if made == body else line.taken_as(f"{made}{semicolon}{remark}")


@lru_cache(maxsize=8)
def _pattern(words: OwnWords) -> re.Pattern[str]:
    longest_first = sorted((word for word, _ in words), key=len, reverse=True)
    either = "|".join(re.escape(word).replace(r"\ ", r"\s+") for word in longest_first)
    return re.compile(rf"(?<![\w.+/-])(?:{either})(?![\w+/-]|\.\w)", re.I)


def _is_fit(word: Text, means: Text, at: Text, slips: Slips) -> bool:
    """Whether a word may mean something else; if not, that is told."""
    known = known_words()
    if not _FIT.fullmatch(word) or _NUMBERED.fullmatch(word):
        slips.add(at, _FIELD, quoted(word, 60), "one to three words of letters, such as “lytic”, no name of a part")
    elif not _FIT_MEANING.fullmatch(means):
        slips.add(at, _FIELD, f"{quoted(means, 60)} for {quoted(word)}", "one to five words, without commas or values")
    elif known.has(word) and not known.same(word, means):
        expected = "a word of your own: what is known already keeps its meaning"
        slips.add(at, _FIELD, f"{quoted(word)}, which is known already", expected)
    elif set(_folded(means).split()) & known.private:
        slips.add(at, _FIELD, f"{quoted(means)} for {quoted(word)}", "a word of the trade, none for whose a set is")
    elif not known.tells(means):
        expected = f"what {quoted(word)} means in words of a record, such as “electrolytic”"
        slips.add(at, _FIELD, quoted(means), expected, near(means, sorted(known.phrases)))
    else:
        return True
    return False


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()
