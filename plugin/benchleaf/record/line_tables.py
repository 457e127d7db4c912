"""What a line has filled so far: a table for each of its components, and the mistakes made in it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from .forms import Form, Mistake
from .line_found import (
    built_together,
    finer_than_marked,
    found_behind,
    half_joined,
    measured_of_each,
    new_behind,
    ohms_of_halves,
    ohms_of_winding,
    reads_on,
    said_gone,
    says_what_it_matches,
    stays,
)
from .line_values import BARE_NUMBER, TRANSFORMERS, WOUND, Meaning, Spans, kind_of_part
from .piecemeal import is_piecemeal
from .place_words import read_rail
from .problems import quoted
from .settled import unit_beside
from .several import Several, sections_of
from .spoken import Spoken, bypassed
from .text import Entries, Listing, Text
from .unknown import (
    RATINGS,
    class_before_was,
    denied,
    lone_comma,
    measured_once,
    nothing_behind,
    of_another_kind,
    second_ends,
    second_value,
)
from .written_days import looks_like_a_date

_OF_SEVERAL = WOUND | {"PC"}
"""Parts that may have several values of one kind: windings, the parts of a couplate."""

_AT_A_CATHODE = re.compile(r"\b(?:cathode|cath|k)\b", re.I)


class LineTables:
    """The tables of one line of a ``form``, the last of which is being filled.

    ``sections`` is how many of them are the capacitors of one can.
    """

    def __init__(self, text: Text, form: Form, mistakes: list[Mistake]) -> None:
        self.text = text
        self.form = form
        self.tables = Listing(text.place)
        self.tables.append(Entries(text.place, text))
        self.mistakes = mistakes
        self.sections = self._alike = 0
        self.places: list[Text] = []
        self.again = self.noting = False
        self.of_kind = ""
        self.gone: Text | None = None

    def result(self) -> Entries | Listing:
        """The mapping that the line stands for, or the list of them."""
        if self.sections:
            self.share()
            return Several.of(self.tables)
        if self.form.begins:
            return self.tables
        only: Entries = self.tables[0]
        return only

    def passes_over(self, found: Meaning | Spoken | None, told: int) -> bool:
        """Whether a word behind a mistake of its item is left unread: it may belong to that, unless it opens a key.

        ``told`` is how many mistakes there were before the item; only where the rest of the line is to be kept.
        """
        opens = isinstance(found, Meaning) and found.kind in ("head", "group")
        return len(self.mistakes) > told and not opens and is_piecemeal()

    def drop_doubtful(self, kind: str) -> None:
        """Takes a value away that words behind it leave in doubt: ``4 V at the gizmo``."""
        if kind in RATINGS and is_piecemeal():
            self.tables[-1].pop(Text(self.form.values.get(kind, "")), None)

    def take_whole(
        self, item: Text, words: Spans, group: LineTables | None, opened: Sequence[tuple[Text, str, LineTables]]
    ) -> bool:
        """Whether an item of a part's line is taken as one: more of its note, a winding, what it matches, or gone."""
        noting = next((line for line in (group, self) if line and line.noting), None)
        fitted_then = looks_like_a_date(item) and Text("now") in self.tables[0]
        if noting and item and not fitted_then and not reads_on(item, words, self.form):
            noting.put(noting.form.notes, item, item)
            return True
        for line in (self, *(line for _, _, line in opened)):
            line.noting = False
        was = [line.tables[-1] for _, key, line in opened if key == self.form.implied]
        another = ohms_of_winding(item, words) and any(Text("value") in t for t in was)
        if said_gone(item):
            self.gone = self.gone.and_then(item) if self.gone else item
        elif item.manner.part in WOUND and was and self._is_measured_wire(item, was[-1]):
            was[-1][Text("measured", item.place)] = item.in_unit(unit_beside(item, str(was[-1][Text("value")])))
        elif item.manner.part in WOUND and (another or ohms_of_halves(item)):
            self.put_note(item)
        elif looks_like_a_date(item) and "fitted" in self.form.heads and (self.gone or Text("now") in self.tables[0]):
            what = "removed" if self.gone and Text("now") not in self.tables[0] else "fitted"
            self.put("fitted", item.taken_as(str(item), f"{quoted(item)} read as the day it was {what}"), item)
        elif looks_like_a_date(item) and "fitted" in self.form.heads and any(Text("value") in t for t in was):
            remedy = f"write “fitted {item}”, “checked {item}” or “note {item}”"
            self.mistakes.append(Mistake(item, f"{quoted(item)}, a day", "a word for what was done then", remedy))
        elif item.manner.part in TRANSFORMERS and says_what_it_matches(item, words, self.form):
            self.put("job", item, item)
        elif half := half_joined(item, words, self.form):
            self.mistakes.append(half)
        else:
            return False
        return True

    def _is_measured_wire(self, item: Text, table: Entries) -> bool:
        """Whether an item is the ohms of a coil's wire as measured, in the unit of those it is marked with."""
        value = table.get(Text("value"))
        bare = BARE_NUMBER.match(item) and Text("measured") not in table
        return bool(bare and isinstance(value, Text) and unit_beside(item, value))

    def was_measured(self, value: Text, outer: LineTables) -> bool:
        """Whether a second value is what was measured: one before ``ok``, one behind ``was`` where one stood before."""
        one = outer.form.spoken and Text("value") in self.tables[-1] and len(self.tables) == 1
        first = self.tables[-1].get(Text("value"))
        told = self.again or found_behind(value, outer.text) or stays(outer.text)
        two = isinstance(first, Text) and (new_behind(value, first, outer.text) or finer_than_marked(value, first))
        return one and (told or two)

    def asks_second(self, value: Text, kind: str, outer: LineTables, *, joined: bool) -> bool:
        """Whether a further value of a part that is one component is asked: it may be what was measured, or is new.

        One of another kind with nothing that joins it may be a leak, an ESR, or a part built together with it.
        """
        table, letters = self.tables[-1], value.manner.part
        own = kind_of_part(letters)
        if not outer.form.spoken or (joined and kind == own):
            return False
        whole = "couplate" in str(table.get(Text("type"), ""))
        of_one = kind == (own or self.of_kind) and letters not in _OF_SEVERAL and not whole
        if of_one or self.sections:
            self.mistakes.append(second_value(value, table.get(Text("value")), in_can=bool(self.sections)))
            return True
        if not own or own == kind or joined or whole or built_together(outer.text, value):
            return False
        self.mistakes.append(of_another_kind(value, kind, own))
        return True

    def denies(self, item: Text, lead: int | None, start: int, end: int) -> bool:
        """Whether the words before one that the line knows say that it is not so, which is asked."""
        said_not = denied(item.cut(lead, start), item.cut(start, end)) if lead is not None else None
        self.mistakes += [said_not] if said_not else []
        return said_not is not None

    def put(self, key: str, value: object, written: Text) -> None:
        """One value under its key; a second one is a mistake, unless the key gathers them."""
        table = self.tables[-1]
        before = table.get(Text(key))
        gathers = key in self.form.gathers or key == self.form.rest
        if gathers and isinstance(before, Text) and isinstance(value, Text):
            within = key == "job" and f" {before} ".casefold() in f" {value} ".casefold()
            table[Text(key)] = value if within else before.and_then(value)
        elif key in table:
            found = f"{quoted(written)}, where {quoted(str(before))} is {quoted(key)} already"
            self.mistakes.append(Mistake(written, found, f"one value for {quoted(key)}", "delete one of them"))
        else:
            table[Text(key, written.place)] = value

    def put_value(self, key: str, value: Text, unit: str) -> None:
        """A value; the ``unit`` is that of a number without one. Volts are given it, so that they are typed back so."""
        said = value.taken_as(f"{value} V") if unit == "V" else value.in_unit(unit) if unit else value
        self.put(key, said, value)

    def put_between(self, places: list[Text]) -> None:
        """The two places that a part joins."""
        row = Listing(places[0].place)
        row += places
        self.put("between", row, places[0])

    def put_spoken(self, spoken: Spoken) -> None:
        """A part's places and what it does; a place by itself waits for another, and a second pair of ends is asked."""
        ends = self.tables[0].get(Text("between"))
        if spoken.joined and isinstance(ends, list) and [*map(_as_one, ends)] != [*map(_as_one, spoken.places)]:
            self.mistakes.append(second_ends(spoken.places, ends))
        elif spoken.joined and Text("between") not in self.tables[0]:
            self.put_between(spoken.places)
            if spoken.job:
                self.put("job", spoken.job, spoken.job)
        elif spoken.alone:
            self.places += spoken.places
        elif spoken.job:
            self.put("job", spoken.job, spoken.job)

    def put_places(self) -> None:
        """What waited for the rest of the line: two places by themselves are the ends; that a part is gone."""
        if self.gone:
            self.put_gone(self.gone)
        if len(self.places) == 2 and Text("between") not in self.tables[0]:
            self.put_between(self.places)
            return
        job = self.tables[0].get(Text("job"))
        if isinstance(job, Text) and Text("between") not in self.tables[0] and (ends := bypassed(job)):
            self.put_between(ends)
        for place in self.places:
            # From a cathode alone a resistor or a bypass leads to the common point.
            cathode = _AT_A_CATHODE.search(place) is not None
            told = f"{quoted(place)} kept as what the part does: a part lies between two places, “… to …”"
            self.put("job", place if cathode else place.taken_as(str(place), told), place)

    def put_gone(self, gone: Text) -> None:
        """That nothing is in a part's place now; where a new one is written, that the old one went is a note."""
        if Text("now") in self.tables[0] or "," in gone:
            self.put_note(gone)
        if Text("now") not in self.tables[0]:
            self.put("now", gone.taken_as("none", f"“{gone}” read as “now none”"), gone)

    def put_replaced(self, head: Text) -> None:
        """That there is another part now, of which the line says no more."""
        self.put(self.form.notes, head.taken_as(str(head), f"“{head}” read so; by what is not said"), head)

    def asks_comma(self, item: Text) -> None:
        """Ask what belongs to a comma with nothing beside it."""
        self.mistakes.append(lone_comma(item))

    def asks_behind(self, head: Text) -> None:
        """Ask what belongs behind a word that opens a value."""
        self.mistakes.append(nothing_behind(head))

    def asks_which_is_new(self, head: Text, group: LineTables) -> bool:
        """Whether ``was`` stands behind a part with its class, which is asked: the class would be the old one's."""
        class_ = group.tables[-1].get(Text("class"))
        if class_ is not None:
            self.mistakes.append(class_before_was(head, class_))
        return class_ is not None

    def put_note(self, text: Text) -> None:
        """What is kept as a note, and said to be."""
        self.put(self.form.notes, text.taken_as(str(text), f"kept as a note: {text}"), text)

    def take_each(self, key: str, value: Text) -> bool:
        """Whether one value was read for each section of one part; what was measured of one of them is asked."""
        values = measured_of_each(value, self.sections) if self.sections else []
        for table, one in zip(self.tables[-len(values) :], values, strict=True) if values else ():
            table[Text(key, one.place)] = one
        if values or key != "measured" or self.sections < 2 or not value[:1].isdigit():
            return bool(values)
        self.mistakes.append(measured_once(value, self.sections))
        return True

    def put_several(self, value: Text) -> None:
        """One can with several capacitors: a table for each; what follows belongs to all of them."""
        self.share()
        leading = {} if Text("value") in self.tables[-1] else dict(self.tables[-1])
        if leading:
            self._alike = len(self.tables) - 1
        for number, (one, volts) in enumerate(sections_of(value)):
            if self.tables[-1] and not (leading and number == 0):
                self.tables.append(Entries(one.place, one))
            self.tables[-1].update(leading)
            self.put("value", one, one)
            if volts:
                self.put("volts", volts, volts)
            self.sections += 1

    def share(self) -> None:
        """What stands in the table of a can's last capacitor belongs to those written with it, too."""
        for table in self.tables[self._alike : -1]:
            for key, value in self.tables[-1].items():
                table.setdefault(key, value)
        self._alike = len(self.tables) if self.tables[-1] else 0

    def add_to_rest(self, item: Text) -> None:
        """Free text goes to the key that collects it."""
        table = self.tables[-1]
        key = Text(self.form.rest, item.place)
        before = table.get(key)
        table[key] = item if before is None else before.and_then(item)


def _as_one(place: object) -> str:
    """A place for comparison: ``mains`` and ``line`` are one."""
    return read_rail(str(place)).key
