"""The one grammar of the line form: a line of items becomes the mapping it stands for, each part with its place.

Items are separated by comma and blank; ``; `` begins a remark that runs to the end. An item holds values (the unit says
what each is), words of the section's own list, or a word and its value (any key of the section's mapping form). A
``group`` is a word that opens a nested line: after ``was``, the items that belong to a component go to it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from .problems import did_you_mean, quoted
from .quantities import AmbiguousQuantity, QuantityError, read_any, read_quantity
from .text import Listing, Table, Text

_MOST_WORDS_IN_A_VALUE = 4
_PATTERNS = {
    "date": re.compile(r"\d{4}-\d{1,2}-\d{1,2}$"),
    "picture": re.compile(r"\S.*\.(?:jpe?g|png|webp|gif|tiff?|heic|bmp|svg)$", re.I),
}
_STARTS_VALUE = re.compile(r"[-+−–~<>≤≥±.,\d½¼¾⅛⅓⅔∞]|OL\b|open\b|short\b|[RrpPnNuUµkK]\d")
_JOINED_COMMA = re.compile(r"(?<=\D),(?=[^\s\d])|(?<=\d),(?=[A-Za-z])|(?<=[A-Za-z]),(?=\d)")


@dataclass(frozen=True)
class Form:
    """How a line of one section is read.

    ``values`` maps a kind of quantity (or ``date``, ``picture``) to the key that takes it; ``words`` a word of the trade to its key;
    ``first`` names the keys that the leading items fill, whatever they hold; ``groups`` maps a key to the form of the
    nested line it opens; ``implied`` names the group that takes what only it can read; ``rest`` the key that collects
    free text; ``remark`` the key for what follows a semicolon. ``begins`` lists kinds that begin another entry, which
    makes the line a list. ``skipped`` are words that carry nothing here.
    """

    heads: tuple[str, ...] = ()
    values: Mapping[str, str] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    first: tuple[str, ...] = ()
    groups: Mapping[str, Form] = field(default_factory=dict)
    implied: str = ""
    rest: str = ""
    remark: str = ""
    begins: tuple[str, ...] = ()
    skipped: frozenset[str] = frozenset()
    synonyms: Mapping[str, str] = field(default_factory=dict)

    def phrases(self) -> dict[str, tuple[str, str]]:
        """Every word this form knows, folded, with what it does (``head``, ``group``, ``word``) and its key."""
        known = {word.casefold(): ("word", key) for word, key in self.words.items()}
        known |= {key.casefold(): ("head", key) for key in self.heads}
        known |= {word.casefold(): ("head", key) for word, key in self.synonyms.items()}
        known |= {
            word: ("group", key) for word, (_, key) in known.items() if key in self.groups and word not in self.words
        }
        return known

    def vocabulary(self) -> list[str]:
        """The words a writer may have meant, for the nearest right one."""
        nested = self.groups[self.implied].vocabulary() if self.implied else []
        return [*self.words, *self.heads, *self.synonyms, *nested]


@dataclass(frozen=True)
class Mistake:
    """Something in a line that its form cannot read."""

    text: Text
    found: str
    expected: str
    remedy: str = ""


def items(text: Text) -> Iterator[Text]:
    """The items of a line. A comma with no blank after it does not end an item: ``0,05 uF`` is one value."""
    start = 0
    for comma in re.finditer(r",(?=\s|$)", text):
        yield text.cut(start, comma.start())
        start = comma.end()
    yield text.cut(start)


def listed(text: Text) -> list[Text]:
    """Names in a row, separated by comma and blank or by ``and``: ``V5, V4 and V2``."""
    found: list[Text] = []
    for item in items(text):
        start = 0
        for joint in re.finditer(r"\s+(?:and|&)\s+", item):
            found.append(item.cut(start, joint.start()))
            start = joint.end()
        found.append(item.cut(start))
    return [name for name in found if name]


def read_line(text: Text, form: Form) -> tuple[Table | Listing, list[Mistake]]:
    """The mapping a line stands for (a list where its values can begin another), and its mistakes."""
    line = _Line(text, form)
    body, remark = text, None
    if form.remark and (semicolon := re.search(r";\s", text)):
        body, remark = text.cut(0, semicolon.start()), text.cut(semicolon.end())
    for item in items(body):
        if item:
            line.take(item)
        else:
            line.mistakes.append(Mistake(text, "a comma with nothing beside it", "something between the commas"))
    if remark:
        line.put(form.remark, remark, form.remark)
    return line.result(), line.mistakes


@lru_cache(maxsize=4096)
def _kind_of(written: str, kinds: tuple[str, ...]) -> tuple[str, bool]:
    """Which of ``kinds`` a text reads as and whether it is clear; ("", False) where none fits."""
    for kind, pattern in _PATTERNS.items():
        if kind in kinds and pattern.match(written):
            return kind, True
    measured = tuple(kind for kind in kinds if kind not in _PATTERNS)
    try:
        found = read_any(written, measured)
    except AmbiguousQuantity:
        return next((k for k in measured if _asks(written, k)), ""), False
    return (found.kind, True) if found else ("", False)


def _asks(written: str, kind: str) -> bool:
    """True where a text is a value of this kind that its own field will ask about."""
    try:
        read_quantity(written, kind)
    except AmbiguousQuantity:
        return True
    except QuantityError:
        return False
    return True


class _Line:
    """One line while it is read: the table it fills, and the group that is open in it."""

    def __init__(self, text: Text, form: Form) -> None:
        self.form = form
        self.tables = Listing(text.place)
        self.tables.append(Table(text.place))
        self.known = form.phrases()
        self.longest = max((phrase.count(" ") + 1 for phrase in self.known), default=1)
        self.mistakes: list[Mistake] = []
        self.group: _Line | None = None
        self.taken = 0

    def result(self) -> Table | Listing:
        if self.form.begins:
            return self.tables
        only: Table = self.tables[0]
        return only

    def put(self, key: str, value: object, written: str | Text) -> None:
        table = self.tables[-1]
        if key in table:
            at = written if isinstance(written, Text) else Text(written, table.place)
            self.mistakes.append(Mistake(at, f"{quoted(at)} after {quoted(str(table[Text(key)]))}", f"one {key} only"))
            return
        place = written.place if isinstance(written, Text) else table.place
        table[Text(key, place)] = value

    def take(self, item: Text) -> None:
        """Read one item, by the open group where that knows its first word."""
        if self.taken < len(self.form.first):
            self._take_first(item)
            return
        self.taken += 1
        if self.group and self.group.knows(item):
            self.group.take(item)
            return
        self.group = None
        if self.form.rest and not self.knows(item):
            self._add_to_rest(item)
            return
        self._take_words(item)

    def knows(self, item: Text) -> bool:
        words = list(_words(item))
        return bool(words) and self._meaning(item, words, 0) is not None

    def _take_first(self, item: Text) -> None:
        """A leading item: its key takes everything up to the next word this form knows."""
        key = self.form.first[self.taken]
        self.taken += 1
        if joined := _JOINED_COMMA.search(item):
            self.mistakes.append(_comma_mistake(item, joined))
            return
        words = list(_words(item))
        for index in range(1, len(words)):
            if self._meaning(item, words, index) is not None:
                self.put(key, item.cut(0, words[index][0]), item)
                self._take_words(item.cut(words[index][0]))
                return
        self.put(key, item, item)

    def _add_to_rest(self, item: Text) -> None:
        table = self.tables[-1]
        key = Text(self.form.rest, item.place)
        before = table.get(key)
        joined = item
        if before is not None:
            adjoining = before.single and before.at(len(before) + 2) == item.place
            joined = Text(f"{before}, {item}", before.place, single=adjoining)
        table[key] = joined

    def _take_words(self, item: Text) -> None:
        words = list(_words(item))
        index = 0
        unknown_from: int | None = None
        while index < len(words):
            meaning = self._meaning(item, words, index)
            if meaning is None:
                unknown_from = words[index][0] if unknown_from is None else unknown_from
                index += 1
                continue
            if unknown_from is not None:
                self._unknown(item.cut(unknown_from, words[index][0]))
                unknown_from = None
            does, key, count = meaning
            start, end = words[index][0], words[index + count - 1][1]
            index += count
            if does in ("head", "group", "implied"):
                self._take_head(does, key, item.cut(start, end), item.cut(start if does == "implied" else end))
                return
            if does != "skip":
                self._take_value(does, key, item.cut(start, end))
        if unknown_from is not None:
            self._unknown(item.cut(unknown_from))

    def _take_value(self, does: str, key: str, value: Text) -> None:
        if does in self.form.begins and any(self.form.values[k] in self.tables[-1] for k in self.form.begins):
            self.tables.append(Table(value.place))
        self.put(key, value, value)

    def _take_head(self, does: str, key: str, head: Text, value: Text) -> None:
        if does == "head":
            self.put(key, value or head, value if value else head)
            return
        table = self.tables[-1]
        if key in table:
            self.mistakes.append(Mistake(head, f"{quoted(head)} a second time", f"one {key} only"))
        self.group = _Line(value or head, self.form.groups[key])
        self.group.mistakes = self.mistakes
        if value:
            self.group.take(value)
        table[Text(key, head.place)] = self.group.result()

    def _meaning(self, item: Text, words: list[tuple[int, int]], index: int) -> tuple[str, str, int] | None:
        """What stands at a word: what it does (or its kind of quantity), its key, and how many words it takes."""
        for count in range(min(self.longest, len(words) - index), 0, -1):
            phrase = " ".join(item[s:e] for s, e in words[index : index + count]).casefold()
            if phrase in self.known:
                return (*self.known[phrase], count)
        if item[slice(*words[index])].casefold() in self.form.skipped:
            return "skip", "", 1
        found = self._value(item, words, index)
        if found:
            return found
        implied = self.form.groups.get(self.form.implied)
        if implied and self.form.implied not in self.tables[-1]:
            inner = _Line(item, implied)
            if inner._meaning(item, words, index) is not None:
                return "implied", self.form.implied, 1
        return None

    def _value(self, item: Text, words: list[tuple[int, int]], index: int) -> tuple[str, str, int] | None:
        kinds = tuple(self.form.values)
        if not kinds or not ("picture" in kinds or _STARTS_VALUE.match(item, words[index][0])):
            return None
        doubtful: tuple[str, str, int] | None = None
        for count in range(min(_MOST_WORDS_IN_A_VALUE, len(words) - index), 0, -1):
            kind, clear = _kind_of(str(item)[words[index][0] : words[index + count - 1][1]], kinds)
            if kind and clear:
                return kind, self.form.values[kind], count
            if kind and count <= 2 and (doubtful is None or count == 2):
                doubtful = doubtful or (kind, self.form.values[kind], count)
        return doubtful

    def _unknown(self, text: Text) -> None:
        expected = "a value with its unit, or a word this line knows"
        if joined := _JOINED_COMMA.search(text):
            self.mistakes.append(_comma_mistake(text, joined))
        elif re.match(r",\d", text):
            self.mistakes.append(Mistake(text, quoted(text), expected, f"write {quoted('0' + text)}"))
        else:
            vocabulary = self.form.vocabulary()
            remedy = did_you_mean(text, vocabulary) or did_you_mean(text.split()[0], vocabulary)
            self.mistakes.append(Mistake(text, quoted(text), expected, remedy or _free_text_remedy(self.form)))


def _free_text_remedy(form: Form) -> str:
    return "begin free text with the word “note”" if "note" in form.heads else ""


def _comma_mistake(text: Text, comma: re.Match[str]) -> Mistake:
    at = text.cut(comma.start())
    parted = f"{text[: comma.start()]}, {text[comma.end() :]}"
    return Mistake(
        at, f"{quoted(text)}, a comma with no blank after it", "a comma and a blank", f"write {quoted(parted)}"
    )


def _words(text: str) -> Iterator[tuple[int, int]]:
    return (match.span() for match in re.finditer(r"\S+", text))


def folded(words: Iterable[str]) -> dict[str, str]:
    """Words by their folded form, for a look-up that does not mind capitals."""
    return {word.casefold(): word for word in words}
