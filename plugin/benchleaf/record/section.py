"""The base of every part of a record's model: a mapping with known keys, or the line that stands for it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, ClassVar, get_origin

from pydantic import (
    BaseModel,
    ConfigDict,
    ModelWrapValidatorHandler,
    ValidationError,
    model_validator,
)
from pydantic_core import InitErrorDetails, PydanticCustomError

from .forms import Form, Mistake, form
from .kinds import BY_NAME
from .line_form import read_line
from .most_entries import first_beyond, too_many
from .piecemeal import is_piecemeal, values_kept
from .problems import Nearest, nearest, one_of, quoted
from .text import NOWHERE, Entries, Listing, Text, line_column_of
from .written_days import lacks_its_year, looks_like_a_date, opening_day

__all__ = ["OURS", "Section", "collected", "described", "form", "from_mistake", "refused"]

OURS = "record"
"""The type that every error in our own words carries."""
_FEW_NAMES = 9
_MOST_KEPT = 400
"""Mistakes of one section that are kept. More are no help to anybody, and a hostile record may hold thousands."""


def refused(
    found: str,
    expected: str,
    remedy: str | Nearest = "",
    *,
    at: object = None,
    missing: bool = False,
    wanting: bool = False,
) -> PydanticCustomError:
    """An error in our own words; ``at`` is the piece of text it is about, where that is not the value itself.

    ``missing`` says that it is about something that is not there at all, ``wanting`` that a line lacks something, which
    a slip further on in it may be.
    """
    said = {"found": found, "expected": expected, "remedy": remedy}
    told = {**said, "place": line_column_of(at), "missing": missing, "wanting": wanting}
    return PydanticCustomError(OURS, "found {found}; expected {expected}", told)


def from_mistake(mistake: Mistake) -> InitErrorDetails:
    """A mistake of a line as an error that keeps its place."""
    error = refused(mistake.found, mistake.expected, mistake.remedy, at=mistake.text)
    return {"type": error, "loc": (), "input": mistake.text}


def collected(errors: Iterable[PydanticCustomError | ValidationError | Mistake]) -> ValidationError:
    """Several errors as one, so that all of them are told."""
    details: list[InitErrorDetails] = []
    for error in errors:
        if isinstance(error, ValidationError):
            details += [_again(e) for e in error.errors(include_url=False)]
        elif isinstance(error, Mistake):
            details.append(from_mistake(error))
        else:
            details.append({"type": error, "loc": (), "input": None})
    return ValidationError.from_exception_data("record", details)


def described(value: object) -> str:
    """What a writer put, for a message."""
    if isinstance(value, dict):
        return "names and values"
    if isinstance(value, list | tuple):
        return "a list"
    return quoted(str(value))


class Section(BaseModel):
    """A part of a record. Frozen; unknown keys are refused with the nearest known one, all mistakes at once.

    ``FORM`` is the line form, where a single line may stand for the mapping; ``LINED`` is true where a line may that is
    read in another way. ``SYNONYMS`` are other words for keys. ``OTHERS`` names the field that takes all keys not
    otherwise known; ``NAMED_LIKE`` is how names look that a section puts under another before it reads them, as a
    regular expression of any dialect. ``PRIVATE`` fields are left out of what is published. ``EMPTY_TOO`` says that
    one of which nothing can be read still tells something.
    """

    model_config = ConfigDict(
        frozen=True,
        arbitrary_types_allowed=True,
        defer_build=True,
        alias_generator=lambda name: name.rstrip("_").replace("_", " "),
        extra="ignore",
    )

    FORM: ClassVar[Form | None] = None
    LINED: ClassVar[bool] = False
    SYNONYMS: ClassVar[Mapping[str, str]] = {}
    OTHERS: ClassVar[str] = ""
    NAMED_LIKE: ClassVar[str] = ""
    PRIVATE: ClassVar[tuple[str, ...]] = ()
    EMPTY_TOO: ClassVar[bool] = False

    @classmethod
    def names(cls) -> list[str]:
        """The keys a writer may use, without synonyms."""
        return [str(f.alias) for name, f in cls.model_fields.items() if name != cls.OTHERS]

    @classmethod
    def private_words(cls) -> tuple[str, ...]:
        """The names of ``PRIVATE`` fields, and the other words for them."""
        named = [str(cls.model_fields[name].alias) for name in cls.PRIVATE]
        return (*named, *(word for word, name in cls.SYNONYMS.items() if name in named))

    @classmethod
    def required(cls) -> list[str]:
        """The keys that must be there in any form."""
        return [str(f.alias) for f in cls.model_fields.values() if f.is_required()]

    @model_validator(mode="wrap")
    @classmethod
    def _read(cls, data: Any, handler: ModelWrapValidatorHandler[Any]) -> Any:
        if isinstance(data, cls):
            return data
        errors: list[InitErrorDetails] = []
        table = cls._table(data, errors)
        if table is None:
            raise ValidationError.from_exception_data(cls.__name__, errors)
        misread = bool(errors)
        known = _Known.of(cls, table, errors)
        errors += known.cut_short(cls)
        if is_piecemeal() and (known.values or not errors or cls.EMPTY_TOO):
            of_line = isinstance(data, str)
            return values_kept(known.values, errors, handler, of_line=of_line, empty_too=cls.EMPTY_TOO)
        section = None
        try:
            section = handler(known.values)
        except ValidationError as error:
            for e in error.errors(include_url=False)[:_MOST_KEPT]:
                if e["type"] != "missing" or len(e["loc"]) > 1:
                    errors.append(_again(e, known.written))
                elif not (misread or known.meant(str(e["loc"][0]), cls.names())):
                    errors.append(cls._missing(str(e["loc"][0]), data))
        if section is not None and not errors:
            errors += known.beyond({key: getattr(section, name) for name, key in _keys_of(cls).by_field})
        if errors or section is None:
            raise ValidationError.from_exception_data(cls.__name__, errors)
        return section

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        if isinstance(data, dict) and not (cls.FORM and (line := _dated_line(data))):
            return data
        if isinstance(data, dict):
            data = line
        if isinstance(data, str) and cls.FORM:
            text = data if isinstance(data, Text) else Text(data)
            day, text = _opening_day(text, cls.FORM)
            table, mistakes = read_line(text, cls.FORM) if text or day is None else (Entries(text.place, text), [])
            errors += [from_mistake(m) for m in mistakes]
            tables: list[Entries] = table if isinstance(table, Listing) else [table]
            if day is not None:
                tables[0].setdefault(Text(cls.FORM.values["date"], day.place), day)
            return tables[0]
        expected = "names and values, each on its own line, indented" + (", or one line" if cls.FORM else "")
        errors.append({"type": refused(described(data), expected, at=data), "loc": (), "input": data})
        return None

    @classmethod
    def _missing(cls, key: str, data: object) -> InitErrorDetails:
        """The error for a key that must be there and is not."""
        line = data if isinstance(data, Text) else getattr(data, "line", None)
        if line is not None:
            error = refused(f"{quoted(line)} without {quoted(key)}", cls._sort_of(key), "add it", at=line, wanting=True)
            return {"type": error, "loc": (), "input": line}
        empty = next((k for k in getattr(data, "empty", ()) if k.casefold() == key.casefold()), None)
        found = f"{quoted(f'{empty}:')} with nothing behind it" if empty else "nothing"
        error = refused(found, f"a line “{key}: …”", "add it", at=empty, missing=True)
        return {"type": error, "loc": (key,), "input": None}

    @classmethod
    def _sort_of(cls, key: str) -> str:
        """What a key takes in the line form, for a message."""
        line = cls.FORM or Form()
        words = [quoted(word) for word, k in line.words.items() if k == key]
        kinds = [BY_NAME[kind].expected for kind, k in line.values.items() if k == key and kind in BY_NAME]
        return one_of([*kinds, *words]) if kinds or words else f"{quoted(key)} too"

    @classmethod
    def _elsewhere(cls, written: str) -> str:
        """Where an unknown key belongs that is known in another section; empty where none is known."""
        return ""

    @classmethod
    def _near_miss(cls, written: str) -> bool:
        """True where an unknown key is surely a mistyped known one, in a section that takes other keys too."""
        return False


def _opening_day(text: Text, line: Form) -> tuple[Text | None, Text]:
    """The day that a line begins with, where its own words would not be read as one, and the rest of the line."""
    end = opening_day(text, with_year=bool(line.rest)) if "date" in line.values else 0
    behind = re.match(r"\s*[,:;]?\s*", text[end:]) if end else None
    if behind is None or (looks_like_a_date(text[:end]) and "," in behind[0]):
        return None, text
    return text.cut(0, end), text.cut(end + behind.end())


def _dated_line(table: Mapping[Any, Any]) -> Text | None:
    """The line of an entry that YAML takes for a name and a value, as it begins with a date and a colon."""
    empty = getattr(table, "empty", [])
    if not table and len(empty) == 1 and _is_a_day(empty[0]):
        return Text(f"{empty[0]}", empty[0].place).like(empty[0])
    if len(table) != 1 or empty:
        return None
    (key, value), *_ = table.items()
    if not (isinstance(key, Text) and isinstance(value, Text) and _is_a_day(key)):
        return None
    gap = value.place[1] - key.place[1] - len(key) if value.place[0] == key.place[0] else 0
    return Text(f"{key},{' ' * max(1, gap - 1)}{value}", key.place, single=value.single and gap > 1).like(key)


def _is_a_day(key: str) -> bool:
    return looks_like_a_date(key) or lacks_its_year(key)


class _Known:
    """A table's values by the keys of its section, the key as ``written`` for each, and the ``unknown`` ones."""

    def __init__(self) -> None:
        self.values: dict[str, Any] = {}
        self.written: dict[str, str] = {}
        self.unknown: list[str] = []

    @classmethod
    def of(cls, section: type[Section], table: Mapping[Any, Any], errors: list[InitErrorDetails]) -> _Known:
        """Unknown and doubled keys become errors, or go to the field for others."""
        keys, known = _keys_of(section), cls()
        others = Entries(line_column_of(table) or NOWHERE)
        for written, value in [*table.items(), *((key, None) for key in getattr(table, "empty", ()))]:
            word = " ".join(str(written).split()).casefold()
            key = keys.by_word.get(word)
            if key and key in known.written:
                found = f"{quoted(str(written))}, which means {quoted(known.written[key])} again"
                errors.append(_at_key(refused(found, "one of them", "put both under one name", at=written), written))
            elif key:
                known.written[key] = str(written)
                if value is not None:
                    known.values[key] = value
            elif section.OTHERS and not section._near_miss(str(written)):
                if value is not None:
                    others[written if isinstance(written, Text) else Text(str(written))] = value
            else:
                known.unknown.append(str(written))
                errors.append(_at_key(keys.refused(section, written), written))
        if section.OTHERS and others:
            known.values[dict(keys.by_field)[section.OTHERS]] = others
        return known

    def cut_short(self, section: type[Section]) -> list[InitErrorDetails]:
        """The mistakes of lists that hold too many, which are taken out: none of them is read."""
        tables = _keys_of(section).tables
        lists = {k: v for k, v in self.values.items() if k in tables or isinstance(v, Listing)}
        told = self.beyond(lists)
        self.values = {k: v for k, v in self.values.items() if k not in lists or first_beyond(k, v) is None}
        return told

    def beyond(self, found: Mapping[str, Any]) -> list[InitErrorDetails]:
        """The mistake of each list that holds too many, at the first that is, or where the list is written."""
        told: list[InitErrorDetails] = []
        for key, value in found.items():
            first = first_beyond(key, value)
            if first is None:
                continue
            at = first if line_column_of(first) else self.values.get(key)
            location = (self.written[key],) if key in self.written else ()
            told.append({"type": refused(*too_many(key, named=bool(location)), at=at), "loc": location, "input": at})
        return told

    def meant(self, key: str, names: Iterable[str]) -> bool:
        """True where an unknown key is most likely this one, mistyped."""
        return any(nearest(word, names) == key for word in self.unknown[:_FEW_NAMES])


@dataclass(frozen=True, slots=True)
class _Keys:
    """The keys of a section by every word for them in small letters, and what is said of a name that is none.

    ``by_field`` has the key of each field, ``tables`` those of fields that hold names and values.
    """

    by_word: Mapping[str, str]
    spelled: tuple[str, ...]
    expected: str
    otherwise: str
    by_field: tuple[tuple[str, str], ...]
    tables: frozenset[str]

    def refused(self, section: type[Section], written: object) -> PydanticCustomError:
        """The error of an unknown name."""
        name = str(written)
        remedy = section._elsewhere(name) or Nearest(name, self.spelled, self.otherwise)
        return refused(f"the unknown name {quoted(name)}", self.expected, remedy, at=written)


@cache
def _keys_of(section: type[Section]) -> _Keys:
    names = tuple(section.names())
    by_word = {word.casefold(): key for word, key in section.SYNONYMS.items()}
    by_word |= {key.casefold(): key for key in names}
    few = len(names) <= _FEW_NAMES
    expected = one_of(map(quoted, names)) if few else "a name that belongs here"
    otherwise = "" if few else f"known here: {one_of(names, 'and')}"
    fields = section.model_fields.items()
    tables = frozenset(str(f.alias) for _, f in fields if get_origin(f.annotation) is dict)
    by_field = tuple((name, str(f.alias)) for name, f in fields)
    return _Keys(by_word, (*names, *section.SYNONYMS), expected, otherwise, by_field, tables)


def _at_key(error: PydanticCustomError, key: object) -> InitErrorDetails:
    return {"type": error, "loc": (str(key),), "input": key}


def _again(error: Any, written: Mapping[str, str] | None = None) -> InitErrorDetails:
    """An inner error once more, its place and words kept; its key as it was written where that is known."""
    loc = error["loc"]
    if loc and written and loc[0] in written:
        loc = (written[loc[0]], *loc[1:])
    if error["type"] == OURS:
        kind: str | PydanticCustomError = PydanticCustomError(OURS, "found {found}; expected {expected}", error["ctx"])
    else:
        kind = error["type"]
    details: InitErrorDetails = {"type": kind, "loc": loc, "input": error["input"]}
    if isinstance(kind, str) and "ctx" in error:
        details["ctx"] = error["ctx"]
    return details
