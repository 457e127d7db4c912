"""What a set is fed from: one line for every chapter, and each line that cannot be told at its word."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.circuit.mains import Mains
from benchleaf.record.slips import Slips

SET = """line: {line}
power: series string
tubes:
  V1: 35W4
  V2: 50C5
heaters:
  order: V1, V2
parts:
  C1: keep, 40 uF 150 V electrolytic, between B+1 and B-
line side:
  after:
    switch: hot lead
    B- to chassis: 220 kohm, 3.3 nF Y1
    touchable: chassis
"""


def mains(text: str) -> Mains:
    return makers.circuit(text).mains


def told(text: str) -> list[str]:
    """What the whole look at a record tells of it."""
    from benchleaf.circuit.place import place

    slips = Slips(makers.FILE)
    place(makers.record(f"maker: A\nmodel: B\n{text}"), slips)
    return [str(problem) for problem in slips.problems()]


# What is so


@pytest.mark.parametrize(
    ("power", "so"),
    [
        ("series string", "from_line straight_from_line heaters_in_string makes_b_plus"),
        ("three-way", "from_line straight_from_line on_batteries makes_b_plus"),
        ("transformer", "from_line wound double_wound makes_b_plus"),
        ("autotransformer", "from_line wound makes_b_plus"),
        ("battery", "on_batteries direct"),
        ("vibrator", "vibrator direct makes_b_plus"),
        ("", "from_line"),
    ],
)
def test_what_each_kind_of_supply_is(power: str, so: str) -> None:
    found = mains(f"power: {power}\n" if power else "")
    asked = (
        "from_line", "straight_from_line", "heaters_in_string", "on_batteries", "vibrator", "double_wound", "wound",
        "makes_b_plus", "direct",
    )  # fmt: skip
    assert {name for name in asked if getattr(found, name)} == set(so.split())


def test_low_and_high_line_as_written() -> None:
    volts = mains("line: 230 V 50 Hz, low 207 V, high 244 V\n").volts
    assert volts is not None
    assert (volts.low, volts.nominal, volts.high) == (207.0, 230.0, 244.0)
    assert (volts.low_assumed, volts.high_assumed) == (False, False)


@pytest.mark.parametrize(
    ("line", "low", "high", "assumed"),
    [
        ("120 V", 108.0, 132.0, (True, True)),
        ("120 V, low 105 V", 105.0, 132.0, (False, True)),
        ("120 V, high 125 V", 108.0, 125.0, (True, False)),
        ("7.5 V DC", 6.75, 8.25, (True, True)),
    ],
)
def test_a_limit_nobody_wrote_is_ten_per_cent_off(
    line: str, low: float, high: float, assumed: tuple[bool, bool]
) -> None:
    volts = mains(f"line: {line}\npower: battery\n").volts
    assert volts is not None
    assert (volts.low, volts.high) == (pytest.approx(low), pytest.approx(high))
    assert (volts.low_assumed, volts.high_assumed) == assumed


@pytest.mark.parametrize(
    ("text", "direct", "hertz"),
    [
        ("line: 110 V 50 Hz\n", False, 50.0),
        ("line: 110 V DC\n", True, None),
        ("line: {volts: 110 V, current: DC}\n", True, None),
        ("line: 110 V\n", False, None),
        ("line: 6 V\npower: vibrator\n", True, None),
        ("", False, None),
        ("line: 120 V 16.67 Hz\n", False, 16.67),
        ("line: 120 V 6000 Hz\n", False, None),
    ],
)
def test_alternating_and_direct_current(text: str, direct: bool, hertz: float | None) -> None:
    found = mains(text)
    assert (found.direct, found.hertz) == (direct, hertz)


@pytest.mark.parametrize(
    "line", ["120 V 60 Hz, low 130 V, high 110 V", "120 V 60 Hz", "120 V 60 Hz, low 99 V, high 128 V"]
)
def test_all_chapters_compute_on_one_line(line: str) -> None:
    examined = makers.examined(SET.format(line=line))
    volts = examined.bench.circuit.mains.volts
    assert volts is not None
    heaters = examined.findings["heaters"]
    assert [run.line_volts for run in heaters.running] == pytest.approx([volts.low, volts.nominal, volts.high])
    assert examined.findings["parts"].supply.volts == pytest.approx(math.sqrt(2) * volts.high)
    assert examined.findings["line_side"].after.b_minus_network.high_line_volts == pytest.approx(volts.high)
    assert volts.low <= volts.nominal <= volts.high


@pytest.mark.parametrize("line", ["-120 V", "0 V", "120 kV", "6.3 V", "105-125 V"])
def test_no_chapter_computes_on_a_line_that_cannot_be(line: str) -> None:
    examined = makers.examined(SET.format(line=line))
    assert examined.bench.circuit.mains.volts is None
    assert examined.findings["heaters"].running == ()
    assert f"“{line}”" in examined.findings["heaters"].missing[0]
    assert examined.findings["parts"].supply.volts is None
    assert examined.findings["line_side"].after is None


def test_a_limit_that_stands_alone_is_told_alone() -> None:
    assumed = makers.findings("heaters", makers.bench(SET.format(line="120 V, low 105 V"))).assumed
    assert (
        "High line is not written: ten per cent over the nominal line is taken (common practice, no source)." in assumed
    )
    assumed = makers.findings("heaters", makers.bench(SET.format(line="120 V, high 125 V"))).assumed
    assert (
        "Low line is not written: ten per cent under the nominal line is taken (common practice, no source)." in assumed
    )


def test_direct_current_has_no_ripple_whatever_frequency_is_written() -> None:
    changes = "changes:\n  A1: add 100 nF, across C1\nparts:\n  C1: keep, 10 uF\n"
    direct = makers.findings("changes", makers.bench("line: 110 V DC 60 Hz\npower: series string\n" + changes))
    assert not [at for change in direct.changes for at in change.at if "ripple" in at.what]
    there = makers.findings("changes", makers.bench("line: 110 V 60 Hz\npower: series string\n" + changes))
    assert [at.hertz for change in there.changes for at in change.at if "ripple" in at.what] == [60.0]


# What cannot be so

_HEAD = "record.yml:3:7: line.volts: found "
_RANGE = "; expected a nominal line of 24 to 260 V; "


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("line: -120 V", _HEAD + "“-120 V”" + _RANGE + "leave the sign out"),
        ("line: 0 V", _HEAD + "“0 V”" + _RANGE + "leave the line out where it is not known"),
        ("line: 120 kV", _HEAD + "“120 kV”" + _RANGE + "check the number and its unit"),
        ("line: 261 V", _HEAD + "“261 V”" + _RANGE + "check the number and its unit"),
        ("line: 6.3 V DC", _HEAD + "“6.3 V DC”" + _RANGE + "for a set on batteries or a vibrator say so under “power”"),
        (
            "line: 105-125 V",
            _HEAD + "“105-125 V”; expected one nominal voltage; "
            "write the nominal volts, and the ends as “low 105 V, high 125 V”",
        ),
        (
            "line: -6 V\npower: battery",
            _HEAD + "“-6 V”; expected a voltage above 0 V and at most 260 V; leave the sign out",
        ),
        (
            "line: 6 kV\npower: vibrator",
            _HEAD + "“6 kV”; expected a voltage above 0 V and at most 260 V; check the number and its unit",
        ),
        (
            "line: 120 V, low 130 V",
            "record.yml:3:18: line.low: found “130 V”; expected a low line above 0 V and not above the nominal "
            "“120 V”; check the number and its unit",
        ),
        (
            "line: 120 V, low -108 V",
            "record.yml:3:18: line.low: found “-108 V”; expected a low line above 0 V and not above the nominal "
            "“120 V”; leave the sign out",
        ),
        (
            "line: 120 V, high 110 V",
            "record.yml:3:19: line.high: found “110 V”; expected a high line not below the nominal “120 V”, and at "
            "most 286 V; check the number and its unit",
        ),
        (
            "line:\n  volts: 230 V\n  high: 2.53 kV",
            "record.yml:5:9: line.high: found “2.53 kV”; expected a high line not below the nominal “230 V”, and at "
            "most 286 V; check the number and its unit",
        ),
        (
            "line: 120 V 6000 Hz",
            "record.yml:3:13: line.frequency: found “6000 Hz”; expected 16 to 133 Hz; check the number and its unit",
        ),
        (
            "line: 120 V 0 Hz",
            "record.yml:3:13: line.frequency: found “0 Hz”; expected 16 to 133 Hz; write “DC” for direct current",
        ),
        (
            "line: 110 V DC 60 Hz",
            "record.yml:3:16: line.frequency: found “60 Hz” on direct current; "
            "expected no frequency: direct current has none",
        ),
        (
            "line: 6 V 60 Hz\npower: battery",
            "record.yml:3:11: line.frequency: found “60 Hz” in a set with “power: battery”; "
            "expected no frequency: direct current has none",
        ),
        (
            "line: 6 V, AC\npower: battery",
            "record.yml:3:12: line.current: found “AC” in a set with “power: battery”; "
            "expected its battery’s direct current",
        ),
    ],
)  # fmt: skip
def test_a_line_that_cannot_be_is_told_at_its_word(text: str, expected: str) -> None:
    assert told(text + "\n") == [expected]


def test_everything_wrong_with_a_line_is_told_at_once() -> None:
    found = told("line: -120 V 6000 Hz, low -130 V, high -110 V\n")
    assert [line.split(": ")[1] for line in found] == ["line.volts", "line.frequency", "line.low", "line.high"]


@pytest.mark.parametrize(
    "text",
    [
        "line: 24 V DC\n",
        "line: 260 V 133 Hz, low 234 V, high 286 V\n",
        "line: 110 V 16 Hz\npower: transformer\n",
        "line: 120 V, low 120 V, high 120 V\n",
        "line: 32 V DC\n",
        "line: 6.3 V DC\npower: vibrator\n",
        "line: 7.5 V DC, low 5.6 V, high 7.8 V\npower: battery\n",
        "line: 1.5 V\npower: battery\n",
        # The rule is for the set's line only: these two are steps on the way.
        "line: 120 V 60 Hz\npower-up:\n  - steps:\n      - line 40 V, 0.1 A\n",
        "line: 120 V 60 Hz\ntubes:\n  V1: 50C5\nreadings:\n  2026-03-01:\n    line: 40 V\n    V1: plate 30\n",
    ],
)
def test_a_line_that_can_be_is_not_asked_about(text: str) -> None:
    assert told(text) == []


@pytest.mark.parametrize(
    ("line", "hertz"), [("110 V 16 Hz", 16), ("120 V 60 Hz", 60), ("115 V 133 Hz", 133), ("110 V DC", None)]
)
def test_the_lines_frequency_is_known_from_16_to_133_hz(line: str, hertz: float | None) -> None:
    """Railways' 16 2/3 Hz and the 133 Hz of the first town supplies stand at the two ends (from memory)."""
    assert makers.circuit(f"line: {line}\npower: transformer\n").mains.hertz == hertz
