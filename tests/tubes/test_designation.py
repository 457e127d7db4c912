"""The table's heaters against what the designations say (a cross-check with its exceptions listed)."""

from __future__ import annotations

import pytest

from benchleaf.tubes import KNOWN_EXCEPTIONS, all_types, disagreement, find, heater_rule
from benchleaf.tubes.designation import numbered_base


def heaters() -> list[tuple[str, float, float]]:
    found = [(name, find(name)) for name in all_types()]
    return [(name, tube.heater.volts, tube.heater.amps) for name, tube in found if tube is not None]


def test_every_row_agrees_or_is_a_listed_exception_and_no_exception_is_stale() -> None:
    differ = {name for name, volts, amps in heaters() if disagreement(name, volts, amps)}
    assert differ == set(KNOWN_EXCEPTIONS)
    assert all(KNOWN_EXCEPTIONS.values())


def test_the_rules_cover_most_of_the_table() -> None:
    covered = [name for name, _, _ in heaters() if heater_rule(name)]
    assert len(covered) >= 350


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("type_", "volts"),
    [
        ("1R5", (0.0, 1.6)),
        ("5Y3GT", (4.6, 5.6)),
        ("6V6GT", (5.6, 6.6)),
        ("12BE6", (12.6, 12.6)),
        ("7C5", (6.3, 6.3)),
        ("14A7", (12.6, 12.6)),
    ],
)
def test_first_figures_of_american_types(type_: str, volts: tuple[float, float]) -> None:
    """Radiotron Designer's Handbook, 4th ed., American type numbers."""
    rule = heater_rule(type_)
    assert rule is not None
    assert rule.volts == volts


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("type_", "volts", "amps"),
    [
        ("UCH42", None, 0.1),
        ("PCL82", None, 0.3),
        ("CBL1", None, 0.2),
        ("VCL11", None, 0.05),
        ("HBC90", None, 0.15),
        ("EL84", 6.3, None),
        ("AL4", 4.0, None),
        ("KF3", 2.0, None),
    ],
)
def test_first_letter_of_european_types(type_: str, volts: float | None, amps: float | None) -> None:
    """daktologistindustries.com, Pro-Electron/Mullard code."""
    rule = heater_rule(type_)
    assert rule is not None
    assert rule.amps == amps
    assert (rule.volts is None) == (volts is None)
    assert volts is None or rule.volts == (volts, volts)


@pytest.mark.parametrize("type_", ["80", "43", "01A", "1-V", "KT66", "X65", "U31", "W61"])
def test_old_numbers_and_house_numbers_say_nothing_of_the_heater(type_: str) -> None:
    assert heater_rule(type_) is None
    assert disagreement(type_, 99.0, 9.0) is None


def test_a_wrong_figure_is_said_in_one_sentence() -> None:
    assert disagreement("UL41", 45.0, 0.15) == "UL41: by its designation 100 mA, here 45 V 0.15 A"
    assert disagreement("12BA6", 6.3, 0.3) == "12BA6: by its designation 12.6 V, here 6.3 V 0.3 A"
    assert disagreement("6BA6", 12.6, 0.15) == "6BA6: by its designation 5.6 to 6.6 V, here 12.6 V 0.15 A"


@pytest.mark.parametrize(
    ("type_", "rated_in"),
    [
        ("UL41", "current"),
        ("PCL82", "current"),
        ("CBL1", "current"),
        ("EL84", "volts"),
        ("12BE6", "volts"),
        ("DH63", "volts"),
        ("VY2", "current"),
    ],
)
def test_series_types_are_rated_in_current(type_: str, rated_in: str) -> None:
    tube = find(type_)
    assert tube is not None
    assert tube.heater.rated_in == rated_in


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("type_", "base"),
    [
        ("ECH21", "loctal German key (B8G)"),
        ("EBC33", "octal"),
        ("UCH42", "Rimlock (B8A)"),
        ("ECC83", "noval (B9A)"),
        ("DK91", "miniature 7-pin (B7G)"),
        ("EM4", None),
        ("EF183", None),
        ("TH41", None),
        ("KT66", None),
    ],
)
def test_first_figure_of_european_types(type_: str, base: str | None) -> None:
    """daktologistindustries.com, Pro-Electron/Mullard code; heinffm.de, Buchstabencodierung."""
    assert numbered_base(type_) == base


def test_every_base_agrees_with_its_number() -> None:
    checked = 0
    for name in all_types():
        tube = find(name)
        assert tube is not None
        for one in (name, *(other.name for other in tube.equivalents if other.relation == "equivalent")):
            said = numbered_base(one)
            checked += said is not None
            assert said in (None, tube.base), (name, one, said, tube.base)
    assert checked > 100


@pytest.mark.handbook
@pytest.mark.parametrize("type_", ["E424N", "E446", "E443H"])
def test_old_philips_types_have_their_volts_and_a_band_of_currents(type_: str) -> None:
    """valvecollector.uk, old Philips code: E is 0.70 to 1.25 A, the figure after it the volts."""
    tube, rule = find(type_), heater_rule(type_)
    assert tube is not None
    assert rule is not None
    assert rule.volts == (4.0, 4.0)
    assert tube.heater.volts == 4.0
    assert 0.70 <= tube.heater.amps <= 1.25


@pytest.mark.parametrize("type_", ["10C1", "10F9", "10LD11", "10P13"])
def test_british_mazda_types_of_the_hundred_milliampere_series(type_: str) -> None:
    """10 stands for 100 mA (from memory): without the rule a 10C1 would be read as 10 V."""
    tube = find(type_)
    assert tube is not None
    assert tube.heater.amps == 0.1
    assert tube.heater.rated_in == "current"
    assert disagreement(type_, tube.heater.volts, 0.15) is not None
