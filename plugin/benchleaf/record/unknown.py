"""What to tell of a piece of a line that its form cannot read."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

from .forms import Form, Mistake
from .kinds import BY_NAME
from .line_values import BARE_NUMBER, kind_of_part
from .problems import Nearest, one_of, quoted
from .quantities import KINDS, QuantityError, read_any
from .settled import unit_beside
from .several import SECTIONS_REMEDY
from .spelling import meant
from .text import Text
from .trade_words import BESIDE_A_JOB, LETTERS_FOR_WORDS

_JOINED_COMMA = re.compile(r"(?<=[^\d\s]),(?=[^\s\d])|(?<=\d),(?=[A-Za-z])|(?<=[A-Za-z]),(?=\d)")
_NUMBER_AND_UNIT = re.compile(r"[-+<>~]?\s*[\d.,]+\s*([^\W\d_]{1,8}|%|°[CF])")
_COUNTED = re.compile(r"\d+(?:-[a-z]{3,}|(?:st|nd|rd|th)\b)", re.I)
"""What has so many of something, or is the so-manieth: ``2-gang``, ``1st``."""
_DIODE = re.compile(r"(?:\d{1,2} ?x ?)?[12]N\d{2,4}[A-Z]?(?: ?x ?\d)?(?!\w)", re.I)
"""The type number of a diode, which begins with a digit and is no value: ``1N4007``, ``4 x 1N4007``."""
_SIZE = re.compile(r"\d+(?:[.,]\d+)?\s?(?:[x×]\s?\d+(?:[.,]\d+)?\s?)?mm\b", re.I)
"""How long a part is, which is none of its values."""
_FEW_WORDS = 9
_A_SENTENCE = 7
"""Words of one run from which on it is talk, and none of them a slip for a word of the line."""
_LONGEST_UNIT = 5
_TWO_IN_ONE = re.compile(r"[.\d]+-[.\d]+(?:-[.\d]+)*")
_CLASS_OR_TWO = re.compile(r"(?P<value>0?\.\d{1,4})[xX×]2")
"""A capacitor's value and its class X2, or two of a value."""
_ROW_OF_PAPER = re.compile(r"0?\.\d+(?:(?:-0?\.\d+){2,}|(?:\+0?\.\d+)+)")
RATINGS = frozenset({"voltage", "current", "power"})
"""Kinds that say what a part stands, and that are something else where another word stands before them."""
_NO_SLIPS = frozenset({"not", "lead", "side"})
"""Words of everyday speech that are one letter from a word of a line, and never a slip for it."""
_DENIES = re.compile(r"\b(?:not|never|no|no longer|isn't|wasn't|nicht|nie|kein|keine|niet|geen|nooit)\b", re.I)
_AT = re.compile(r"(?:at|on|in|across|after|when|against|over|between|from|to)\b", re.I)


def joined_comma(text: str) -> re.Match[str] | None:
    """A comma between two items with no blank behind it; not the decimal comma of ``0,05``."""
    return _JOINED_COMMA.search(text)


def comma_mistake(text: Text, comma: re.Match[str]) -> Mistake:
    """The mistake of a joined comma, with the two items parted."""
    parted = f"{text[: comma.start()]}, {text[comma.end() :]}"
    found = f"{quoted(text)}, a comma with no blank behind it"
    return Mistake(text.cut(comma.start()), found, "a comma and a blank", f"write {quoted(parted)}")


def kept_as_note(text: Text, form: Form, outer: Form | None, behind: str) -> bool:
    """Whether words that a line does not know may be its note; else they are asked.

    They are asked in a strict line, where one is a slip for a word of the line, and where they make a value doubtful:
    ``4 V at the grid``; ``behind`` is what stands before them.
    """
    number = re.match(r"[-+<>~]?\s*[.,\d]+\S*(\s+[a-z]+)?", text)
    counted = _COUNTED.match(text) or _DIODE.match(text) or _SIZE.match(text)
    if (
        form.strict
        or joined_comma(text)
        or LETTERS_FOR_WORDS.search(text)
        or (number and not counted and not _is_no_unit(number[1]) and kind_by_unit(text) != "temperature")
    ):
        return False
    if behind in RATINGS and _AT.match(text):
        return False
    known = (*form.vocabulary, *(outer.vocabulary if outer else ()))
    words = [word.strip(".,:;()!?") for word in text.split()]
    passed = BESIDE_A_JOB | _NO_SLIPS
    if len(words) >= _A_SENTENCE:
        return True
    slips = (one for word in (*words, str(text)) if word.casefold() not in passed for one in _slips(word, known))
    return next(slips, None) is None


def _slips(word: str, known: Iterable[str]) -> list[str]:
    """The known words that a word may be a slip for; one thing of several, ``tap`` beside ``taps``, is none."""
    flat = word.casefold()
    return [name for name in meant(word, known) if name.casefold() not in (f"{flat}s", flat.removesuffix("s"))]


def _is_no_unit(word: str | None) -> bool:
    return word is not None and len(word) > _LONGEST_UNIT


def ownerless(lead: Text, *, taken: bool, first: bool) -> bool:
    """Whether words that a line does not know leave open what the value behind them is.

    The name of a maker leaves nothing open, nor does any word before the value that comes ``first`` in every line;
    where the key is ``taken`` the value has no owner.
    """
    return taken or not (first or all(word[:1].isupper() for word in lead.split()))


def denied(lead: Text, word: Text) -> Mistake | None:
    """The mistake where the word behind unknown words is said not to be so: ``not leaky``, ``never shorted``."""
    if not _DENIES.search(lead):
        return None
    whole = f"{lead} {word}"
    return Mistake(
        lead, quoted(whole), "what is so, in words without “not”", f"write {quoted(f'note {whole}')}, if that is meant"
    )


def slip_with(lead: Text, word: Text, form: Form, outer: Form | None) -> Mistake | None:
    """The mistake where unknown words and the known one behind them are a slip for a phrase: ``outsid foil``.

    So is that of words which say that it is not so.
    """
    if said_not := denied(lead, word):
        return said_not
    whole = lead.taken_as(f"{lead} {word}")
    known = (*form.vocabulary, *(outer.vocabulary if outer else ()))
    return unknown(whole, form, outer) if meant(whole, known) else None


def second_value(value: Text, first: object, *, in_can: bool) -> Mistake:
    """The mistake of a value beside the ``first`` in the line of one component, or of the capacitors ``in_can``."""
    if in_can:
        expected = "one value in common, or each section by itself"
        return Mistake(value, f"{quoted(value)} in the line of one can", expected, SECTIONS_REMEDY)
    whole = f"{value} {unit_beside(value, str(first))}".strip() if BARE_NUMBER.match(value) else str(value)
    expected = f"{quoted(f'measured {whole}')}, {quoted(f'now {whole}')}, or “and” between two parts of one can"
    return Mistake(value, f"{quoted(value)}, a second value", expected, "write which it is")


def of_another_kind(value: Text, kind: str, own: str) -> Mistake:
    """The mistake of ohms in the line of a capacitor, or of microfarads in that of a resistor, with nothing between."""
    found = f"{quoted(value)}, {noun(kind)} in the line of one part with {noun(own)}"
    leaks = [f"leakage {value}", f"ESR {value}"] if (own, kind) == ("capacitance", "resistance") else []
    expected = f"{one_of(map(quoted, [*leaks, f'+ {value}']))} for what is built together with it"
    return Mistake(value, found, expected, "write which it is")


def class_before_was(head: Text, class_: object) -> Mistake:
    """The mistake of ``was`` behind a part with its class: the class would be that of the old one."""
    found = f"{quoted(head)} behind a part of class {class_}, with no word for whether it is the new one"
    return Mistake(head, found, "“now” before what is in the set now, “was” before what was", "write both words")


def lone_comma(item: Text) -> Mistake:
    """The mistake of a comma with nothing before it or behind it."""
    return Mistake(item, "a comma with nothing beside it", "something between the commas", "delete the comma")


def nothing_behind(head: Text) -> Mistake:
    """The mistake of a word that opens a value and has none."""
    found = f"{quoted(head)} with nothing behind it"
    return Mistake(head, found, "a value behind it", "add it, or delete the word")


def measured_once(value: Text, sections: int) -> Mistake:
    """The mistake of one value that was measured of a part with several ``sections``: it may be of any of them."""
    expected = f"what each of the {sections} measured, with “and” or a comma between"
    each = " and ".join(["…"] * (sections - 1))
    remedy = f"write “{value} and {each}”, or “note {value} for all of it”"
    return Mistake(value, f"{quoted(value)} measured of {sections} sections", expected, remedy)


def second_ends(places: Sequence[Text], ends: Sequence[object]) -> Mistake:
    """The mistake of two places that a part joins beside the ``ends`` that it has already."""
    second = " to ".join(places)
    found = f"{quoted(second)}, where {quoted(' to '.join(map(str, ends)))} are its two ends already"
    remedy = "write the ends of the whole, and what lies at a tap behind “note”"
    return Mistake(places[0], found, "two places that a part joins, once in its line", remedy)


def unknown(text: Text, form: Form, outer: Form | None = None, value: Text | None = None) -> Mistake:
    """The mistake of a text that is neither a value nor a word of the ``form`` (or of the line ``outer`` around it).

    ``value`` is one behind it that it leaves in doubt.
    """
    if value is not None:
        whole = f"{text} {value}"
        vocabulary = (*form.heads, *(outer.heads if outer else ()))
        near = meant(text, vocabulary)
        otherwise = "write the word for it, such as “measured” or “now”"
        remedy = f"did you mean {one_of(map(quoted, near))}?" if near else otherwise
        return Mistake(text, quoted(whole), "a word this line knows before the value", remedy)
    if joined := joined_comma(text):
        return comma_mistake(text, joined)
    if letters := LETTERS_FOR_WORDS.search(text):
        remedy = "write “aerial series”, or of a fuse “anti-surge”"
        return Mistake(text, quoted(text), f"the words that {quoted(letters[0])} stands for", remedy)
    if re.match(r",\d", text):
        found, expected = f"{quoted(text)}, a comma with a blank before it and none behind", "a comma and a blank"
        remedy = f"write {quoted(', ' + text[1:])} for the next value, or {quoted('0' + text)} for a decimal comma"
        return Mistake(text, found, expected, remedy)
    kinds = [row for row in map(BY_NAME.get, form.wanted) if row and row.suggested]
    if kinds and re.fullmatch(r"[-+<>~]?\s*[\d.,]+", text):
        units = one_of(dict.fromkeys(row.suggested for row in kinds))
        return Mistake(text, f"{quoted(text)} without a unit", "a value with its unit", f"write {units} behind it")
    if kind := kind_by_unit(text):
        nouns = [row.noun for row in kinds] or ["a word this line knows"]
        if noun(kind) in nouns:
            found = f"{quoted(text)}, {noun(kind)} with no word for what it is of"
            return Mistake(text, found, "a word this line knows before it", _free_text(form))
        return Mistake(text, f"{quoted(text)}, {noun(kind)}", f"{one_of(nouns)} here", _free_text(form))
    vocabulary = (*form.vocabulary, *(outer.vocabulary if outer else ()))
    expected = "a value with its unit, or a word this line knows" if kinds else "a word this line knows"
    if _ROW_OF_PAPER.fullmatch(text):
        remedy = f"write {quoted(text.replace('-', '+') + ' uF')} for the sections of one can"
        return Mistake(text, f"{quoted(text)} without a unit", expected, remedy)
    if (joined := _CLASS_OR_TWO.fullmatch(text)) and kind_of_part(text.manner.part) == "capacitance":
        remedy = (
            f"write {quoted(joined['value'] + ' X2')} for its class, or {quoted('{0}+{0} uF'.format(joined['value']))}"
        )
        return Mistake(text, f"{quoted(text)}, a class or two of them", "the class, or two values", f"{remedy} for two")
    if _TWO_IN_ONE.fullmatch(text):
        remedy = f"write each with its unit, such as “.1 uF 600 V”, or for one can {SECTIONS_REMEDY}"
        return Mistake(text, f"{quoted(text)}, two numbers with a dash", expected, remedy)
    few = form.vocabulary if len(vocabulary) <= _FEW_WORDS else ()
    otherwise = f"known here: {one_of(map(quoted, few), 'and')}" if few else _free_text(form)
    words = () if re.match(r"\d", text) else vocabulary
    return Mistake(text, quoted(text), expected, Nearest(str(text), words, otherwise))


def noun(kind: str) -> str:
    """A kind of quantity with its article: ``a resistance``."""
    return BY_NAME[kind].noun if kind in BY_NAME else f"a {kind}"


def kind_by_unit(text: str) -> str:
    """The kind of quantity a text is by its unit alone, or nothing."""
    measured = _NUMBER_AND_UNIT.fullmatch(text)
    return _kind_of_unit(measured[1]) if measured else ""


@lru_cache(maxsize=512)
def _kind_of_unit(unit: str) -> str:
    try:
        found = read_any(f"1 {unit}", KINDS)
    except QuantityError:
        return ""
    return found.kind if found else ""


def _free_text(form: Form) -> str:
    key = form.rest or ("note" if "note" in form.heads else "")
    return f"begin free text with the word “{key}”" if key and not form.rest else ""
