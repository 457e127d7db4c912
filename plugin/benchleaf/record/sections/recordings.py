"""Recordings of a set that lie elsewhere on the web: each a name and its address."""

import re
import unicodedata
from typing import Annotated, Any
from urllib.parse import urlsplit

from pydantic.json_schema import JsonSchemaValue

from ..editor_schema import TEXT_SCHEMA, one_or_more
from ..problems import quoted
from ..section import refused
from ..text import NOWHERE, Entries, Listing, Text
from ..values import Reads, as_text

_LONGEST = 500
_NEVER = re.compile(r"[\s\\<>\"'`{}|^\[\]]")
_EXPECTED = "the whole address of a recording, such as “https://example.org/hum.mp3”"


def _read_address(value: Any) -> Text:
    """An address that a browser opens and that gives nothing away: http or https, a host, no name or password."""
    text = as_text(value)
    if any(unicodedata.category(sign)[0] == "C" for sign in text) or _NEVER.search(text):
        raise refused(quoted(text), _EXPECTED, "leave out what is no part of the address", at=text)
    try:
        parts = urlsplit(text)
        host, port = parts.hostname, parts.port
    except ValueError:
        raise refused(quoted(text), _EXPECTED, at=text) from None
    if parts.scheme.casefold() not in ("http", "https") or not host or port == 0:
        raise refused(quoted(text), _EXPECTED, "only http and https are published", at=text)
    if "@" in parts.netloc:
        raise refused("an address with a name before its host", _EXPECTED, "leave out what stands before @", at=text)
    if parts.fragment or text.endswith("#"):
        raise refused(quoted(text), _EXPECTED, "leave out # and what is behind it; the story says the time", at=text)
    if len(text) > _LONGEST:
        raise refused(f"an address of {len(text)} characters", f"at most {_LONGEST}", at=text)
    return text


Address = Annotated[Text, Reads(_read_address, TEXT_SCHEMA)]
"""The address of something on the web."""


def read_recordings(value: Any) -> Any:
    """Recordings under names of their own; one line, or a list, has the name ``recording``."""
    lines = [value] if isinstance(value, Text) else value if isinstance(value, Listing) else None
    if lines is None or any(not isinstance(line, Text) for line in lines):
        return value
    named = Entries(getattr(value, "place", NOWHERE))
    for number, line in enumerate(lines, 1):
        named[Text("recording" if len(lines) == 1 else f"recording {number}", named.place)] = line
    return named


def published_names(made: JsonSchemaValue) -> JsonSchemaValue:
    """One line or a list of them may stand for the names and what is said of each."""
    return {"if": {"type": "object"}, "then": made["else"], "else": one_or_more(TEXT_SCHEMA)}
