"""The gang's tracking as a page and a record say it, band by band."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

import makers
from benchleaf.report.findings import as_json
from benchleaf.words import BRITISH
from markup import words_of

MW = "IF: 455 kHz\nbands:\n  MW: 540-1620 kHz\n"
GANG = MW + "gang: 12-365 pF\n"
KEYS = [
    "band", "points_hertz", "padder_farads", "oscillator_trimmer_farads", "oscillator_henries", "signal_trimmer_farads",
    "signal_henries", "greatest_error_hertz", "error_hertz", "image_hertz",
]  # fmt: skip


def tracking(text: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = as_json(makers.found("alignment", text))["tracking"]
    return found


def test_a_band_and_a_gang_give_every_figure_that_other_programs_read() -> None:
    """The prototype: 598, 1019, 1532 kHz, 4.8 kHz, 399 pF; the image by hand: 540 and 1620 kHz + 910 kHz."""
    (found,) = tracking(GANG)
    assert list(found) == KEYS
    assert found["band"] == "MW"
    assert found["points_hertz"] == pytest.approx([598e3, 1019e3, 1532e3], abs=1e3)
    assert found["padder_farads"] == pytest.approx(399e-12, rel=3e-3)
    assert found["greatest_error_hertz"] == pytest.approx(4.8e3, rel=0.02)
    assert found["image_hertz"] == [1450e3, 2530e3]
    dial = [hertz for hertz, _ in found["error_hertz"]]
    assert (dial[0], dial[-1]) == (540e3, 1620e3)
    assert dial == sorted(dial)
    assert max(abs(error) for _, error in found["error_hertz"]) == pytest.approx(
        found["greatest_error_hertz"], rel=0.01
    )
    numbers = [float(text) for text in re.findall(r"-?\d[\d.e+-]*", json.dumps(found))]
    assert len(numbers) > 200
    assert numbers == [float(f"{number:.9g}") for number in numbers]


@pytest.mark.parametrize(
    ("gang", "told"),
    [
        ("", ""),
        ("gang: slug tuned\n", "there is no gang"),
        ("gang: 12-365 pF, oscillator section cut\n", "there is no padder"),
        ("gang: oscillator section cut\n", "there is no padder"),
        ("gang: 60-365 pF\n", "cannot cover this band"),
    ],
)
def test_what_is_not_known_is_null_and_said(gang: str, told: str) -> None:
    (found,) = tracking(MW + gang)
    assert list(found) == KEYS
    assert {key for key in KEYS if found[key] is not None} == {"band", "image_hertz"}
    shown = words_of(makers.page("alignment", MW + gang))
    assert told in shown
    assert ("Tracking of MW" in shown) is bool(gang)
    assert "pF" not in shown


def test_a_gang_that_cannot_cover_its_band_stands_out() -> None:
    assert makers.said("alignment", MW + "gang: 60-365 pF\n") == [
        "MW: this gang cannot cover this band: its two ends are too near to each other, or the band is too wide."
    ]
    assert makers.said("alignment", GANG) == []


def test_nothing_follows_without_an_intermediate_frequency_or_a_band() -> None:
    assert makers.findings("alignment", "gang: 12-365 pF\nbands:\n  MW: 540-1620 kHz\n") is None
    assert makers.findings("alignment", "gang: 12-365 pF\nIF: 455 kHz\n") is None


def test_each_band_has_the_intermediate_frequency_of_its_kind() -> None:
    """AM sets 110 to 480 kHz, FM sets 10.7 MHz: the image of 100 MHz is then 121.4 MHz, that of 1 MHz 1.936 MHz."""
    bands = "bands:\n  FM: 100-104 MHz\n  MW: 1000-1500 kHz\n"
    for both in ("IF: 468 kHz, 10.7 MHz\n", "IF: 10.7 MHz\nsecond IF: 468 kHz\n"):
        assert [band["image_hertz"][0] for band in tracking(both + bands)] == [121.4e6, 1936e3]
    assert [band["image_hertz"] for band in tracking("IF: 468 kHz\n" + bands)] == [None, [1936e3, 2436e3]]
    gang = tracking("IF: 468 kHz, 10.7 MHz\ngang: 12-365 pF\n" + bands)
    assert [band["padder_farads"] is None for band in gang] == [True, False]


@pytest.mark.parametrize("band", ["1-2 Hz", "540.00-540.01 kHz", "1-1 MHz", "39-900000 MHz"])
def test_a_band_that_no_radio_has_breaks_nothing(band: str) -> None:
    text = f"IF: 455 kHz\nbands:\n  X: {band}\ngang: 12-365 pF\n"
    assert tracking(text)[0]["padder_farads"] is None
    assert "Tracking of X" in words_of(makers.page("alignment", text))


@pytest.mark.parametrize(
    ("parts", "told"),
    [
        ("  C5: keep, 430 pF mica, job padder\n", "C5 430 pF, +8 %, within"),
        ("  C5: keep, 430 pF mica, measured 300 pF, job padding capacitor\n", "C5 300 pF, −25 %, outside"),
        ("  C5: was 300 pF mica, now 390 pF mica, fitted 2026-03-01, job padder\n", "C5 390 pF, −2 %, within"),
        ("  C5: keep, 430 pF mica, job trimmer\n", "none is listed"),
        ("", "none is listed"),
    ],
)
def test_the_padder_of_the_parts_is_held_against_the_one_worked_out(parts: str, told: str) -> None:
    text = GANG + (f"parts:\n{parts}" if parts else "")
    assert told in makers.plain(words_of(makers.page("alignment", text)))
    off = "outside" in told
    assert makers.said("alignment", text) == (
        ["C5, the padder of MW, has 300 pF; gang, band and IF ask for about 399 pF."] if off else []
    )


def test_a_padder_belongs_to_the_band_that_its_job_names() -> None:
    bands = GANG.replace("gang:", "  LW: 150-285 kHz\ngang:")
    named = bands + "parts:\n  C5: keep, 182 pF, job LW padder\n  C6: keep, 399 pF, job MW padder\n"
    assert [one.padder.name for one in makers.found("alignment", named).tracking] == ["C6", "C5"]
    unnamed = bands + "parts:\n  C5: keep, 182 pF, job padder\n"
    assert [one.padder for one in makers.found("alignment", unnamed).tracking] == [None, None]


def test_the_page_has_the_trades_points_the_cost_of_the_error_and_its_curve() -> None:
    """By hand: half width at Q 100 is 5 kHz for 1 MHz, 2.7 for 540 kHz; 1 + (4.8/2.7)^2 = 4.2, which is 6.2 dB."""
    shown = makers.plain(words_of(makers.page("alignment", GANG, drawn=True)))
    assert "usually 600 kHz and 1500 kHz" in shown
    assert "circuit at the antenna is 2.7 kHz (Q 100 is taken): it loses 6.2 dB" in shown
    assert "359 pF to 439 pF" in shown
    assert list(makers.figures("alignment", GANG)) == ["alignment-error-mw"]
    assert makers.figures("alignment", MW) == {}


def test_image_and_whistles_are_told_in_one_sentence() -> None:
    """By hand: 1620 - 910 = 710 kHz; 2 and 3 times 455 kHz are 910 and 1365."""
    assert (
        "MW: the image of a station lies 910 kHz above it, from 1450 kHz to 2530 kHz, which is in the band itself up "
        "to 710 kHz on the dial; a station at 910 kHz and 1365 kHz may whistle."
    ) in makers.plain(words_of(makers.page("alignment", MW)))


def test_a_british_page_speaks_of_aerials() -> None:
    shown = words_of(makers.page("alignment", makers.bench(GANG, words=BRITISH)))
    assert "circuit at the aerial" in shown
    assert "antenna" not in shown.casefold()


def test_the_record_has_one_sentence_of_it_within_the_days_and_the_way_to_the_working() -> None:
    days = GANG + "log:\n  - 2026-03-01, 2 h, aligned\n"
    made = makers.set_page(days)
    assert "in step at 598" in makers.plain(words_of(made.html))
    assert "Dial, image and tracking" in made.html
    assert "Tracking of MW" not in made.html
    assert any("Tracking of MW" in page.html for page in made.workings)


def test_without_a_gang_the_dial_stands_on_the_page_of_the_days() -> None:
    without = makers.set_page(MW + "log:\n  - 2026-03-01, 2 h, aligned\n")
    assert "image of a station" not in without.html
    assert any("Usually aligned at" in page.html for page in without.workings)


def test_the_documentations_example_gives_the_documentations_figures() -> None:
    page = (Path(__file__).parents[2] / "site_src" / "writing" / "tracking.md").read_text(encoding="utf-8")
    (found,) = tracking(page.split("```yaml\n")[1].split("```")[0])
    low, middle, high = (round(hertz / 1e3) for hertz in found["points_hertz"])
    assert f"| align at | {low}, {middle} and {high} kHz;" in page
    assert f"| padder | {found['padder_farads'] * 1e12:.0f} pF," in page
    assert (
        f"a coil of {found['oscillator_henries'] * 1e6:.0f} µH, and {found['oscillator_trimmer_farads'] * 1e12:.0f} pF"
        in page
    )
    assert (
        f"a coil of {found['signal_henries'] * 1e6:.0f} µH, and {found['signal_trimmer_farads'] * 1e12:.0f} pF" in page
    )
    assert f"| greatest error | {found['greatest_error_hertz'] / 1e3:.1f} kHz |" in page


def test_a_band_without_a_habit_has_its_points_to_three_digits() -> None:
    """The middle and 0.866 of half the band to either side: 11.95 -+ 0.866 x 6.05 MHz (Chebyshev's three points)."""
    shown = makers.plain(words_of(makers.page("alignment", "IF: 455 kHz\nbands:\n  SW: 5.9-18 MHz\n")))
    assert "near 6.71 MHz and 17.2 MHz" in shown
