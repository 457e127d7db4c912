"""The one grammar of the line form: a line of items becomes the mapping it stands for, each part with its place.

Items are separated by comma and blank; ``; `` begins a remark that runs to the end. An item holds values (the unit says
what each is), words of the section's own list, or a word and its value (any key of the section's mapping form). A
``group`` is a word that opens a nested line: after ``was``, the items that belong to a component go to it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from .forms import Form, Mistake
from .problems import one_of, quoted
from .quantities import AmbiguousQuantity, QuantityError, read_any, read_quantity
from .text import Entries, Listing, Text
from .unknown import comma_mistake, joined_comma, unknown

_MOST_WORDS_IN_A_VALUE = 4
_PATTERNS = {
    "date": re.compile(r"\d{4}-\d{1,2}-\d{1,2}$"),
    "picture": re.compile(r"\S.*\.(?:jpe?g|png|webp|gif|tiff?|heic|bmp|svg)$", re.I),
}
PART_NAME = re.compile(r"(?![XYV]\d)[A-Z]{1,3}\d{1,3}[A-Z]?(?: [a-z])?(?!\w)", re.I)
"""What can be nothing but a part's name: letters and a number, for a can its section (``R1``, ``C12 b``). Classes of
capacitors (``Y1``) and tubes (``V1``) look alike and are none."""
_BARE_NUMBER = re.compile(r"[\d.,+\-–−<>~≤≥±/]+\Z")
"""A word that is no end of a value: a number without a unit is none."""
_STARTS_VALUE = re.compile(r"[-+−–~<>≤≥±.\d½¼¾⅛⅓⅔∞]|OL\b|open\b|short\b|[RrpPnNuUµkK]\d")


def items(text: Text) -> Iterator[Text]:
    """The items of a line. A comma with no blank after it does not end an item: ``0,05 uF`` is one value."""
    start = 0
    for comma in re.finditer(r",(?=\s|$|,)", text):
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


def read_line(text: Text, form: Form) -> tuple[Entries | Listing, list[Mistake]]:
    """The mapping a line stands for (a list where its values can begin another), and its mistakes."""
    line = _LineText(text, form)
    body, remark = text, None
    if form.remark and (semicolon := re.search(r";(?:\s|$)", text)):
        body, remark = text.cut(0, semicolon.start()), text.cut(semicolon.end())
    for item in items(body):
        if item:
            line.take(item)
        else:
            found, expected = "a comma with nothing beside it", "something between the commas"
            line.mistakes.append(Mistake(item, found, expected, "delete the comma"))
    if remark:
        line.put(form.remark, remark, remark)
    line.close()
    return line.result(), line.mistakes


@lru_cache(maxsize=4096)
def _kind_of(written: str, kinds: tuple[str, ...]) -> tuple[str, bool]:
    """Which of ``kinds`` a text reads as and whether it is clear; ("", False) where none fits."""
    for kind, pattern in _PATTERNS.items():
        if kind in kinds and pattern.match(written):
            return kind, True
    measured = tuple(kind for kind in kinds if kind not in _PATTERNS and kind != "part")
    try:
        found = read_any(written, measured)
    except AmbiguousQuantity:
        return next((k for k in measured if _asks(written, k)), ""), False
    if found is None and "part" in kinds and PART_NAME.fullmatch(written):
        return "part", True
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


class _LineText:
    """One line while it is read: the table it fills, and the group that is open in it.

    ``outer`` is the line that a group belongs to.
    """

    def __init__(self, text: Text, form: Form, outer: _LineText | None = None) -> None:
        self.text = text
        self.form = form
        self.outer = outer
        self.tables = Listing(text.place)
        self.tables.append(Entries(text.place, text))
        self.mistakes: list[Mistake] = outer.mistakes if outer else []
        self.group: _LineText | None = None
        self.closed: _LineText | None = None
        self.opened: list[tuple[Text, _LineText]] = []
        self.taken = 0
        self.stretch = self.begun = 0

    def result(self) -> Entries | Listing:
        if self.form.begins:
            return self.tables
        only: Entries = self.tables[0]
        return only

    def close(self) -> None:
        """Look the line over when all its items are read: no group may be empty, and what must be there is there."""
        for head, group in self.opened:
            if not any(group.tables) and not self.mistakes:
                found, expected = f"{quoted(head)} with nothing behind it", "a value behind it"
                self.mistakes.append(Mistake(head, found, expected, "add it, or delete the word"))
        needs = self.form.needs
        if needs and not self.mistakes and not any(Text(key) in self.tables[0] for key in needs):
            expected = f"{one_of(map(quoted, needs))} in the line, or names and values on indented lines below"
            self.mistakes.append(Mistake(self.text, quoted(self.text), expected))

    def put(self, key: str, value: object, written: Text) -> None:
        table = self.tables[-1]
        if key in table:
            found = f"{quoted(written)}, where {quoted(str(table[Text(key)]))} is {quoted(key)} already"
            self.mistakes.append(Mistake(written, found, f"one value for {quoted(key)}", "delete one of them"))
            return
        table[Text(key, written.place)] = value

    def take(self, item: Text) -> Text | None:
        """Read one item, by the open group where that knows its first word. What is an outer line's is given back."""
        if self.taken < len(self.form.first):
            return self._take_first(item)
        self.taken += 1
        self.stretch += 1
        if self.group is None and self.closed and self._reopens(item):
            self.group = self.closed
        if self.group and (self.group.knows(item) or not (self.form.rest or self.knows(item))):
            left = self.group.take(item)
            if left is None:
                return None
            item = left
        self.closed, self.group = self.group or self.closed, None
        if self.form.rest and not self.knows(item):
            self._add_to_rest(item)
            return None
        return self._take_words(item)

    def _reopens(self, item: Text) -> bool:
        """What only the group before a word of this line knows goes to it: ``470 kohm, keep, measured 468 kohm``."""
        return bool(self.closed and not self.form.rest and not self.knows(item) and self.closed.knows(item))

    def knows(self, item: Text) -> bool:
        words = list(_words(item))
        return bool(words) and self._meaning(item, words, 0) is not None

    def _take_first(self, item: Text) -> Text | None:
        """A leading item: its key takes everything up to the next word this form knows."""
        key = self.form.first[self.taken]
        self.taken += 1
        words = list(_words(item))
        phrase = self._phrase(item, words, 0)
        if (phrase and phrase[0] == "head") or self._all_values(item, words):
            return self._take_words(item)
        if joined := joined_comma(item):
            self.mistakes.append(comma_mistake(item, joined))
            self.put(key, item.cut(0, joined.start()), item)
            return None
        for index in range(1, len(words)):
            if self._meaning(item, words, index) is not None or self._belongs_outside(item, words, index):
                self.put(key, item.cut(0, words[index][0]), item)
                return self._take_words(item.cut(words[index][0]))
        self.put(key, item, item)
        return None

    def _all_values(self, item: Text, words: list[tuple[int, int]]) -> bool:
        """True for an item of nothing but values, such as a lamp's volts and amperes without its number."""
        index = 0
        while index < len(words):
            meaning = self._value(item, words, index)
            if meaning is None:
                return False
            index += meaning[2]
        return bool(words)

    def _add_to_rest(self, item: Text) -> None:
        table = self.tables[-1]
        key = Text(self.form.rest, item.place)
        before = table.get(key)
        joined = item
        if before is not None:
            adjoining = before.single and before.at(len(before) + 2) == item.place
            joined = Text(f"{before}, {item}", before.place, single=adjoining)
        table[key] = joined

    def _take_words(self, item: Text) -> Text | None:
        """Read an item word by word; what begins with a word that only an outer line knows is given back."""
        words = list(_words(item))
        index = 0
        unknown_from: int | None = None
        while index < len(words):
            meaning = self._meaning(item, words, index)
            if meaning is None and self._belongs_outside(item, words, index):
                break
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
                return self._take_head(does, key, item.cut(start, end), item.cut(start if does == "implied" else end))
            if does == "skip":
                self.stretch += 1
            else:
                self._take_value(does, key, item.cut(start, end))
        left = item.cut(words[index][0]) if index < len(words) else None
        if unknown_from is not None:
            self._unknown(item.cut(unknown_from, words[index][0] if left else None))
        return left

    def _take_value(self, does: str, key: str, value: Text) -> None:
        if does in self.form.begins:
            begun = any(self.form.values[k] in self.tables[-1] for k in self.form.begins)
            if begun and (key in self.tables[-1] or self.begun != self.stretch):
                self.tables.append(Entries(value.place, value))
            self.begun = self.stretch
        self.put(key, value, value)

    def _take_head(self, does: str, key: str, head: Text, value: Text) -> Text | None:
        if does == "head":
            self.put(key, value or head, value or head)
            return None
        table = self.tables[-1]
        if key in table:
            found, remedy = f"{quoted(head)} a second time", f"put all of it behind the first {quoted(key)}"
            self.mistakes.append(Mistake(head, found, f"{quoted(key)} once in a line", remedy))
        self.group = _LineText(value or head, self.form.groups[key], self)
        left = self.group.take(value) if value else None
        table[Text(key, head.place)] = self.group.result()
        self.opened.append((head, self.group))
        if left is None:
            return None
        self.group = None
        return self._take_words(left)

    def _phrase(self, item: Text, words: list[tuple[int, int]], index: int) -> tuple[str, str, int] | None:
        """The longest phrase of this form's own words that begins at a word."""
        for count in range(min(self.form.longest, len(words) - index), 0, -1):
            phrase = " ".join(item[s:e] for s, e in words[index : index + count]).casefold()
            if phrase in self.form.phrases:
                return (*self.form.phrases[phrase], count)
        return None

    def _belongs_outside(self, item: Text, words: list[tuple[int, int]], index: int) -> bool:
        """True where a word opens a key of the line around this group: ``was 40 uF between B+1 and B-``."""
        outer = self.outer
        while outer is not None:
            phrase = outer._phrase(item, words, index)
            if phrase and phrase[0] in ("head", "group"):
                return True
            outer = outer.outer
        return False

    def _meaning(self, item: Text, words: list[tuple[int, int]], index: int) -> tuple[str, str, int] | None:
        """What stands at a word: what it does (or its kind of quantity), its key, and how many words it takes."""
        if phrase := self._phrase(item, words, index):
            return phrase
        if item[slice(*words[index])].casefold() in self.form.skipped:
            return "skip", "", 1
        found = self._value(item, words, index)
        if found:
            return found
        implied = self.form.groups.get(self.form.implied)
        if implied and self.form.implied not in self.tables[-1]:
            inner = _LineText(item, implied)
            if inner._meaning(item, words, index) is not None:
                return "implied", self.form.implied, 1
        return None

    def _value(self, item: Text, words: list[tuple[int, int]], index: int) -> tuple[str, str, int] | None:
        kinds = tuple(self.form.values)
        named = "part" in kinds and PART_NAME.match(item, words[index][0])
        if not kinds or not ("picture" in kinds or named or _STARTS_VALUE.match(item, words[index][0])):
            return None
        doubtful: tuple[str, str, int] | None = None
        for count in range(min(_MOST_WORDS_IN_A_VALUE, len(words) - index), 0, -1):
            if "date" not in kinds and _BARE_NUMBER.match(item, *words[index + count - 1]):
                continue
            kind, clear = _kind_of(str(item)[words[index][0] : words[index + count - 1][1]], kinds)
            if kind and clear:
                return kind, self.form.values[kind], count
            if kind and count <= 2 and (doubtful is None or count == 2):
                doubtful = doubtful or (kind, self.form.values[kind], count)
        return doubtful

    def _unknown(self, text: Text) -> None:
        self.mistakes.append(unknown(text, self.form, self.outer.form if self.outer else None))


def _words(text: str) -> Iterator[tuple[int, int]]:
    return (match.span() for match in re.finditer(r"\S+", text))
