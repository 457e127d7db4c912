"""The meter of a list of readings as written: how it loads the circuit, and how far it may be off."""

import re
from typing import Annotated, Any

from ..problems import quoted
from ..section import Section, refused
from ..text import Text
from ..values import Ratio, Reads, Resistance, Voltage, Wording, as_text, read_as, schema_of
from .usual_meters import usual_meter


class Meter(Section):
    """``20 kohm/V on 250 V, 3 % of range`` or ``10 meg, 0.5 %``: how the meter loads the circuit, and its error."""

    LINED = True

    ohms_per_volt: Resistance | None = None
    range_: Voltage | None = None
    ohms: Resistance | None = None
    error: Ratio | None = None
    error_of_range: Ratio | None = None
    note: Wording | None = None

    @property
    def range_alone(self) -> bool:
        """Whether a range of a meter that is named elsewhere is all that is said."""
        said = (self.ohms_per_volt, self.ohms, self.error, self.error_of_range, self.note)
        return self.range_ is not None and not any(said)


_SENSITIVITY = re.compile(
    r"(?P<ohms>.+?)\s*(?:/|per)\s*(?:V|volt)\b\.?"
    r"(?:[\s,]+(?P<name>(?!on\b|at\b|range\b)[A-Z][\w-]*?(?: \d{1,4}[A-Z]?(?=,)| (?:type|meter|model))?))??"
    r"(?:[\s,]+(?:on |range |the )*(?P<range>[-+−–]?[.\d][\d.,]*\s*(?:m|k)?(?:V|volts?)?)(?:\s+(?:scale|range))?)?\s*$",
    re.I,
)
_ON_RANGE = re.compile(r"\bon\s+(?:its\s+|the\s+)?(?P<range>\d[\d.,]*\s?V)(?:olts?)?\b(?:\s+(?:range|scale))?", re.I)
_MILLIONS = re.compile(r"(?P<number>\d+(?:[.,]\d+)?)\s?M", re.I)
"""Of a meter's input: none has so few thousand ohms."""


_IN_BRACKETS = re.compile(r"(?P<gap>\s?)[(\[](?P<inside>[^()\[\]]*)[)\]],?")
_OPV = re.compile(r"(?<=[\dkK])\s?(?:o\.?\s?p\.?\s?v\b\.?|o/V\b|ohms? per V(?:olt)?\b)", re.I)
_THOUSANDS_A_VOLT = re.compile(r"(?<![\d.,])\d{1,2}(?P<point>[.,])000(?=\s?(?:ohms?|Ω)?\s?/\s?V)", re.I)
_THOUSAND_IN_M = re.compile(r"(?<![\d.,])(?P<number>\d{1,3})\s?M(?=\s?(?:ohms?|Ω)?\s?(?:/|per)\s?V)", re.I)
_INPUT = re.compile(r"[\s,]+(?:input|impedance|resistance|digital|analog|meter|dmm|vtvm|multimeter)\b.*", re.I)
_ERROR = re.compile(
    r"(?:^|,)\s*(?:±|\+/?-)?\s*(?P<share>(?:[^,]|(?<=\d),(?=\d))*%)\s*"
    r"(?P<of>of (?:the )?(?:range|full scale|scale)|fsd)?(?:\s*of (?:the )?reading)?\s*$",
    re.I,
)


def _read_meter(value: Any) -> Meter:
    if isinstance(value, Meter):
        return value
    if isinstance(value, dict):
        return Meter.model_validate(value)
    text, data = _without_error(_ohms_a_volt(_out_of_brackets(as_text(value))))
    text, data = _without_its_name(text, data)
    if match := _SENSITIVITY.match(text):
        ohms = text.cut(*match.span("ohms"))
        in_m = _THOUSAND_IN_M.search(value) if isinstance(value, Text) else None
        told = f"{quoted(in_m[0])} read as thousands: none has millions of ohms a volt" if in_m else ""
        data["ohms per volt"] = ohms.taken_as(str(ohms), told) if told else ohms
        if match["range"]:
            data["range"] = text.cut(*match.span("range"))
        if match["name"]:
            name = text.cut(*match.span("name"))
            data["note"] = data["note"].and_then(name) if "note" in data else name
        return Meter.model_validate(data)
    if not text and data:
        return Meter.model_validate(data)
    if "ohms" not in data and not _reads_ohms(text) and (usual := usual_meter(text)):
        told = f"{quoted(text)} names no ohms: taken as {usual.said} ({usual.source})".replace("\u202f", " ")
        if usual.per_volt and (on := _ON_RANGE.search(text)):
            data["range"] = text.cut(*on.span("range"))
        data["note"] = text.taken_as(str(text), told)
        return Meter.model_validate(data)
    if not re.search(r"\d", text):
        expected = "the resistance of its input, such as “11 meg” or “20 kohm/V”"
        raise refused(quoted(text), expected, "write it behind the meter's name", at=text)
    if text[0].isalpha() and not _reads_ohms(text):
        expected = "the meter's name, and the ohms per volt of its ranges or the ohms of its input"
        remedy = f"write {quoted(f'{text}, … kohm/V')} or {quoted(f'{text}, … megohm')}"
        raise refused(quoted(text), expected, remedy, at=text)
    return Meter.model_validate({"ohms": _in_megohms(text)} | data)


def _out_of_brackets(text: Text) -> Text:
    """``Avo 7 (500 ohms/volt) 400V range`` with commas about what stands in brackets."""
    plain = _IN_BRACKETS.sub(lambda found: f",{' ' * bool(found['gap'])}{found['inside']},", text)
    return text.taken_as(plain.rstrip(" ,") if plain.endswith(",") else plain) if plain != text else text


def _ohms_a_volt(text: Text) -> Text:
    """A meter's ohms per volt as the trade says them, ``1000 o.p.v.``; ``20.000`` is 20,000: none has 20."""
    said = _OPV.sub(" ohm/V", text)
    if thousand := _THOUSAND_IN_M.search(said):
        said = f"{said[: thousand.start()]}{thousand['number']} k{said[thousand.end() :]}"
    if thousands := _THOUSANDS_A_VOLT.search(said):
        plain = thousands[0].replace(thousands["point"], "")
        said = f"{said[: thousands.start()]}{plain}{said[thousands.end() :]}"
        return text.taken_as(said, f"“{thousands[0]}” read as {plain}: no meter has so few ohms a volt")
    return text.taken_as(said) if said != text else text


def _in_megohms(text: Text) -> Text:
    """``10M`` of a meter's input is megohms."""
    millions = _MILLIONS.fullmatch(text)
    return text.taken_as(f"{millions['number']} megohm", f"“{text}” read as megohms") if millions else text


def _without_its_name(text: Text, data: dict[str, Text]) -> tuple[Text, dict[str, Text]]:
    """The meter without the words for what it is (``DMM``, ``input``), which are its note."""
    for word in re.finditer(r"(?<!\S)[<>~]?[.\d]\S*", text):
        begun = text.cut(word.start())
        behind = _INPUT.search(begun)
        value = begun.cut(0, behind.start()) if behind else begun
        a_volt = _SENSITIVITY.match(value)
        if _reads_ohms(value.cut(*a_volt.span("ohms")) if a_volt else value):
            words = [w for w in (text.cut(0, word.start()), behind and begun.cut(behind.start())) if w]
            named = [Text(w.strip(" ,"), w.place).like(w) for w in words]
            return value, data | (
                {"note": named[0] if len(named) == 1 else named[0].and_then(named[1])} if named else {}
            )
    return text, data


def _reads_ohms(text: Text) -> bool:
    try:
        return bool(read_as(_in_megohms(text), "resistance"))
    except ValueError:
        return False


def _without_error(text: Text) -> tuple[Text, dict[str, Text]]:
    """The meter without the items that say how far it may be off, and those: a share of the reading or of its range."""
    data: dict[str, Text] = {}
    while match := _ERROR.search(text):
        key = "error of range" if match["of"] else "error"
        if key in data:
            break
        data[key] = text.cut(*match.span("share"))
        text = text.cut(0, match.start())
    return text, data


_RANGE_BESIDE = re.compile(
    r"(?:(?:read |taken )?(?:on|at) )?(?:the )?(?P<range>[.\d][\d.,]*\s?k?(?:V|volts?)?)[ -](?:range|scale)"
    r"|(?:read |taken )?(?:on|at) (?:the )?(?P<on>[.\d][\d.,]*\s?k?(?:V|volts?))",
    re.I,
)
_KIND_BESIDE = re.compile(
    r"(?:\b|(?<=\d))(?:digital|dmm|dvm|vtvm|(?:valve|vacuum[- ]tube|electronic) voltmeter|multimeter|avo\b"
    r"|analog(?:ue)?|(?:other|second|my|old|new|moving[- ]coil) meter|(?:ohms?|k|kohms?)\s?/\s?V|o\.?p\.?v)",
    re.I,
)


def meter_beside(text: Text) -> Meter | None:
    """The meter or the range that is written in brackets beside one reading; None for any other remark.

    ``1000 range`` is another range of the list's meter; of ``digital`` alone nothing is known but that it is another.
    """
    if match := _RANGE_BESIDE.fullmatch(text):
        volts = text.cut(*match.span("range" if match["range"] else "on"))
        plain = volts if re.search(r"[a-z]", volts, re.I) else volts.in_unit("V")
        return Meter.model_validate({"range": plain})
    if not _KIND_BESIDE.search(text):
        return None
    try:
        return _read_meter(text)
    except ValueError:
        return Meter.model_validate({"note": text})


MeterField = Annotated[Meter, Reads(_read_meter, schema_of(Meter))]
