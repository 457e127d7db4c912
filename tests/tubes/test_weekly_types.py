"""Types a Continental or British club meets weekly, and what was read of some of them."""

from __future__ import annotations

import pytest

from benchleaf.tubes import Tube, find, from_memory, grade

WEEKLY = (
    "EM4 EM11 ECH4 EF6 EF11 EF12 EF13 EF22 EF40 EF183 EL12 EBF2 ECL11 EFM11 AZ12 ABL1 AB2 ACH1 AL5 AM2 UBL3 UY1 UM4 "
    "UM11 UL11 CF7 CBC1 CB2 CL4 CL2 CBL6 CCH1 AD1 KBC1 KC1 KF4 KL1 DCH11 DAF11 DF11 DL11 DK40 REN904 RES164 RENS1264 "
    "RGN1064 E424N E446 E443H 506 1561 1805 10C1 10F9 10LD11 10P13 U404 VP41 TH41 HL41DD Pen45 UU6 X61M W61M GZ32 "
    "HCH81 6U8 6BL8 6CB6 19T8 5879 6550 KT88"
)


def tube(type_: str) -> Tube:
    found = find(type_)
    assert found is not None, type_
    return found


@pytest.mark.parametrize("type_", WEEKLY.split())
def test_is_in_the_table_by_its_own_name(type_: str) -> None:
    found = tube(type_)
    assert (found.type, found.asked_as) == (type_, "type")
    assert found.heater.watts > 0
    assert found.sections


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("type_", "volts", "amps", "source"),
    [
        ("CF7", 13, 0.2, "roschy-1935"),  # radio-roehren-etc.de, side-contact types part I: 13 V 0.2 A
        ("CBC1", 13, 0.2, "roschy-1935"),
        ("ECH4", 6.3, 0.35, "roschy-red"),  # radio-roehren-etc.de, the red series, part III
        ("EF6", 6.3, 0.2, "roschy-red-1"),  # J. Roschy, The Philips red valves series, part I
        ("EF11", 6.3, 0.2, "bb-roehrentechnik"),  # bb-roehrentechnik.de: 0.2 A in all low-signal steel types
        ("EF12", 6.3, 0.2, "bb-roehrentechnik"),
        ("AZ12", 4, 2.2, "oktoda"),  # Oktoda, AZ4: the AZ12 is electrically the same
        ("5879", 6.3, 0.15, "sheet-5879"),  # a maker's data sheet, Mar 1961, as quoted
        ("6550", 6.3, 1.6, "tester-extracts"),  # extracts of makers' sheets
        ("KT88", 6.3, 1.6, "kt88s"),  # data sheet of the KT88S
    ],
)
def test_heaters_that_were_read(type_: str, volts: float, amps: float, source: str) -> None:
    heater = tube(type_).heater
    assert (heater.volts, heater.amps) == (volts, amps)
    assert source in {one.key for one in heater.sources}
    assert grade.heater_volts(tube(type_)).grade == "read"


@pytest.mark.handbook
def test_the_uy1n_sits_in_an_octal_socket() -> None:
    """J. Llacer, page on a set of 1941 that was made with a UY21 or, on an octal socket, a UY1N."""
    assert tube("UY1N").base == "octal"


@pytest.mark.parametrize("type_", ["RES164", "REN904", "U404", "AL5", "1561"])
def test_what_no_sheet_was_found_of_says_that_it_is_from_memory(type_: str) -> None:
    assert from_memory(tube(type_).heater.sources)


def test_magic_eye_with_a_pentode_has_both() -> None:
    assert [section.name for section in tube("EFM11").sections] == ["pentode", "indicator"]
