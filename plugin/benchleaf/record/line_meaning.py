"""What stands at a word of a line: a word of the form, a value, or what the trade says of a part."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from .forms import Form
from .line_values import Meaning, Spans, kind_of_part, value_at
from .part_types import fits
from .several import several_at
from .spoken import Spoken, begins_at_tube, spoken_at
from .text import Text
from .trade_words import CONDITIONS, LEAKY

_MEG = re.compile(r"\d\s?M(?=\s|\Z)")
_RATED_IN_AMPERES = frozenset({"F", "FS", "FU", "D", "GL", "GR", "SR", "BR"})
"""Letters of fuses, and of diodes and dry rectifiers."""
_CARRY = frozenset({"LA", "PL", "DL", "T", "TR", "L", "CH", "M", "PT", "MT", "OT"})
"""Letters of lamps, transformers, coils and motors, which carry a current and leak none."""
_CARRIES = re.compile(r"\b(?:lamps?|bulbs?|transformer|trafo|xfmr|choke|motor|relay)\b", re.I)
_LEAKS = re.compile(r"\b(?:leak\w*|insulation)\b", re.I)
_AMPERES_SAID = re.compile(r"\b(?:fuses?|selenium|silicon|rectifier|bridge)\b", re.I)


def phrase_at(form: Form, item: Text, words: Spans, index: int) -> Meaning | None:
    """The longest phrase of a form's own words that begins at a word."""
    for count in range(min(form.longest, len(words) - index), 0, -1):
        phrase = " ".join(item[s:e] for s, e in words[index : index + count]).casefold()
        found = form.phrases.get(phrase) or form.phrases.get(phrase.rstrip(".:!"))
        if found and (found[1] != "type" or fits(phrase.rstrip(".:!"), item.manner.part)):
            return Meaning(*found, count)
    return None


def meaning_at(form: Form, item: Text, words: Spans, index: int, table: Mapping[Any, Any]) -> Meaning | Spoken | None:
    """What a word means to a form: what it does (or its kind of quantity), its key, and how many words it takes.

    ``table`` is what the line has filled so far: a group is implied once.
    """
    phrase = phrase_at(form, item, words, index)
    if phrase and not (form.spoken and phrase.kind == "word"):
        return phrase
    if item[slice(*words[index])].casefold() in form.skipped:
        return Meaning("skip", "", 1)
    if item[slice(*words[index])].casefold().strip(".,") in form.ignored:
        return Meaning("ignored", "", 1)
    if form.spoken and begins_at_tube(item, words, index):
        return _spoken(form, item, words, index)
    if form.begins and (end := several_at(item, words[index][0])) is not None:
        return Meaning("several", "value", sum(1 for start, _ in words[index:] if start < end))
    if found := value_at(item, words, index, form.values):
        return found
    if (
        form.spoken
        and (spoken := _spoken(form, item, words, index))
        and not (spoken.words == 1 and _known(form, item, words, index))
    ):
        return spoken
    if phrase:
        return phrase
    implied = form.groups.get(form.implied)
    if implied is None or form.implied in table:
        return None
    within = meaning_at(implied, item, words, index, {})
    if isinstance(within, Meaning) and within.kind == "ignored" and 0 < index == len(words) - 1:
        return None  # It ends what is said, and belongs to the note of it: ``2nd if can``.
    # What needs a value is not implied by a word that may stand behind other things: ``reformed at 350 V``.
    of_value = isinstance(within, Meaning) and within.kind in implied.values
    return Meaning("implied", form.implied, 1) if within and (of_value or not implied.needs) else None


def rating_in_amperes(form: Form, item: Text, words: Spans, index: int, line: Text) -> Meaning | None:
    """The amperes of a part that its letter or a word of its ``line`` makes a fuse or a dry rectifier."""
    if "amps" not in form.heads:
        return None
    part, says_rated, says_wound = item.manner.part, *_says_amperes(line)
    wound = says_wound and kind_of_part(part) != "capacitance"
    if part in _RATED_IN_AMPERES or part in _CARRY or says_rated or wound:
        return value_at(item, words, index, {"current": "amps"})
    return None


@lru_cache(maxsize=16)
def _says_amperes(line: Text) -> tuple[bool, bool]:
    """Whether a line tells of what is rated in amperes, and of what is wound.

    Asked at every word of it, and looked for once.
    """
    wound = _CARRIES.search(line) is not None and _LEAKS.search(line) is None
    return _AMPERES_SAID.search(line) is not None, wound


def leaks_through(found: Meaning | Spoken | None, item: Text, said: str) -> bool:
    """Whether ohms behind what was found are those that a capacitor leaks through: ``leaks 4 megohm at 100 V``."""
    of_capacitor = kind_of_part(item.manner.part) == "capacitance"
    ohms = isinstance(found, Meaning) and (found.kind == "resistance" or _MEG.search(item) is not None)
    return of_capacitor and ohms and CONDITIONS.get(said.casefold()) == LEAKY


def _spoken(form: Form, item: Text, words: Spans, index: int) -> Spoken | None:
    """What the trade says of a part at a word, up to the next word that the line has another use for."""
    return spoken_at(item, words, index, lambda at: at > index and _stops(form, item, words, at))


def _stops(form: Form, item: Text, words: Spans, index: int) -> bool:
    phrase = phrase_at(form, item, words, index)
    if phrase and phrase.kind in ("head", "group"):
        return True
    nested = form.groups.get(form.implied)
    inner = phrase_at(nested, item, words, index) if nested else None
    return inner is not None and inner.key == "condition"


def _known(form: Form, item: Text, words: Spans, index: int) -> bool:
    """Whether a word by itself is one of the implied group's own, as ``choke`` is a kind of part."""
    nested = form.groups.get(form.implied)
    return nested is not None and phrase_at(nested, item, words, index) is not None
