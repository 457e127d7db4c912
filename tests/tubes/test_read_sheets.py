"""Figures read from makers' sheets, and what was decided where sheet and table said different things."""

from __future__ import annotations

import pytest

from benchleaf.tubes import Tube, Typical, find


def tube(type_: str) -> Tube:
    found = find(type_)
    assert found is not None, type_
    return found


def plain(type_: str, plate_volts: float, section: str = "") -> Typical:
    """The first point of a type at these plate volts."""
    points = (p for p in tube(type_).typical if p.plate_volts == plate_volts and p.section == section)
    return next(points)


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("type_", "volts", "mu", "gm", "rp"),
    [
        ("12AX7", 250, 100, 0.0016, 62_500),  # Tung-Sol, plates 1931-1932, Dec 1947; Brimar VAD/513.5
        ("12AX7", 100, 100, 0.00125, 80_000),  # Tung-Sol, plates 1931-1932, Dec 1947
        ("12AU7", 250, 17, 0.0022, 7_700),  # Tung-Sol, plate 6593, Oct 1962; Brimar VAD/513.4
        ("12SR7", 250, 16, 0.0019, 8_500),  # General Electric 12SR7, description and rating
        ("EABC80", 250, 70, 0.0014, 50_000),  # Philips EABC80, sheets 1-4, 1954-1955
        ("EBF89", 250, 20, 0.0038, 1e6),  # Philips EBF89, sheets 1-3, Jan 1958; mu of the screen
        ("EF86", 250, 38, 0.0022, 2.5e6),  # Philips EF86, Jan 1970, as quoted; mu of the screen
    ],
)
def test_mu_gm_and_plate_resistance_as_printed(type_: str, volts: float, mu: float, gm: float, rp: float) -> None:
    point = plain(type_, volts)
    assert (point.mu, point.gm_siemens, point.rp_ohms) == (mu, gm, rp)
    assert not any(source.from_memory for source in point.sources)


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("type_", "pins"),
    [
        ("EBF80", {3: "k+s", 7: "d1", 8: "d2"}),  # Philips EBF80, sheet 1, Oct 1953
        ("EBF89", {3: "k+s", 7: "d1", 8: "d2"}),  # Philips EBF89, sheet 1, Jan 1958
        ("ECH81", {3: "k+g5+s"}),  # Philips ECH81, sheet 1, 1954
        ("EZ80", {1: "a2", 2: "ic", 6: "ic", 7: "a1", 8: "ic", 9: "ic"}),  # Mazda EZ80, Aug 1963
        ("KT66", {1: "ic", 6: "nc"}),  # GEC KT66, issue 4, Apr 1963, as quoted
        ("6X4", {1: "a2", 6: "a1", 7: "k"}),  # General Electric 6X4, description and rating
        ("33", {5: "f+g3"}),  # L. Lovell, tube table, 1989: grid 3 on the filament
        ("EM84", {1: "g", 2: "k", 6: "t", 7: "r", 9: "a"}),  # KiCad symbol library, Valve
    ],
)
def test_pins_that_a_sheet_put_right(type_: str, pins: dict[int, str]) -> None:
    for pin, electrode in pins.items():
        assert tube(type_).pins[pin] == electrode, (type_, pin)


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("type_", "usual", "higher", "condition"),
    [
        ("EBF80", 125, 300, "plate current under 2.5 mA"),  # Philips EBF80, sheet 4
        ("EBF89", 125, 300, "plate current under 4 mA"),  # Philips EBF89, sheet 3
        ("ECH81", 125, 300, "plate current under 1 mA"),  # Philips ECH81, sheet 5
    ],
)
def test_the_screen_limit_of_the_normal_point_comes_first(
    type_: str, usual: float, higher: float, condition: str
) -> None:
    limit = tube(type_).maxima.screen_volts
    assert limit is not None
    assert limit.value == usual < higher
    assert limit.condition != condition


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("type_", "volts", "figures"),
    [
        # A Japanese museum's page on the UX-45: 275 V, -56 V, 36 mA, 3.5, 1.67 kilohms, 2100 micromhos, 4.6 kilohms.
        ("45", (275, None, -56), (0.036, None, 3.5, 0.0021, 1670, 4600)),
        # A Japanese page on the 6GW8: 250 V, 250 V, -7 V, 36 mA, 5.5 mA, 21, 10 mS, 45 kilohms, 7 kilohms.
        ("ECL86", (250, 250, -7), (0.036, 0.0055, 21, 0.010, 45000, 7000)),
    ],
)
def test_a_single_output_tube_as_printed(
    type_: str, volts: tuple[float | None, ...], figures: tuple[float | None, ...]
) -> None:
    point = next(p for p in tube(type_).typical if p.use == "A1 single")
    assert (point.plate_volts, point.screen_volts, point.grid_volts) == volts
    printed = (point.plate_amps, point.screen_amps, point.mu, point.gm_siemens, point.rp_ohms, point.load_ohms)
    assert printed == pytest.approx(figures)


@pytest.mark.handbook
def test_two_sheets_of_one_value_are_both_named() -> None:
    """12AU7: 300 V, 2.75 W, 20 mA by Tung-Sol (Oct 1962), Brimar (VAD/513.4) and Philips (ECC82)."""
    limit = tube("12AU7").maxima.cathode_amps
    assert limit is not None
    assert limit.value == pytest.approx(0.020)
    assert {source.key for source in limit.sources} == {"tungsol-12au7", "brimar-12au7", "philips-ecc82"}


@pytest.mark.handbook
def test_ratings_of_later_versions_stay_with_them() -> None:
    """The 12AX7A (330 V), 12AU7A (22 mA), 6SN7GTB (450 V, 5 W) and 6AQ5A (275 V) are rated higher by later sheets."""
    for type_, volts in (("12AX7", 300), ("12AU7", 300), ("6SN7GT", 300), ("6AQ5", 250)):
        limit = tube(type_).maxima.plate_volts
        assert limit is not None
        assert limit.value == volts, type_


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("type_", "kept", "other"),
    [
        ("6W6GT", 1.2, "1.25 A"),  # Wikipedia 25L6: 1.2 A; Lovell 1.25 A
        ("41", 0.4, "0.41 A"),  # the 6K6GT, the same tube on an octal base, takes 0.4 A (Lovell)
        ("42", 0.7, "0.65 A"),  # the 6F6, the same tube on an octal base, takes 0.7 A (Lovell)
        ("ECH21", 0.33, "0.45 A"),  # the UCH21 takes 20 V 0.1 A
        ("57", 1.0, "0.8 A"),  # Lovell; Japan's later 57A takes 0.8 A
        ("ECL86", 0.66, "0.7 A"),  # Oktoda
    ],
)
def test_where_sources_differ_the_other_figure_is_said(type_: str, kept: float, other: str) -> None:
    assert tube(type_).heater.amps == kept
    assert other in tube(type_).disagreement
