"""What a line has filled so far: a table for each of its components, and the mistakes made in it."""

from __future__ import annotations

from .forms import Form, Mistake
from .problems import quoted
from .several import Several, sections_of
from .spoken import Spoken
from .text import Entries, Listing, Text


class LineTables:
    """The tables of one line of a ``form``, the last of which is being filled.

    ``sections`` is how many of them are the capacitors of one can.
    """

    def __init__(self, text: Text, form: Form, mistakes: list[Mistake]) -> None:
        self.form = form
        self.tables = Listing(text.place)
        self.tables.append(Entries(text.place, text))
        self.mistakes = mistakes
        self.sections = self._alike = 0
        self.places: list[Text] = []

    def result(self) -> Entries | Listing:
        """The mapping that the line stands for, or the list of them."""
        if self.sections:
            self.share()
            return Several.of(self.tables)
        if self.form.begins:
            return self.tables
        only: Entries = self.tables[0]
        return only

    def put(self, key: str, value: object, written: Text) -> None:
        """One value under its key; a second one is a mistake, unless the key gathers them."""
        table = self.tables[-1]
        before = table.get(Text(key))
        if key in self.form.gathers and isinstance(before, Text) and isinstance(value, Text):
            table[Text(key)] = before.and_then(value)
        elif key in table:
            found = f"{quoted(written)}, where {quoted(str(before))} is {quoted(key)} already"
            self.mistakes.append(Mistake(written, found, f"one value for {quoted(key)}", "delete one of them"))
        else:
            table[Text(key, written.place)] = value

    def put_between(self, places: list[Text]) -> None:
        """The two places that a part joins."""
        row = Listing(places[0].place)
        row += places
        self.put("between", row, places[0])

    def put_spoken(self, spoken: Spoken) -> None:
        """A part's places and what it does; a place by itself waits for another."""
        if spoken.joined and Text("between") not in self.tables[0]:
            self.put_between(spoken.places)
            if spoken.job:
                self.put("job", spoken.job, spoken.job)
        elif spoken.alone:
            self.places += spoken.places
        elif spoken.job:
            self.put("job", spoken.job, spoken.job)

    def put_places(self) -> None:
        """The places that stood by themselves: two are the ends of the part, any other number its job."""
        if len(self.places) == 2 and Text("between") not in self.tables[0]:
            self.put_between(self.places)
            return
        for place in self.places:
            self.put("job", place, place)

    def put_several(self, value: Text) -> None:
        """One can with several capacitors: a table for each; what follows belongs to all of them."""
        self.share()
        for one in sections_of(value):
            if self.tables[-1]:
                self.tables.append(Entries(one.place, one))
            self.put("value", one, one)
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
