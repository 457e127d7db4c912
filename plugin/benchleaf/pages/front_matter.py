"""What stands at the top of a record: title, standfirst, facts, and its card."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from ..chapters.examine import Examined
from ..record.progress import WAITING
from ..record.work_days import hours_worked, last_day, sittings
from ..report.counted import counted_types
from ..report.day_in_words import day_in_words
from ..report.typed import with_site_decimals
from ..words import Words
from ..words.decimal_sign import with_decimal_sign

if TYPE_CHECKING:
    from ..record.model import Record
    from .cautions import Caution
    from .rendering import PublishedPicture
    from .story import Story

_POWER_WORDS = {
    "series string": "transformerless, {words.tubes} in series",
    "transformer": "{words.line} transformer",
    "autotransformer": "autotransformer",
    "battery": "battery",
    "vibrator": "vibrator",
    "three-way": "three-way: {words.line} or batteries",
}
_SPOKEN_WITH_A_VOWEL = re.compile(r"eight|8|11$|18$")
_LINE_UPS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9}


def title(record: Record) -> str:
    """``Larkfield Minuet 5 (1949)``, and behind it what this one is called where that is written."""
    year = f" ({record.year})" if record.year else ""
    return _joined(f"{record.maker} {record.model}{year}", str(record.called or ""))


def lead(record: Record, story: Story | None, words: Words) -> str:
    """The set in one sentence: the writer's summary, the story's first sentence, or one made of the facts."""
    if record.summary:
        return str(record.summary)
    if story and story.first_sentence:
        return story.first_sentence
    kind = _power(record, words)
    count = len(record.tubes)
    spelled = next((word for word, n in _LINE_UPS.items() if n == count), str(count))
    what = f"{'an' if _SPOKEN_WITH_A_VOWEL.match(spelled) else 'a'} {spelled}-{words.tube} set" if count else "a set"
    made = f" of {record.year}" if record.year else ""
    if not (count or made or kind):
        return "" if record.lost.lines else "Only the maker and the model are written yet."
    return f"The {record.maker} {record.model}, {what}{made}{f', {kind}' if kind else ''}."


def facts(record: Record, words: Words, *, private: bool) -> list[tuple[str, str]]:
    """What is listed beside the photo; what was not written is left out."""
    bands = ", ".join(f"{name} {with_site_decimals(str(band.written))}" for name, band in record.bands.items())
    heading = "Bands, IF" if bands and _between(record) else "Bands" if bands else "IF"
    return [
        (name, value)
        for name, value in (
            ("Kind", _power(record, words)),
            (words.tubes.capitalize(), " ".join(counted_types(str(t.type) for t in record.tubes.values()))),
            (heading, _joined(bands, *_between(record))),
            (
                fed_by(record, words),
                _joined(nominal_line(record), _nameplate(record), between="; "),
            ),
            ("Chassis", _joined(words.of_key(record.chassis or ""), str(record.chassis_number or ""))),
            ("Member", str(record.member or "")),
            ("Serial number", str(record.serial or "") if private else ""),
            ("Owner", str(record.owner or "") if private else ""),
            (words.aerial.capitalize(), str(record.aerial or "")),
            ("Cabinet", str(record.cabinet or "")),
            ("Came in", _came_in(record)),
            ("Work", _work(record)),
            ("Papers", "; ".join(_paper(str(name), str(paper)) for name, paper in record.papers.items())),
            ("Licence", str(record.licence or "")),
        )
        if value
    ]


def facts_at_the_bench(record: Record, words: Words) -> list[tuple[str, str]]:
    """The facts that a sheet for the bench needs above its tables: of what the set is, not of how the work went."""
    told_elsewhere = (words.tubes.capitalize(), "Cabinet", "Work", "Licence")
    return [(name, value) for name, value in facts(record, words, private=False) if name not in told_elsewhere]


def standfirst(examined: Examined, story: Story | None) -> tuple[str, str]:
    """The set in a sentence, and who did the work and when it was finished, or what state it is in."""
    record = examined.record
    day = day_in_words(record.finished) if record.finished else ""
    state = "" if record.finished else str(record.state or "")
    by = _joined(str(record.by or ""), day or state)
    return lead(record, story, examined.bench.words), by[:1].upper() + by[1:]


def cautions_of(examined: Examined) -> tuple[Caution, ...]:
    """The cautions of the set."""
    from .cautions import cautions

    return cautions(examined.bench.circuit, examined.bench.words)


def _between(record: Record) -> tuple[str, ...]:
    """The intermediate frequencies with their digits as written, that of AM first."""
    return tuple(with_site_decimals(each.written) for each in (record.IF, record.second_if) if each)


def _joined(*pieces: str, between: str = ", ") -> str:
    return between.join(piece for piece in pieces if piece)


def _paper(name: str, paper: str) -> str:
    """A paper with its name, which is that of the section where it has none of its own."""
    return paper if name.casefold() == "papers" else f"{name}: {paper}"


def _nameplate(record: Record) -> str:
    return f"nameplate: {record.nameplate}" if record.nameplate else ""


def _came_in(record: Record) -> str:
    """The day a set came in on which no work is told yet."""
    return day_in_words(record.came_in) if record.came_in and record.state == WAITING else ""


def _work(record: Record) -> str:
    """The hours and sittings of the log, and the days between which the work was done."""
    if record.state == WAITING and not record.log:
        return ""
    hours, of_work = hours_worked(record), sittings(record)
    count = len(of_work)
    spent = f"{with_decimal_sign(f'{hours:.3g}')} h in {count} sitting{'' if count == 1 else 's'}" if hours else ""
    days = sorted(entry.date for entry in record.log if entry.date)
    worked = max((entry.date for entry in of_work if entry.date), default=None)
    first = record.came_in or (days[0] if days else None)
    last = max((day for day in (record.finished, worked) if day), default=None) if record.finished else last_day(record)
    span = " to ".join(dict.fromkeys(day_in_words(day) for day in (first, last) if day))
    return _joined(spent, span)


def fed_by(record: Record, words: Words) -> str:
    """What the set runs from, as its heading: ``Line``, ``Battery``."""
    return "Battery" if record.power == "battery" else words.line.capitalize()


def nominal_line(record: Record) -> str:
    """The nominal line as typed: ``120 V 60 Hz``."""
    if record.line is None:
        return ""
    volts = _with_unit(record.line.volts.written, "V")
    hertz = record.line.frequency
    more = _with_unit(hertz.written, "Hz") if hertz else str(record.line.current or "")
    return volts if volts.upper().endswith(f" {more.upper()}") else f"{volts} {more}".strip()


def _with_unit(written: str, unit: str) -> str:
    """A value as written; one that was taken for ``unit`` without it has it."""
    return written if any(sign.isalpha() for sign in written) else f"{written} {unit}"


def _power(record: Record, words: Words) -> str:
    text = _POWER_WORDS.get(str(record.power), "")
    return text.format(words=words)


def card(examined: Examined, story: Story | None, front: PublishedPicture | None) -> dict[str, Any]:
    """What the archive's index shows and filters by."""
    from ..chapters.line_side.remark import remark

    record, words = examined.record, examined.bench.words
    year = re.search(r"\d{4}", record.year or "")
    return {
        "title": title(record),
        "maker": str(record.maker),
        "model": str(record.model),
        "year": int(year[0]) if year else None,
        "kind": _power(record, words),
        "tubes": [str(t.type) for t in record.tubes.values()],
        "tube_types": _table_types(examined),
        "state": str(record.state or ""),
        "lead": lead(record, story, words),
        "line_side": remark(examined),
        "dated": last_date(record),
        "picture": _card_picture(front),
    }


def _table_types(examined: Examined) -> list[str]:
    """The types as the table of tubes names them, so that sets with a 50L6 and a 50L6GT stand together."""
    fitted, table = examined.record.tubes, examined.bench.tubes
    return [table[str(place)].type if str(place) in table else str(tube.type) for place, tube in fitted.items()]


def _card_picture(front: PublishedPicture | None) -> dict[str, Any] | None:
    if front is None:
        return None
    return {
        "fallback": front.fallback,
        "width": front.width,
        "height": front.height,
        "sources": {k: [list(pair) for pair in v] for k, v in front.sources.items()},
    }


def last_date(record: Record) -> str | None:
    """The last day the record speaks of, as ISO text."""
    day = last_day(record)
    return day.isoformat() if day else None
