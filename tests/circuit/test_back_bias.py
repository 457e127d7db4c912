"""Back bias: B- is found under whatever name it has, and what lies between it and the chassis is in the supply."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.supply.findings import SupplyFindings

SET = """line: 117 V 60 Hz
power: transformer
tubes:
  V7: 6F6
  V8: 6F6
  V10: 5Z4
heaters:
  windings:
    HT: 350-0-350 V, feeds V10, measured 352-0-351
parts:
  C1: 22 uF 500 V electrolytic, between B+1 and chassis
  C2: 22 uF 500 V electrolytic, between B+2 and chassis
  C3: 10 uF 63 V electrolytic, between chassis and {at}
  L1: job field coil, measured 815 ohm, between B+1 and B+2
  R1: 30+160 ohm 10 W, taps chassis to bias 1 to {at}
  R7: 470 kohm, between V7 grid and {at}
  R8: 470 kohm, between V8 grid and {at}
  T3: job output transformer, between V7 plate and B+2
  T4: job output transformer, between V8 plate and B+2
readings:
  2025-03-08 after:
    line: 117 V
    to: chassis
    V7: plate 264, screen 272, grid -20.4
    V8: plate 263, screen 272
    B+1: 364
    B+2: 272
    bias 1: -3.2
    {at}: -20.4
"""


def _set(at: str) -> str:
    return SET.replace("{at}", at)


def _supply(text: str) -> SupplyFindings:
    found = makers.findings("supply", text)
    assert isinstance(found, SupplyFindings)
    assert found.nominal
    return found


@pytest.mark.parametrize(
    "at",
    [
        *("bias", "C-", "the far end", "HT centre tap", "center tap", "HT CT", "CT of the HT winding"),
        *("HT middle", "HT mid", "HT midden", "middle of the HT winding", "HT bottom", "HT return 2"),
    ],
)
def test_the_lowest_point_on_the_return_is_b_minus_under_any_name(at: str) -> None:
    circuit = makers.circuit(_set(at))
    assert circuit.network.same(circuit.places.read(at), circuit.places.read("B-"))
    assert not circuit.network.same(circuit.places.read("bias 1"), circuit.places.read("B-"))
    assert not circuit.grounding.one_point


def test_it_is_worked_out_as_where_b_minus_is_written() -> None:
    """By the divider 30 of 190 ohm stand at the tap, and each grid behind its leak at B-."""
    named, written = (makers.findings("readings", _set(at)).worked_out for at in ("bias", "B-"))
    volts = {one.place: one.volts for one in named}
    assert volts == {one.place: one.volts for one in written}
    assert volts["bias 1"] == pytest.approx(volts["B-"] * 30 / 190, rel=0.01)
    assert volts["V7 grid"] == volts["V8 grid"] == volts["B-"] < -15


def test_the_supply_has_what_lies_in_its_return() -> None:
    """355 V and 387 mA, as a sum in steps of 2 µs by another hand has them to a per cent: 357 V, 387 mA."""
    found = _supply(_set("bias"))
    assert found.nominal.rails[0].volts == pytest.approx(357, rel=0.01)
    assert found.nominal.peak_amps == pytest.approx(0.387, rel=0.02)
    back = found.back_bias
    assert back
    assert (back.name, back.parts, round(back.ohms)) == ("bias", ("R1 a", "R1 b"), 190)
    assert (back.computed_volts, back.read_volts) == (21.4, 20.4)
    page = makers.plain(makers.page("supply", _set("bias"), found)).replace("\u202f", " ")
    assert "bias, which is B- here, lies" in page


def test_a_first_capacitor_on_b_minus_is_charged_past_it() -> None:
    """Its rail then lies below what is across it by the drop of the whole current, 21.4 V; to B- it stands as high."""
    inside = _supply(_set("B-").replace("between B+1 and chassis", "between B+1 and B-"))
    straight = _supply(
        _set("B-").replace("30+160 ohm 10 W, taps chassis to bias 1 to B-", "1 ohm, between B- and chassis")
    )
    assert inside.back_bias
    assert inside.back_bias.first_inside
    assert inside.nominal.rails[0].volts == pytest.approx(straight.nominal.rails[0].volts - 21.4, abs=1.0)
    read_to_it = _set("B-").replace("between B+1 and chassis", "between B+1 and B-").replace("to: chassis", "to: B-")
    read_to_it = (
        read_to_it.replace("B+1: 364", "B+1: 384").replace("B+2: 272", "B+2: 292").replace("    B-: -20.4\n", "")
    )
    assert _supply(read_to_it).computed_against_read == pytest.approx(inside.computed_against_read or 0, abs=0.02)


@pytest.mark.parametrize(
    "other",
    [
        "R1: 33 kohm, between chassis and bias",
        "R1: 330 ohm, between V7 cathode and bias",
        "R1: 190 ohm, between chassis and tone",
    ],
)
def test_a_point_that_carries_no_supply_current_is_not_it(other: str) -> None:
    """-20.4 V over 33 kohm are 0.6 mA: a bias supply's bleeder; a cathode, and a point at no volts, are none either."""
    text = (
        _set("bias")
        .replace("R1: 30+160 ohm 10 W, taps chassis to bias 1 to bias", other)
        .replace("    bias 1: -3.2\n", "")
    )
    assert makers.circuit(text).negative_return is None


def test_a_set_on_the_line_has_its_b_minus_on_the_line() -> None:
    text = _set("bias").replace("power: transformer", "power: series string")
    assert makers.circuit(text).negative_return is None


def test_a_bias_that_was_never_read_is_known_by_its_name_and_ohms() -> None:
    text = _set("bias").replace("    bias 1: -3.2\n    bias: -20.4\n", "")
    circuit = makers.circuit(text)
    assert circuit.negative_return == circuit.places.read("bias")


@pytest.mark.parametrize("at", ["HT middle", "HT mid", "HT neg", "HT midden", "HT bottom"])
def test_a_point_read_below_the_chassis_is_no_positive_rail_whatever_its_name_begins_with(at: str) -> None:
    """An electrolytic with its positive end at the chassis is the right way round there, and sees the bias alone."""
    text = _set(at).replace(f"C3: 10 uF 63 V electrolytic, between chassis and {at}",
                            f"C3: 47 uF 25 V electrolytic, between {at} and chassis, positive chassis")  # fmt: skip
    found = makers.findings("parts", text)
    assert not [str(line) for line in makers.standouts("parts", text) if "C3" in str(line)]
    assert "C3" in str(found)
    assert makers.circuit(text).places.read(at).kind != "B+"


def test_a_point_of_the_same_name_that_is_read_above_the_chassis_stays_one() -> None:
    text = "readings:\n  a:\n    HT bottom: -3\n  b:\n    HT bottom: 12\n"
    assert makers.circuit(text).places.read("HT bottom").kind == "B+"
    assert makers.circuit(text.replace("12", "-4")).places.read("HT bottom").kind == ""
    to = text.replace("12", "-4\n    to: B+1").replace("-3", "-3\n    to: B+1")
    assert makers.circuit(to).places.read("HT bottom").kind == "B+"


@pytest.mark.parametrize("at", ["HT middle", "HT mid", "HT bottom", "B+ foot"])
def test_a_part_lies_at_the_whole_name_of_a_point_and_not_at_its_first_word(at: str) -> None:
    """`keep, 0.64 megohm, V7 grid to HT middle` lay at B+, with a note “middle”."""
    text = _set(at).replace(f"R7: 470 kohm, between V7 grid and {at}", f"R7: keep, 470 kohm, V7 grid to {at}")
    assert [*map(str, makers.record(text).parts["R7"].between or ())] == ["V7 grid", at]  # type: ignore[index]


@pytest.mark.parametrize(
    ("ohms", "read", "found"),
    [
        (1000, "    bias: -5\n", True),
        (1000, "    bias: -4.9\n", False),
        (400, "    bias: -2\n", True),
        (380, "    bias: -1.95\n", False),
        (3000, "", True),
        (3010, "", False),
    ],
)
def test_how_much_flows_in_a_return_at_least(ohms: int, read: str, found: bool) -> None:
    """5 mA and 2 V, where it was read; no more than 3 kilohm, where it was not (common practice, no source)."""
    text = (
        _set("bias")
        .replace("R1: 30+160 ohm 10 W, taps chassis to bias 1 to bias", f"R1: {ohms} ohm, between chassis and bias")
        .replace("    bias 1: -3.2\n    bias: -20.4\n", read)
    )
    circuit = makers.circuit(text)
    assert circuit.negative_return == (circuit.places.read("bias") if found else None)
