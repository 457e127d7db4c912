"""The base of every part of a record's model: a mapping with known keys, or the line that stands for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, ClassVar

from pydantic import (
    BaseModel,
    ConfigDict,
    GetJsonSchemaHandler,
    ModelWrapValidatorHandler,
    ValidationError,
    model_validator,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, InitErrorDetails, PydanticCustomError

from .lines import Form, Mistake, read_line
from .problems import Problem, did_you_mean, one_of, quoted
from .text import NOWHERE, Listing, Place, Table, Text, place_of

OURS = "record"
"""The type that every error in our own words carries."""


def refused(found: str, expected: str, remedy: str = "", *, at: object = None) -> PydanticCustomError:
    """An error in our own words; ``at`` is the piece of text it is about, where that is not the value itself."""
    return PydanticCustomError(
        OURS,
        "found {found}; expected {expected}",
        {"found": found, "expected": expected, "remedy": remedy, "place": place_of(at)},
    )


def described(value: object) -> str:
    """What a writer put, for a message."""
    if isinstance(value, dict):
        return "a table of names and values"
    if isinstance(value, list | tuple):
        return "a list"
    return quoted(str(value))


class Section(BaseModel):
    """A part of a record. Frozen; unknown keys are refused with the nearest known one, all mistakes at once.

    ``FORM`` is the line form, where a single line may stand for the mapping. ``SYNONYMS`` are other words for keys.
    ``OTHERS`` names the field that takes all keys not otherwise known. ``PRIVATE`` fields are
    left out of what is published.
    """

    model_config = ConfigDict(
        frozen=True,
        arbitrary_types_allowed=True,
        alias_generator=lambda name: name.rstrip("_").replace("_", " "),
        extra="ignore",
    )

    FORM: ClassVar[Form | None] = None
    SYNONYMS: ClassVar[Mapping[str, str]] = {}
    OTHERS: ClassVar[str] = ""
    PRIVATE: ClassVar[tuple[str, ...]] = ()

    @classmethod
    def names(cls) -> list[str]:
        """The keys a writer may use, without synonyms."""
        return [str(f.alias) for name, f in cls.model_fields.items() if name != cls.OTHERS]

    @model_validator(mode="wrap")
    @classmethod
    def _read(cls, data: Any, handler: ModelWrapValidatorHandler[Any]) -> Any:
        if isinstance(data, cls):
            return data
        errors: list[InitErrorDetails] = []
        table = cls._table(data, errors)
        if table is not None:
            try:
                section = handler(cls._known(table, errors))
            except ValidationError as error:
                errors += [_again(e) for e in error.errors(include_url=False)]
        if errors:
            raise ValidationError.from_exception_data(cls.__name__, errors)
        return section

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        if isinstance(data, dict):
            return data
        if isinstance(data, str) and cls.FORM:
            text = data if isinstance(data, Text) else Text(data)
            table, mistakes = read_line(text, cls.FORM)
            errors += [from_mistake(m) for m in mistakes]
            return table if isinstance(table, dict) else None
        expected = "names and values, each on its own line, indented" + (", or one line" if cls.FORM else "")
        errors.append({"type": refused(described(data), expected), "loc": (), "input": data})
        return None

    @classmethod
    def _known(cls, table: Mapping[Any, Any], errors: list[InitErrorDetails]) -> dict[str, Any]:
        """The table with its own keys only; unknown and doubled ones become errors, or go to the field for others."""
        keys = {key.casefold(): key for key in cls.names()}
        synonyms = {word.casefold(): key for word, key in cls.SYNONYMS.items()}
        known: dict[str, Any] = {}
        others = Table(place_of(table) or NOWHERE)
        for written, value in table.items():
            word = " ".join(str(written).split()).casefold()
            key = keys.get(word) or synonyms.get(word)
            if key and key in known:
                error = refused(
                    f"{quoted(str(written))}, which means {quoted(key)} again", "each of them once", at=written
                )
                errors.append({"type": error, "loc": (str(written),), "input": written})
            elif key:
                known[key] = value
            elif cls.OTHERS and not cls._near_miss(str(written)):
                others[written if isinstance(written, Text) else Text(str(written))] = value
            else:
                remedy = did_you_mean(str(written), [*cls.names(), *cls.SYNONYMS])
                few = one_of(map(quoted, cls.names())) if len(cls.names()) < 9 else "one of the names of this section"
                error = refused(f"the unknown name {quoted(str(written))}", few, remedy, at=written)
                errors.append({"type": error, "loc": (str(written),), "input": written})
        if cls.OTHERS and others:
            known[str(cls.model_fields[cls.OTHERS].alias)] = others
        return known

    @classmethod
    def _near_miss(cls, written: str) -> bool:
        """True where an unknown key is surely a mistyped known one, in a section that takes other keys too."""
        return False

    @classmethod
    def __get_pydantic_json_schema__(cls, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        schema = handler.resolve_ref_schema(handler(core))
        properties = schema.setdefault("properties", {})
        others = properties.pop(str(cls.model_fields[cls.OTHERS].alias), None) if cls.OTHERS else None
        for word, key in cls.SYNONYMS.items():
            if key in properties:
                properties[word] = properties[key]
        schema["additionalProperties"] = others.get("additionalProperties", True) if others else False
        if not cls.FORM:
            return schema
        title = schema.pop("title", cls.__name__)
        return {"title": title, "anyOf": [{"type": ["string", "number"]}, dict(schema)]}


def form(
    section_fields: Iterable[str],
    *,
    values: Mapping[str, str] | None = None,
    words: Mapping[str, str] | None = None,
    **more: Any,
) -> Form:
    """A form whose heads are a section's own keys: whatever can be a key can also stand before its value in a line."""
    return Form(heads=tuple(section_fields), values=values or {}, words=words or {}, **more)


def from_mistake(mistake: Mistake) -> InitErrorDetails:
    """A mistake of a line as an error that keeps its place."""
    error = refused(mistake.found, mistake.expected, mistake.remedy, at=mistake.text)
    return {"type": error, "loc": (), "input": mistake.text}


def _again(error: Any) -> InitErrorDetails:
    """An inner error once more, its place and words kept."""
    if error["type"] == OURS:
        kind: str | PydanticCustomError = PydanticCustomError(OURS, "found {found}; expected {expected}", error["ctx"])
    else:
        kind = error["type"]
    details: InitErrorDetails = {"type": kind, "loc": error["loc"], "input": error["input"]}
    if kind != OURS and "ctx" in error and isinstance(kind, str):
        details["ctx"] = error["ctx"]
    return details


def problems_of(error: ValidationError, tree: Table, file: str) -> list[Problem]:
    """Every error of a validation as a Problem at its place, in the order of the file."""
    problems = []
    for e in error.errors(include_url=False):
        words = e.get("ctx", {}) if e["type"] == OURS else _plain_words(e)
        place = words.get("place") or _place(tree, e["loc"], e["input"])
        label = ".".join(str(part) for part in e["loc"] if not isinstance(part, int))
        problems.append(Problem(file, *place, label, words["found"], words["expected"], words.get("remedy", "")))
    return sorted(set(problems))


def _plain_words(error: Any) -> dict[str, Any]:
    """pydantic's own error types in our words."""
    if error["type"] == "missing":
        return {"found": "nothing", "expected": f"a line “{error['loc'][-1]}: …”", "remedy": "add it"}
    if error["type"] in ("dict_type", "mapping_type"):
        return {"found": described(error["input"]), "expected": "names and values, each on its own line, indented"}
    if error["type"] in ("tuple_type", "list_type"):
        return {"found": described(error["input"]), "expected": "a list, each entry on its own line after “- ”"}
    return {"found": described(error["input"]), "expected": "another value", "remedy": error["msg"]}


def _place(tree: Any, loc: tuple[int | str, ...], value: object) -> Place:
    """The place of a value: its own, or that of the innermost part of the tree on the way to it."""
    if isinstance(value, Text) and value.place:
        return value.place
    place, node = NOWHERE, tree
    for part in loc:
        if isinstance(node, Table):
            key = next((k for k in node if k == part), None)
            if key is None:
                break
            place, node = key.place, node[key]
        elif isinstance(node, Listing) and isinstance(part, int) and part < len(node):
            node = node[part]
            place = place_of(node) or place
        else:
            break
    return place
