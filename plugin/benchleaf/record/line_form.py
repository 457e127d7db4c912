"""The one grammar of the line form: a line of items becomes the mapping it stands for, each part with its place.

Items are separated by comma and blank; ``; `` begins a remark that runs to the end. An item holds values (the unit says
what each is), words of the section's own list, or a word and its value (any key of the section's mapping form). A
``group`` is a word that opens a nested line: after ``was``, the items that belong to a component go to it. What a line
does not know it keeps as its note, where it has one, and says so.
"""

from __future__ import annotations

from .forms import Form, Mistake
from .line_items import body_and_remark, items, without_brackets
from .line_meaning import leaks_through, meaning_at, phrase_at, rating_in_amperes
from .line_tables import LineTables
from .line_values import BARE_NUMBER, WOUND, Meaning, Spans, after_stroke, value_at, words_of
from .most_entries import MOST_LINE, MOST_SLIPS, too_long_a_line, too_many_slips
from .problems import one_of, quoted
from .said_items import said_items
from .spoken import Spoken, begins_at_tube, only_joints
from .text import Entries, Listing, Text
from .trade_words import REPLACED, STANDS_BEFORE_A_RATING
from .tube_types import type_and_job
from .unknown import RATINGS, comma_mistake, joined_comma, kept_as_note, ownerless, slip_with, unknown

_OPENS = ("head", "group", "implied")
_RESTUFFED = "restuffed"
_MEASURED_BEHIND = ("condition",)
"""Keys whose word has what was measured behind it: ``ok 152``, ``drifted 612 kohm``."""


def read_line(text: Text, form: Form) -> tuple[Entries | Listing, list[Mistake]]:
    """The mapping a line stands for (a list where its values can begin another), and its mistakes."""
    line = _LineText(text, form)
    if not form.rest and len(text) > MOST_LINE:
        return line.result(), [Mistake(text, *too_long_a_line(len(text)))]
    pieces, remark = body_and_remark(text, line.opens if form.spoken else None) if form.remark else ([text], None)
    for piece in pieces:
        for item in said_items(piece) if form.spoken else items(piece):
            if len(line.mistakes) >= MOST_SLIPS:
                return line.result(), [*line.mistakes, Mistake(item, *too_many_slips())]
            line.take(item) if item else line.asks_comma(item)
    if remark:
        line.put(form.remark, remark, remark)
    line.close()
    return line.result(), line.mistakes


class _LineText(LineTables):
    """One line while it is read: the table it fills, and the group that is open in it.

    ``outer`` is the line that a group belongs to.
    """

    def __init__(self, text: Text, form: Form, outer: _LineText | None = None) -> None:
        super().__init__(text, form, outer.mistakes if outer else [])
        self.text = text
        self.outer = outer
        self.group: _LineText | None = None
        self.closed: _LineText | None = None
        self.opened: list[tuple[Text, str, _LineText]] = []
        self.implied = self.asked = False
        self.said = text
        self.taken = self.stretch = self.begun = 0

    def close(self) -> None:
        """Look the line over when all its items are read: no group may be empty, and what must be there is there."""
        for head, key, group in self.opened:
            if not any(group.tables) and head.casefold() in REPLACED:
                group.put_replaced(head)
            elif not any(group.tables) and not self.mistakes:
                self.asks_behind(head)
            self.tables[0][Text(key, head.place)] = group.result()
        self.put_places()
        if (needs := self.form.needs) and not self.mistakes and not any(Text(key) in self.tables[0] for key in needs):
            expected = f"{one_of(map(quoted, needs))} in the line, or names and values on indented lines below"
            self.mistakes.append(Mistake(self.text, quoted(self.text), expected))

    def take(self, item: Text) -> Text | None:
        """Read one item, by the open group where that knows its first word. What is an outer line's is given back."""
        if self.taken < len(self.form.first):
            return self._take_first(item)
        self.taken, self.stretch = self.taken + 1, self.stretch + 1
        if self.form.spoken and self.take_whole(item, self._words(item), self.group, self.opened):
            return None
        if self.group is None and self.closed and not (self.form.rest or self.knows(item)) and self.closed.knows(item):
            self.group = self.closed  # ``470 kohm, keep, measured 468 kohm``: what only the group before a word knows.
        known = self.group is not None and self.group.knows(item) and not self._outranks(item, self.group)
        if self.group and (known or not (self.form.rest or self.knows(item))):
            left = self.group.take(item)
            if left is None:
                return None
            item = left
        self.closed, self.group = self.group or self.closed, None
        if self.form.rest and not self.knows(item):
            if self.form.rest_names and BARE_NUMBER.match(item):
                self.mistakes.append(unknown(item, self.form))
            else:
                self.add_to_rest(item)
            return None
        return self._take_words(item)

    def _outranks(self, item: Text, group: _LineText) -> bool:
        """Whether an item that a group knows opens a key of this line: ``new 10 nF``, ``original in a bag``."""
        words = self._words(item)
        found = phrase_at(self.form, item, words, 0)
        if not (self.form.spoken and found and found.kind in _OPENS and found.words < len(words)):
            return False
        in_words = found.kind == "head" and group._meaning(item, words, found.words) is None
        return in_words or value_at(item, words, found.words, group.form.values) is not None

    def knows(self, item: Text) -> bool:
        words = self._words(item)
        return bool(words) and self._meaning(item, words, 0) is not None

    def opens(self, item: Text) -> bool:
        """Whether an item begins with a word that opens a key of this line, or of the group that is implied."""
        words = self._words(item)
        forms = (self.form, *(self.form.groups[key] for key in (self.form.implied,) if key))
        return any(words and (found := phrase_at(form, item, words, 0)) and found.kind in _OPENS for form in forms)

    def _words(self, item: Text) -> list[tuple[int, int]]:
        nested = self.form.groups.get(self.form.implied)
        return words_of(item, strokes=self.form.strokes or bool(nested and nested.strokes))

    def _take_first(self, item: Text) -> Text | None:
        """A leading item: its key takes everything up to the next word this form knows."""
        key = self.form.first[self.taken]
        self.taken += 1
        words = self._words(item)
        phrase = phrase_at(self.form, item, words, 0)
        if (phrase and phrase.kind == "head") or self._all_known(item, words):
            return self._take_words(item)
        if joined := joined_comma(item):
            self.mistakes.append(comma_mistake(item, joined))
            self.put(key, item.cut(0, joined.start()), item)
            return None
        if self.form.tube_first:
            item, job = type_and_job(item)
            words = self._words(item)
            if job:
                self.put(key, item, item)
                if self.knows(job) or not self.form.rest:
                    return self._take_words(job)
                self.add_to_rest(job)
                return None
        for index in range(1, len(words)):
            if self._meaning(item, words, index) is not None or self._belongs_outside(item, words, index):
                self.put(key, item.cut(0, words[index][0]), item)
                return self._take_words(item.cut(words[index][0]))
        self.put(key, item, item)
        return None

    def _all_known(self, item: Text, words: Spans) -> bool:
        """True for an item that begins with a value and holds nothing unknown, such as a lamp without its number."""
        index = 0
        while index < len(words):
            found = self._meaning(item, words, index)
            if not isinstance(found, Meaning) or (index == 0 and found.kind not in self.form.values):
                return False
            if index and found.kind == "head":
                break
            index += found.words
        return bool(words)

    def _take_words(self, item: Text) -> Text | None:
        """Read an item word by word; what begins with a word that only an outer line knows is given back."""
        words = self._words(item)
        self.asked = False
        index, before, told = 0, "", len(self.mistakes)
        lead: int | None = None
        while index < len(words) and len(self.mistakes) < MOST_SLIPS:
            meaning = self._meaning(item, words, index)
            start = words[index][0]
            if self.passes_over(meaning, told):
                lead, index = None, index + 1
                continue
            behind = before in _MEASURED_BEHIND or index == 0
            if behind and self.form.implied and leaks_through(meaning, item, self.said):
                meaning = Meaning("implied", self.form.implied, 1)
            if meaning is None and self._belongs_outside(item, words, index):
                break
            if meaning is None and self.closed and self.closed.knows(item.cut(start)):
                return self._hand_on(item.cut(start if lead is None else lead), self.closed)
            if meaning is None:
                lead, index = start if lead is None else lead, index + 1
                continue
            if isinstance(meaning, Spoken):
                self._keep(item, lead, start)
                self.put_spoken(meaning)
                before, index, lead = "spoken", index + meaning.words, None
                continue
            end = words[index + meaning.words - 1][1]
            if meaning.kind in _OPENS:
                if self.denies(item, lead, start, end):
                    return None
                self._keep(item, lead, start)
                rest = item.cut(start if meaning.kind == "implied" else end)
                rest.remarks = item.remarks if meaning.key == self.form.notes else ()
                return self._take_head(meaning, item.cut(start, end), rest)
            unclear = item.cut(lead, start) if lead is not None else None
            self._take_value(meaning, item.cut(start, end), unclear, before, stroke=after_stroke(item, words, index))
            before, index, lead = meaning.kind if meaning.kind != "word" else meaning.key, index + meaning.words, None
        left = words[index][0] if index < len(words) else None
        if left is not None and self.denies(item, lead, *words[index]):
            return None
        self._keep(item, lead, left, behind=before)
        return None if left is None else item.cut(left)

    def _hand_on(self, item: Text, group: _LineText) -> Text | None:
        """What only the group before knows goes on to it, and what it gives back is read here."""
        self.group = group
        left = group.take(item)
        if left is None:
            return None
        self.group = None
        return self._take_words(left)

    def _keep(self, item: Text, start: int | None, end: int | None, *, behind: str = "") -> None:
        """Words that the line does not know: its note, or a mistake."""
        of_part = self.form.spoken or (self.outer is not None and self.outer.form.spoken)
        before_a_job = of_part and start is not None and end is not None and only_joints(item.cut(start, end))
        if start is not None and not before_a_job:
            self._unknown(without_brackets(item.cut(start, end)), behind)

    def _take_value(self, found: Meaning, value: Text, lead: Text | None, before: str, *, stroke: bool) -> None:
        """A word or a value. What the line does not know must leave no doubt of the value behind it."""
        key, table, outer = found.key, self.tables[-1], self.outer.form if self.outer else None
        begins = found.kind in self.form.begins
        begun = any(self.form.values[k] in table for k in self.form.begins)
        if stroke and key == "volts" and key in table:
            key = "surge rating"
        wire = found.kind == "resistance" and value.manner.part in WOUND
        was = self.outer is not None and self.was_measured(value, self.outer)
        measured = begun and (before in _MEASURED_BEHIND or (begins and before != "skip" and was))
        measured |= wire and (before != "skip" if begun else not lead and Text("condition") in table)
        behind = self.form.behind.get(found.kind, "") if measured else ""
        if behind and behind not in table:
            key, begins = behind, False
        first = begins or found.kind == next(iter(self.form.values), "")
        if before == "condition" and found.kind in RATINGS and self.said.casefold() not in STANDS_BEFORE_A_RATING:
            lead, first = self.said, False
        taken = begun if begins else key in table
        if lead and found.kind in self.form.values and ownerless(lead, taken=taken, first=first):
            self.asked = True
            self.mistakes.append(unknown(lead, self.form, outer, value))
            return
        if lead and found.kind == "word" and (whole := slip_with(lead, value, self.form, outer)):
            self.mistakes.append(whole)
            return
        joined = before == "skip"
        if begins and begun and self.outer and self.asks_second(value, found.kind, self.outer, joined=joined):
            return
        if lead:
            self._unknown(lead.taken_as(f"{lead} {value}") if found.kind == "ignored" else lead)
        self.said = value
        if found.kind == "ignored":
            return
        if found.kind == "skip":
            self.stretch += 1
        elif found.kind == "several":
            self.put_several(value)
            self.begun = self.stretch
        else:
            if begins and begun and (key in table or self.begun != self.stretch):
                self.share()
                self.tables.append(Entries(value.place, value))
                self.sections += bool(self.sections)
            self.begun = self.stretch if begins else self.begun
            self.of_kind = found.kind if begins else self.of_kind
            self.put_value(key, value, found.unit)

    def _take_head(self, found: Meaning, head: Text, value: Text) -> Text | None:
        key = found.key
        if found.kind == "head":
            return self._take_valued(key, head, value)
        table = self.tables[-1]
        again = next((group for _, of, group in self.opened if of == key), None)
        if again and again.implied and self.asks_which_is_new(head, again):
            return None
        if again and again.implied:
            self.group = again
            again.implied, again.again = False, True
        elif key in table:
            remedy = f"put all of it behind the first {quoted(key)}"
            self.mistakes.append(
                Mistake(head, f"{quoted(head)} a second time", f"{quoted(key)} once in a line", remedy)
            )
            return None
        else:
            value = without_brackets(value)
            self.group = _LineText(value or head, self.form.groups[key], self)
            if head.casefold().startswith(_RESTUFFED):
                self.group.put(_RESTUFFED, head.cut(0, len(_RESTUFFED)), head)
            self.group.implied = found.kind == "implied"
            table[Text(key, head.place)] = self.group.result()
            self.opened.append((head, key, self.group))
        left = self.group.take(value) if value else None
        if left is None:
            return None
        self.closed, self.group = self.group, None
        return self._take_words(left)

    def _take_valued(self, key: str, head: Text, value: Text) -> Text | None:
        """A word and its value: of a key that takes one quantity no more than that, and the line goes on behind it."""
        kinds = self.form.valued.get(key, ())
        words = self._words(value)
        found = value_at(value, words, 0, dict.fromkeys(kinds, key)) if words and kinds else None
        if key in ("measured", "ESR") and self.take_each(key, value):
            return None
        if found is None or found.words == len(words):
            self.noting = bool(key) and key == self.form.notes
            self.put(key, value or head, value or head)
            return None
        end = words[found.words - 1][1]
        self.put(key, value.cut(0, end), value)
        return self._take_words(value.cut(end))

    def _belongs_outside(self, item: Text, words: Spans, index: int) -> bool:
        """True where a word opens a key of the line around this group, or says a job: ``40 uF filter``."""
        outer = self.outer
        while outer is not None:
            found = meaning_at(outer.form, item, words, index, outer.tables[-1])
            if isinstance(found, Spoken) or (found and found.kind in ("head", "group")):
                break
            outer = outer.outer
        return outer is not None

    def _meaning(self, item: Text, words: Spans, index: int) -> Meaning | Spoken | None:
        if self.outer and self.outer.form.spoken and begins_at_tube(item, words, index):
            return None
        rating = rating_in_amperes(self.form, item, words, index, self.outer.text if self.outer else self.text)
        return rating or meaning_at(self.form, item, words, index, self.tables[-1])

    def _unknown(self, text: Text, behind: str = "") -> None:
        """Words that mean nothing to this line: kept as a note where they may be, else asked."""
        if self.form.rest and not self.form.strict:
            self.add_to_rest(text)
            return
        holder: _LineText | None = self
        while holder and not holder.form.notes:
            holder = holder.outer
        outer = self.outer.form if self.outer else None
        if holder and kept_as_note(text, self.form, outer, behind):
            holder.put_note(text)
        elif not self.asked:
            self.asked = self.form.strict
            self.mistakes.append(unknown(text, self.form, outer))
            self.drop_doubtful(behind)
