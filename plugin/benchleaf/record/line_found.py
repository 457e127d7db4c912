"""What was found of a part, from what stands around a value: what it measured, what of it was left out."""

from __future__ import annotations

import re

from .forms import Form, Mistake
from .line_items import items
from .line_meaning import phrase_at
from .line_values import OF_ITS_OHMS, Spans, value_at
from .numerals import NUMBER
from .place_words import read_rail
from .problems import quoted
from .settled import alike_without_units, of_one_size
from .spoken import place_at, spoken_at
from .text import Text
from .trade_words import CONDITIONS, GOOD, NOW

_GONE = re.compile(r"left (?:out|off)|omitted|deleted|removed|cut out|taken out|thrown out|gone|not refitted", re.I)
_NOT_AGAIN = re.compile(r"\s*(?:,|&|and|but)?\s*(?:not|never) (?:replaced|refitted|renewed)\Z", re.I)
_JOINT = re.compile(r"\s*(?:/|&|\+|\band\b)\s*", re.I)
_NUMBER = re.compile(r"(?:(?:\d+(?:[.,]\d+)?|[.]\d+)(?!\d)|(?P<none>open|OL|shorted|short)\b)", re.I)
_NOT_FOUND = frozenset({"NOS", "new", "used", "original", "none", "untested", "reformed"})
"""Conditions that nothing was measured for."""
_LONGEST_CONDITION = max(len(words.split()) for words in CONDITIONS)
_BEHIND = re.compile(r"\s*,?\s*(?P<words>[^,;()]{1,200})")
"""What stands behind a value, as far as a condition can reach."""
_BUILT_IN = re.compile(r"[^,;]*\b(?:series|parallel|across|beside|inside|built)\b", re.I)
_KEPT = GOOD | {"keep"}
_ANOTHER = re.compile(rf"(?:now|sheet|{'|'.join(map(re.escape, NOW))})(?!\w)", re.I)
_DIGIT = re.compile(r"\d")
_WINDING = re.compile(r"(?:[\w+]+ )?(?:primary|secondary|tertiary|winding|pri|sec)\b\s*:?\s*", re.I)
_BARE_OHMS = re.compile(NUMBER)
_MATCHED = re.compile(
    rf"(?:^|(?<=\s)){NUMBER}(?P<one>{OF_ITS_OHMS})?\s*(?:\bto\b|/|:)\s*{NUMBER}(?P<other>{OF_ITS_OHMS})?\Z", re.I
)
_HALVES = re.compile(
    rf"(?:[\w.+-]+ )?(?:h\.?[tv]\.?|hv|plates?|anodes?|winding|secondary|sec|primary|pri)(?: winding| secondary)?"
    rf"\s*:?\s*{NUMBER}(?:{OF_ITS_OHMS})?\s*(?:\+|and|&)\s*{NUMBER}(?:{OF_ITS_OHMS})?",
    re.I,
)
_WINDING_BEHIND = re.compile(r"\s+(?:primary|secondary|tertiary|pri|sec)\Z", re.I)
_TO_BE_DONE = re.compile(
    r"(?:be|do|order|replace|suit|keep|check|clean|fit|test|reform|see|make|stop|prevent|match|go|come|spec|\d)\b", re.I
)
_MOST_OF_AN_END = 3
_JOINED_BY = re.compile(
    r"(?:soldered|bolted|clipped|tied|wired|connected|goes|runs|leads?|next|close|near|due|up|down|back|moved|switched|changed"
    r"|relative|reference|feeds?|added|fitted|went|down|out|in|not|same|likely|seems?|used)\b",
    re.I,
)
"""Words behind which “to” joins no end of a part."""
_DATED = frozenset({"ordered", "tested", "fitted", "checked"})


def said_gone(item: Text) -> bool:
    """Whether an item says no more than that a part was left out for good."""
    return _GONE.fullmatch(_NOT_AGAIN.sub("", item) or item) is not None


def measured_of_each(value: Text, sections: int) -> list[Text]:
    """What was measured of each section of one part, ``18 and 11 mfd``; empty where there are not so many."""
    spans, start = [], 0
    for joint in _JOINT.finditer(value):
        spans.append((start, joint.start()))
        start = joint.end()
    parts = [value.cut(*span) for span in [*spans, (start, len(value))]]
    numbers = [_NUMBER.match(part) for part in parts]
    if len(parts) != sections or not all(numbers):
        return []
    unit = str(parts[-1])[numbers[-1].end() :].strip() if numbers[-1] else ""
    bare = [n is not None and n.end() == len(part) and not n["none"] for n, part in zip(numbers, parts, strict=True)]
    return [part.taken_as(f"{part} {unit}".strip()) if alone else part for part, alone in zip(parts, bare, strict=True)]


def found_behind(value: Text, line: Text) -> bool:
    """Whether a condition stands behind a value in its line, so that the value is what was measured: ``163, ok``."""
    start = _start_in(line, value)
    if start is None:
        return False
    behind = _BEHIND.match(line, start + len(value))
    words = behind["words"].casefold().rstrip("!").split()[:_LONGEST_CONDITION] if behind else []
    meant = [CONDITIONS.get(" ".join(words[:count]), "") for count in range(1, len(words) + 1)]
    return any(said and said not in _NOT_FOUND for said in meant)


def built_together(line: Text, value: Text) -> bool:
    """Whether a value of another kind stands in a part's line as that of a part built together with it, or a new one.

    ``0.1 uF 400 V, 100 ohm in series``; that it is to be ``now`` another kind is a slip of its own.
    """
    start = _start_in(line, value)
    return start is None or _BUILT_IN.match(line, start + len(value)) is not None


def _start_in(line: Text, value: Text) -> int | None:
    """Where a value stands in its line: by its place, or where the line was reworded by its only occurrence."""
    if value.place[0] != line.place[0]:
        return None
    if line.single:
        return value.place[1] - line.place[1]
    found = [one.start() for one in re.finditer(rf"(?<![\w.]){re.escape(value)}(?![\w.])", line)]
    return found[0] if len(found) == 1 else None


_FIGURES = re.compile(r"\s*\d[\d.]*|\s*\.\d+")
_FIGURES_MARKED = 2


def stays(line: Text) -> bool:
    """Whether a part's line says that the part is kept and of no other, so that a second value was measured of it."""
    said = [item.casefold() for item in items(line)]
    return any(item in _KEPT for item in said) and not any(_ANOTHER.match(item) for item in said)


def new_behind(value: Text, first: Text, line: Text) -> bool:
    """Whether a new part follows a second value, which then is what was measured: ``470k, 612k, now 470k``.

    It is of the size of the ``first``; a dried-out electrolytic may be much less.
    """
    start = _start_in(line, value)
    if start is None:
        return False
    behind = list(items(line.cut(start)))[1:]
    new = any(
        _ANOTHER.match(item) and _DIGIT.search(item) and not item.casefold().startswith("sheet") for item in behind
    )
    return new and (of_one_size(value, first) or alike_without_units(value, first))


def finer_than_marked(value: Text, first: Text) -> bool:
    """Whether a second value has more figures than parts of this kind are marked with: ``150 ohm wirewound, 153``.

    Two figures are marked up to E24 (IEC 60063), so that a third behind two is a meter's.
    """
    figures = [_FIGURES.match(text) for text in (value, first)]
    one, other = (found[0].replace(".", "").strip("0") if found else "" for found in figures)
    alike = of_one_size(value, first) or alike_without_units(value, first)
    return len(one) > _FIGURES_MARKED >= len(other) > 0 and alike


def ohms_of_winding(item: Text, words: Spans) -> bool:
    """Whether an item says no more than the ohms of a winding: ``secondary 14.5 ohms``, ``24 ohms sec``, ``sec .4``."""
    behind = _WINDING_BEHIND.search(item)
    value = value_at(item, words, 0, {"resistance": ""}) if behind else None
    if behind and value and words[value.words - 1][1] == behind.start():
        return True
    named = _WINDING.match(item)
    if named and _BARE_OHMS.fullmatch(item, named.end()):
        return True
    index = next((n for n, (start, _) in enumerate(words) if named and start >= named.end()), 0)
    found = value_at(item, words, index, {"resistance": ""}) if index else None
    return found is not None and index + found.words == len(words)


def ohms_of_halves(item: Text) -> bool:
    """Whether an item says the ohms of a winding's two halves: ``HT winding 240 + 255 ohms``."""
    return _HALVES.fullmatch(item) is not None


def says_what_it_matches(item: Text, words: Spans, form: Form) -> bool:
    """Whether an item ends with the two impedances that a transformer matches: ``output 3k5 / 5 ohm``, ``5k2 to 4``.

    One unit may be that of both: ``7000 to 6 ohms``.
    """
    found = _MATCHED.search(item)
    return found is not None and any(found.group("one", "other")) and phrase_at(form, item, words, 0) is None


def half_joined(item: Text, words: Spans, form: Form) -> Mistake | None:
    """The mistake of an item that joins a place to what is none that is known: ``HT2 to whatever``.

    What is to be done is no place: ``HT2 to be checked``.
    """
    first = place_at(item, words, 0) if words else None
    count = first[0] if first else 0
    if cut_short := _cut_short(item, words, form):
        return cut_short
    if not count:
        return _unclear_end(item, words, form)
    if len(words) < count + 2 or item[slice(*words[count])].casefold() != "to":
        return None
    behind = count + 1
    article = item[slice(*words[behind])].casefold() == "the"
    behind += article and len(words) > behind + 1
    if _TO_BE_DONE.match(item, words[behind][0]) or place_at(item, words, behind):
        return None
    component = form.groups[form.implied]
    if value_at(item, words, behind, component.values) or _joins(item, words, count):
        return None
    if any(phrase_at(one, item, words, at) for one in (form, component) for at in range(behind, len(words))):
        return None
    place, name = item.cut(0, words[count - 1][1]), item.cut(words[behind][0])
    between = f"between {place} and {name}"
    remedy = f"write {quoted(between)} if another part lies there too, or {quoted(f'note {item}')}"
    return Mistake(name, quoted(item), "two places that a part joins", remedy)


def _cut_short(item: Text, words: Spans, form: Form) -> Mistake | None:
    """The mistake of an item whose second place is B+ with a word behind it that nothing knows: ``… to HT wotsit``.

    It may be another point than B+.
    """
    ends = spoken_at(item, words, 0, lambda _: False)
    if ends is None or not ends.joined or ends.words + 1 != len(words) or read_rail(ends.places[1]).kind != "B+":
        return None
    component = form.groups[form.implied]
    last = item.cut(words[-1][0])
    if any(phrase_at(one, item, words, len(words) - 1) for one in (form, component)) or not last.isalpha():
        return None
    name = item.cut(ends.places[1].place[1] - item.place[1]) if item.single else item
    remedy = f"write {quoted(f'between {ends.places[0]} and {name}')}, or a comma before {quoted(last)}"
    return Mistake(last, quoted(name), "the whole name of a point", remedy)


def _unclear_end(item: Text, words: Spans, form: Form) -> Mistake | None:
    """The mistake of an item that joins what is not known to a tube's electrode, or a tube's unknown point to a place.

    ``gizmo to V4 grid``, ``V4 thing to B-``: else the tube would be what the part does.
    """
    joints = [index for index, word in enumerate(words) if item[slice(*word)].casefold() == "to"]
    if len(joints) != 1 or not 0 < joints[0] <= _MOST_OF_AN_END:
        return None
    joint = joints[0]
    second = place_at(item, words, joint + 1) if joint + 1 < len(words) else None
    whole = second is not None and joint + 1 + second[0] == len(words)
    of_tube = any(item.manner.position(item[slice(*word)].strip(".,:")) for word in words[:joint])
    if not whole or second is None or (second[1] and not of_tube) or _JOINED_BY.match(item):
        return None
    component = form.groups[form.implied]
    known = any(phrase_at(one, item, words, at) for one in (form, component) for at in range(joint))
    if known or value_at(item, words, 0, component.values) or _joins(item, words, 0):
        return None
    name = item.cut(0, words[joint - 1][1])
    remedy = f"write {quoted(f'between {name} and {item.cut(words[joint + 1][0])}')} if another part lies there too"
    return Mistake(name, quoted(item), "two places that a part joins", f"{remedy}, or {quoted(f'note {item}')}")


def _joins(item: Text, words: Spans, count: int) -> bool:
    """Whether the words of the trade read a place at a word, and another behind the joint."""
    spoken = spoken_at(item, words, 0, lambda _: False)
    return spoken is not None and spoken.joined and spoken.words > count + 1


def reads_on(item: Text, words: Spans, form: Form) -> bool:
    """Whether an item behind a note is one of the part's line again, and no more of the note.

    It begins with a value, or with a word of the line that has behind it what it takes; or it is a condition.
    """
    component = form.groups[form.implied]
    phrase = phrase_at(form, item, words, 0)
    inner = phrase_at(component, item, words, 0)
    if said_gone(item) or value_at(item, words, 0, component.values):
        return True
    ends = spoken_at(item, words, 0, lambda _: False)
    if ends and ends.joined and ends.words == len(words):
        return True
    if phrase and phrase.kind in ("head", "group") and phrase.words < len(words):
        if phrase.kind == "head" and phrase.key not in _DATED:
            return phrase.key != "original"
        kinds = {"date": ""} if phrase.key in _DATED else component.values
        of_component = phrase.kind == "group" and phrase_at(component, item, words, phrase.words) is not None
        return of_component or value_at(item, words, phrase.words, kinds) is not None
    if inner and inner.kind == "head":
        return inner.words < len(words) and value_at(item, words, inner.words, component.values) is not None
    return any(found and found.kind == "word" and found.words == len(words) for found in (phrase, inner))
