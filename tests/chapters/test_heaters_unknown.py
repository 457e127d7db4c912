"""What a heater string lacks, and what must hold of any."""

from __future__ import annotations

import json
import math
from dataclasses import fields, is_dataclass
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
from benchleaf.chapters.heaters.findings import HeatersFindings
from benchleaf.report.findings import as_json
from heater_strings import AMERICAN_FIVE, EUROPEAN_FIVE, found, series


def test_records_own_heater_stands_before_the_table() -> None:
    findings = found(series("120 V", AMERICAN_FIVE | {"V1": "12ZZ6, heater 12.6 V 0.15 A"}))
    assert findings.rated_sum_volts == 122.8
    assert findings.missing == ()


def test_string_without_a_line_has_a_sum_and_nothing_more() -> None:
    text = series("120 V", AMERICAN_FIVE).replace("line: 120 V\n", "")
    findings = found(text)
    assert findings.rated_sum_volts == 122.8
    assert findings.running == ()
    assert findings.left_for_dropper_volts is None
    assert any("line voltage is not written" in line for line in findings.missing)


def test_dropper_without_a_value_is_asked_for() -> None:
    findings = found(series("230 V", EUROPEAN_FIVE, "dropper: resistor 30 W"))
    assert findings.dropper is not None
    assert findings.nominal is not None
    assert findings.nominal.current_amps is None
    assert any("Write its ohms" in line for line in findings.missing)


def test_order_that_names_what_is_not_there() -> None:
    findings = found(series("120 V", AMERICAN_FIVE, "order: V5, V4, V2, V7, V3, V3"))
    assert findings.rated_sum_volts is None
    assert any("V7" in line for line in findings.missing)
    assert any("V1 is not in the order" in line for line in findings.missing)
    assert any("V3 stands twice" in line for line in findings.missing)


@pytest.mark.parametrize(
    ("heaters", "expected"),
    [
        ("pilot lamp: 9999 across V5 tap", "not in the lamp table"),
        ("pilot lamp: 47 across V4 tap", "no tap for V4"),
        ("pilot lamp: 47", "Where the pilot lamp sits"),
        ("pilot lamp: 9999 in series", "Write its volts and amperes"),
        ("dropper: capacitor 400 V", "capacitor’s value is not written"),
        ("dropper: capacitor 4 uF", "frequency is not written"),
    ],
)
def test_lamp_or_capacitor_that_cannot_be_computed_is_named(heaters: str, expected: str) -> None:
    assert any(expected in line for line in found(series("120 V", AMERICAN_FIVE, heaters)).missing)


def test_capacitor_on_direct_current_passes_nothing() -> None:
    findings = found(series("220 V DC", EUROPEAN_FIVE, "dropper: capacitor 2 uF"))
    assert any("passes no direct current" in line for line in findings.missing)
    assert findings.dropper is not None
    assert findings.dropper.capacitor_farads is None


def test_record_that_says_nothing_of_heaters_has_no_chapter() -> None:
    assert makers.findings("heaters", "year: 1949\n") is None


def test_findings_have_a_stable_text_without_addresses() -> None:
    """The figure cache is keyed by it."""
    text = series("120 V 60 Hz", AMERICAN_FIVE, "order: V5, V4, V2, V1, V3\npilot lamp: 47 across V5 tap")
    assert repr(found(text)) == repr(found(text))
    assert " object at 0x" not in repr(found(text))


def test_every_value_in_json_has_its_unit_in_its_name() -> None:
    data = as_json(found(series("120 V 60 Hz", AMERICAN_FIVE, "pilot lamp: 47 across V5 tap\ndropper: diode")))
    endings = (
        "_volts",
        "_amps",
        "_watts",
        "_ohms",
        "_farads",
        "_hertz",
        "_seconds",
        "_hours",
        "hours",
        "_coulombs",
        "_per_foot",
        "of_rated",
        "_of_rating",
        "volts",
        "ohms",
        "watts",
    )

    def walk(value: Any, key: str) -> None:
        if isinstance(value, dict):
            for name, entry in value.items():
                walk(entry, name)
        elif isinstance(value, list):
            for entry in value:
                walk(entry, key)
        elif isinstance(value, float):
            seen.append(key)

    seen: list[str] = []
    walk(data, "")
    assert len(seen) > 50
    assert [key for key in seen if not key.endswith(endings) and key not in ("low", "high")] == []
    assert is_dataclass(HeatersFindings)
    assert {f.name for f in fields(HeatersFindings)} >= {"arrangement", "running"}


TYPES = st.sampled_from(["12BE6", "50C5", "35W4", "UL41", "6A8", "12AX7", "1R5", "XX99", "5Y3GT", "80"])


LINES = st.sampled_from(["120 V 60 Hz", "230 V", "110 V DC", "0 V", "1 V 60 Hz", "6 V DC", ""])


ROWS = st.sampled_from(
    [
        "order: V1, V2, V3",
        "order: lamp, V2, dropper, V1",
        "pilot lamp: 47 across V1 tap",
        "pilot lamp: 2 x 47 across V2 tap",
        "pilot lamp: 9999 in series",
        "pilot lamp: 0 V 0 A, in series",
        "dropper: resistor 170 ohm 30 W",
        "dropper: resistor 0 ohm",
        "dropper: resistance cord",
        "dropper: capacitor 5 uF 400 V",
        "dropper: diode 100 ohm",
        "dropper: ballast 49 V",
        "windings:\n  LT: 6.3 V 2 A, feeds V1 V2\n  HT: 5 V",
        "windings:\n  LT: 0 V 0 A",
        "measured:\n  line: 117 V\n  V1: 12 V\n  V2: 0 V\n  V9: 3 V",
        "measured:\n  V1: 120 V\n  V2: 0 V\n  V3: 0 V\n  current: 0.15 A\n  dropper: 3 V",
    ]
)


POWERS = st.sampled_from(["series string", "transformer", "autotransformer", "battery", "vibrator", "three-way", ""])


@settings(max_examples=150)
@given(st.lists(TYPES, max_size=4), LINES, st.lists(ROWS, max_size=4, unique_by=lambda r: r.split(":")[0]), POWERS)
def test_no_record_makes_the_chapter_fail(types: list[str], line: str, rows: list[str], power: str) -> None:
    text = f"line: {line}\n" if line else ""
    text += f"power: {power}\n" if power else ""
    text += "tubes:\n" + "".join(f"  V{k}: {t}\n" for k, t in enumerate(types, 1)) if types else ""
    if rows:
        text += "heaters:\n" + "".join(f"  {part}\n" for row in rows for part in row.splitlines())
    bench = makers.bench(text)
    findings = makers.findings("heaters", bench)
    if findings is None:
        return
    json.dumps(as_json(findings), allow_nan=False)
    for line_ in findings.running:
        total = math.fsum(t.volts for t in line_.tubes.values() if t.volts is not None)
        assert total <= line_.line_volts * (1 + 1e-6) or findings.arrangement == "parallel"
    assert all("nan" not in s.text and "None" not in s.text for s in makers.standouts("heaters", bench, findings))


IN_ORDER = "V5, V4, V2, V1, V3"


@pytest.mark.parametrize(
    ("named", "piece", "what"),
    [
        ("dropper", "dropper", "a dropper"),
        ("line cord", "dropper", "a dropper"),
        ("lamp", "lamp", "a pilot lamp"),
    ],
)
def test_a_piece_in_the_order_that_is_not_described_is_named_and_left_out(named: str, piece: str, what: str) -> None:
    text = series("120 V", AMERICAN_FIVE, f"order: {named}, {IN_ORDER}")
    string = found(text).string
    assert string is not None
    assert string.unknown_names == (piece,)
    assert string.chain == ("V5", "V4", "V2", "V1", "V3")
    told = f"The order of the string names {what}, which is not written elsewhere in the record."
    assert told in makers.page("heaters", text)


@pytest.mark.parametrize(
    ("order", "chain"),
    [("V5, dropper, V4, V2, V1, V3", "V5 dropper V4 V2 V1 V3"), (IN_ORDER, "dropper V5 V4 V2 V1 V3")],
)
def test_a_dropper_that_is_described_is_where_the_order_has_it_or_at_the_line_end(order: str, chain: str) -> None:
    string = found(series("120 V", AMERICAN_FIVE, f"order: {order}\ndropper: resistor 47 ohm")).string
    assert string is not None
    assert (string.unknown_names, " ".join(string.chain)) == ((), chain)


def test_a_lamp_across_a_tap_is_no_place_of_the_string() -> None:
    """It is described, so that nothing is missing, and it is no link of the chain."""
    string = found(series("120 V", AMERICAN_FIVE, f"order: lamp, {IN_ORDER}\npilot lamp: 47 across V5 tap")).string
    assert string is not None
    assert (string.unknown_names, string.chain) == ((), ("V5", "V4", "V2", "V1", "V3"))


def test_only_a_heater_in_two_halves_that_the_string_asks_for_is_joined_otherwise() -> None:
    """12AX7 in a string of 0.15 A stays as it is: its two halves in series are 12.6 V at 0.15 A (tube table)."""
    tubes = {"V1": "12BE6", "V2": "12BA6", "V3": "12AX7", "V4": "50C5", "V5": "35W4"}
    findings = found(series("120 V", tubes))
    assert findings.rated_sum_volts == pytest.approx(3 * 12.6 + 85)
    assert not any("side by side" in line for line in findings.assumed)


@pytest.mark.parametrize(("winding", "volts"), [("6.3 V 3 A", 6.3), ("12.6 V 3 A", 12.6)])
def test_a_heater_in_two_halves_is_joined_for_the_volts_of_its_winding(winding: str, volts: float) -> None:
    head = "line: 117 V 60 Hz\npower: transformer\ntubes:\n  V1: 12AX7\n  V2: 6ZZ9\n"
    findings = found(f"{head}heaters:\n  windings:\n    LT: {winding}, feeds V1 V2\n")
    (on,) = [t for w in findings.windings for t in w.tubes if t.tube == "V1"]
    assert on.rated_volts == pytest.approx(volts)


def test_a_shunt_across_a_tap_lights_no_lamp() -> None:
    """Ohm's law on the shunt alone; where no lamp is written, none has volts."""
    findings = found(series("120 V", AMERICAN_FIVE, f"order: {IN_ORDER}\nshunts:\n  V5 tap: 68 ohm"))
    nominal = findings.nominal
    assert nominal is not None
    assert (nominal.lamp_volts, nominal.lamp_amps) == (None, None)
    amps, watts = nominal.shunt_amps["V5 tap"], nominal.shunt_watts["V5 tap"]
    assert watts == pytest.approx(amps**2 * 68)
    assert amps > 0.05
