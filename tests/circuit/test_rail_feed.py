"""What feeds the rails of a network that is closed: the rectifier by its printed drop, or what is known of a rail."""

from __future__ import annotations

import math

import pytest

from benchleaf.circuit.closed.closed_network import Closed
from benchleaf.circuit.closed.closing import close
from benchleaf.circuit.closed.rail_feed import usual_volts
from makers import circuit, rows

AC_DC = "line: 117 V 60 Hz\npower: series string\nchassis: isolated\n"
TRANSFORMER = "line: 117 V 60 Hz\npower: transformer\n"
WINDING = "heaters:\n  windings:\n    HT: 250-0-250 V 70 mA, feeds V5, no load\n"
ON_THE_TAP = "heaters:\n  pilot lamp: across the tap of V5\n"
PARTS = "parts:\n  R1: 1 kohm, B+1 to B+2\n  C1: 16 uF 450 V electrolytic, B+1 to B-\n  R2: 150 ohm, V4 cathode to B-\n"
OUTPUT_AND = "tubes:\n  V4: 50L6GT, output\n  V5: {}, rectifier\n"


def closed(head: str, rectifier: str = "35Z5GT", read: str = "", parts: str = "", sheet: str = "") -> Closed:
    lists = f"  sheet:\n{rows(sheet, 4)}" * bool(sheet) + f"  as found:\n{rows(read, 4)}" * bool(read)
    text = head + OUTPUT_AND.format(rectifier) + PARTS + rows(parts) + f"readings:\n{lists}" * bool(lists)
    return close(circuit(text), "as found" if read else "", known_rails=True)


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("head", "rectifier", "paths", "crest", "ohms", "drop", "amps"),
    [
        (AC_DC, "35Z5GT", 1, 117, 10, 21, 0.2),
        (AC_DC, "25Z6", 1, 117, 10, 22, 2 * 0.15),
        (AC_DC + ON_THE_TAP, "35Z5GT", 1, 117, 10 + 20, 21, 0.2),
        (TRANSFORMER + WINDING, "5Y3GT", 2, 250, 150, 60, 0.125),
    ],
    ids=["35Z5GT", "both halves of a 25Z6 side by side", "a lamp on the tap of the heater", "5Y3GT on a winding"],
)
def test_a_rectifier_charges_by_its_printed_drop(
    head: str, rectifier: str, paths: int, crest: float, ohms: float, drop: float, amps: float
) -> None:
    """Drops as the table of tubes has them with their sources; wiring, winding and tap are common practice."""
    net = closed(head, rectifier).net
    assert net is not None
    (one,) = net.rectifiers
    assert (one.charging.paths, one.charging.ohms, one.charging.stacked) == (paths, ohms, 1)
    assert one.charging.peak_volts == pytest.approx(math.sqrt(2) * crest)
    assert one.charging.perveance == pytest.approx(amps / drop**1.5)


@pytest.mark.parametrize(
    ("part", "paths", "drop"),
    [("D1: silicon 1N4007, rectifier", 1, 1.0), ("D1: selenium 65 mA, rectifier", 1, 5.0)],
)
def test_a_dry_rectifier_drops_the_same_at_every_current(part: str, paths: int, drop: float) -> None:
    text = AC_DC + "tubes:\n  V4: 50L6GT, output\n" + PARTS + rows(part)
    net = close(circuit(text)).net
    assert net is not None
    (one,) = net.rectifiers
    assert (one.charging.paths, one.charging.perveance, one.charging.drop_volts) == (paths, None, drop)


@pytest.mark.parametrize(
    ("read", "sheet", "expected"),
    [
        ("B+1: 130", "", ("rail read", 130.0, 0.02)),
        ("B+1: 130", "B+1: 120", ("rail read", 130.0, 0.02)),
        ("B+2: 110", "B+1: 120", ("rail published", 120.0, 0.03)),
        ("B+1: 5.1", "", ("rail read", 5.1, 0.02)),
        ("B+1: 5", "B+1: 120", ("rail published", 120.0, 0.03)),
        ("B+1: 5", "", None),
        ("B+1: 4.9", "", None),
    ],
)
def test_a_rail_is_held_at_what_is_read_or_else_published_but_not_at_next_to_nothing(
    read: str, sheet: str, expected: tuple[str, float, float] | None
) -> None:
    found = closed(TRANSFORMER, "5Y3GT", read, sheet=sheet)
    held = {one.name: one for one in found.net.held} if found.net else {}
    told = [(t.how, t.value) for t in found.taken if t.place is not None and t.place.name() == "B+1"]
    if expected is None:
        assert ("rail", "B+1") in [(one.what, one.place.name() if one.place else "") for one in found.lacks]
        return
    assert expected[:2] in told
    assert (held["B+1 held"].volts, held["B+1 held"].deviation) == expected[1:]


@pytest.mark.parametrize(("read", "bias"), [("-1.9", False), ("-2", True), ("-12", True)])
def test_a_point_below_two_volts_negative_is_a_bias_and_stands(read: str, bias: bool) -> None:
    """A grid's own current makes a volt or so: common practice, no source."""
    parts = "R7: 470 kohm, V4 grid to BIAS\nR8: 100 kohm, BIAS to BIAS2"
    found = closed(TRANSFORMER + WINDING, "5Y3GT", f"B+1: 250\nBIAS: {read}", parts)
    assert found.net is not None
    assert (float(read) in [one.volts for one in found.net.held]) is bias


@pytest.mark.parametrize(
    ("tubes", "volts"),
    [
        ("tubes:\n  V1: 6SK7, IF amplifier\n", 250.0),
        ("tubes:\n  V1: 50L6GT, output\n", (110.0 + 200.0) / 2),
        ("", 250.0),
    ],
)
def test_a_set_of_which_nothing_is_known_has_the_middle_of_the_volts_its_output_tube_is_published_at(
    tubes: str, volts: float
) -> None:
    assert usual_volts(circuit(tubes)) == volts
