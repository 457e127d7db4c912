"""Which frequencies are those of FM, which are near the intermediate one, and which a band has."""

from __future__ import annotations

import pytest

from benchleaf.circuit.frequencies import intermediate_of, is_fm_intermediate, is_fm_signal, near_intermediate
from makers import record

BOTH = "bands:\n  AM: 520 to 1620 kHz\n  FM: 87.5 to 108 MHz\n"


@pytest.mark.parametrize(
    ("hertz", "fm"), [(26.1e6, False), (39.9e6, False), (40e6, True), (42e6, True), (65.8e6, True), (87.5e6, True)]
)
def test_bands_from_40_megahertz_are_of_fm(hertz: float, fm: bool) -> None:
    """Broadcasting with AM ends at 26.1 MHz; FM began at 42 MHz (ITU Radio Regulations; the first US band)."""
    assert is_fm_signal(hertz) is fm


@pytest.mark.parametrize(
    ("hertz", "fm"), [(110e3, False), (455e3, False), (1.6e6, False), (2e6, False), (4.3e6, True), (10.7e6, True)]
)
def test_intermediate_frequencies_above_2_megahertz_are_of_fm(hertz: float, fm: bool) -> None:
    assert is_fm_intermediate(hertz) is fm


@pytest.mark.parametrize(
    ("hertz", "near"),
    [(None, None), (413e3, None), (414e3, 455e3), (455e3, 455e3), (500e3, 455e3), (501e3, None), (10.7e6, 10.7e6)],
)
def test_a_step_within_a_tenth_of_the_if_is_one_of_it(hertz: float | None, near: float | None) -> None:
    assert near_intermediate(hertz, record("IF: 455 kHz\nsecond IF: 10.7 MHz\n")) == near


@pytest.mark.parametrize(
    ("written", "am", "fm"),
    [
        ("IF: 455 kHz\nsecond IF: 10.7 MHz\n", 455e3, 10.7e6),
        ("IF: 10.7 MHz\nsecond IF: 455 kHz\n", 455e3, 10.7e6),
        ("IF: 455 kHz\n", 455e3, None),
        ("IF: 10.7 MHz\n", None, 10.7e6),
        ("", None, None),
    ],
)
def test_of_a_set_for_both_one_intermediate_frequency_is_that_of_its_own_kind(
    written: str, am: float | None, fm: float | None
) -> None:
    of = record(written + BOTH)
    assert {name: intermediate_of(band, of) for name, band in of.bands.items()} == {"AM": am, "FM": fm}


def test_of_a_set_for_one_kind_the_only_intermediate_frequency_is_its_own() -> None:
    of = record("IF: 10.7 MHz\nbands:\n  MW: 520 to 1620 kHz\n")
    assert intermediate_of(of.bands["MW"], of) == 10.7e6
