"""A second point that lies on the tube law through the first bears it out; one remembered amiss lies off it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from benchleaf.electrics.tube_law import LawArrays, TubeLaw, converter, currents, plate_amps, through_point
from benchleaf.tubes import Tube, Typical, find, from_memory, grade
from benchleaf.tubes.second_points import LAW_TOLERANCE, as_published, law_amps


def tube(type_: str) -> Tube:
    found = find(type_)
    assert found is not None, type_
    return found


def points(type_: str, *, use: str = "") -> list[Typical]:
    return [p for p in tube(type_).typical if p.plate_volts and p.use == use and not p.section]


LAWS = [
    through_point(as_published(points("77")[0])),
    through_point(as_published(points("43")[0])),
    through_point(as_published(points("27")[0])),
    converter(0.0035, 0.0027, 100, 250),
]


@pytest.mark.parametrize("volts", [(250.0, 100.0, -3.0), (60.0, 90.0, -20.0), (3.0, 45.0, 0.0), (400.0, 135.0, 0.4)])
@pytest.mark.parametrize("law", LAWS)
def test_the_current_of_one_law_is_what_many_at_once_have(law: TubeLaw, volts: tuple[float, float, float]) -> None:
    many = LawArrays(*(np.array([[float(getattr(law, name))]]) for name in LawArrays._fields))
    expected = currents(many, np.array([[volts]])).amps[0, 0, 0]
    assert plate_amps(law, *volts) == pytest.approx(expected, rel=1e-9, abs=1e-15)


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("type_", "volts", "milliamperes"),
    [
        ("6V6GT", 180, 29.0),  # Tung-Sol 1941: 180 V, 180 V, -8.5 V, by the point at 250 V
        ("EBF89", 200, 11.0),  # Philips, Jan 1958: 200 V, 100 V, -1.5 V
    ],
)
def test_the_law_leads_to_second_points_that_were_read(type_: str, volts: float, milliamperes: float) -> None:
    read = [p for p in tube(type_).typical if not from_memory(p.sources) and p.screen_volts and p.grid_volts]
    one = next(p for p in read if p.plate_volts == 250 and p.gm_siemens)
    at = next(p for p in read if (p.plate_volts, p.plate_amps) == (volts, pytest.approx(milliamperes / 1e3)))
    assert (law_amps(tube(type_), one, at) or 0) * 1e3 == pytest.approx(milliamperes, rel=LAW_TOLERANCE)


@pytest.mark.parametrize(
    ("type_", "use", "words"),
    [
        ("77", "", "its point at 100 V, 60 V, -1.5 V lies with it on the three-halves law"),
        ("43", "", "its point at 135 V, 135 V, -20 V lies with it on the three-halves law"),
        ("3V4", "", "its point at 85 V, 85 V, -5 V lies with it on the three-halves law"),
        ("6A8", "", "its point at 100 V, 50 V, -1.5 V lies with it on the three-halves law"),
        ("AF3", "", "the CF3's point at 200 V, 100 V, -3 V lies with it on the three-halves law"),
    ],
)
def test_a_point_from_memory_is_borne_out_by_a_second_one(type_: str, use: str, words: str) -> None:
    first = points(type_, use=use)[0]
    assert from_memory(first.sources)
    assert grade.point(tube(type_), first).borne_out_by == (words,)
    assert grade.point(tube(type_), first, "plate_amps").grade == "cross-checked"
    assert grade.point(tube(type_), first, "screen_amps") == grade.REMEMBERED


@pytest.mark.parametrize(("type_", "times"), [("77", 1.5), ("43", 0.6), ("6A8", 1.5), ("3Q5GT", 0.7)])
def test_a_current_remembered_amiss_lies_off_the_law(type_: str, times: float) -> None:
    first, second = points(type_)[:2]
    amiss = replace(first, plate_amps=(first.plate_amps or 0) * times)
    assert grade.point(tube(type_), amiss) == grade.REMEMBERED
    assert abs((law_amps(tube(type_), second, amiss) or 0) / (amiss.plate_amps or 1) - 1) > LAW_TOLERANCE


def test_nothing_follows_from_the_same_volts_nor_from_another_use() -> None:
    """47: one point. 3Q5GT: with the filament's halves in series it is another tube, as far as its current goes."""
    assert grade.point(tube("47"), points("47")[0]) == grade.REMEMBERED
    series = points("3Q5GT", use="filament halves in series")[0]
    assert grade.point(tube("3Q5GT"), series) == grade.REMEMBERED


def test_no_law_follows_from_a_point_without_slope() -> None:
    """The bias of a point alone is a share of cut-off, a rule of thumb: it bears nothing out."""
    first, second = points("77")[:2]
    assert law_amps(tube("77"), replace(first, gm_siemens=None, mu=None), second) is None
    assert law_amps(tube("77"), first, replace(second, grid_volts=None)) is None
    assert law_amps(tube("6A8"), replace(points("6A8")[0], screen_amps=None), points("6A8")[1]) is None


def test_a_resistor_that_makes_the_bias_bears_out_current_and_bias() -> None:
    """VCL11: 330 ohms and 12 mA in the set it was made for (radio-roehren-etc.de, on its substitutes): with 1.2 mA of
    the screen 4.36 V, beside the triode's share."""
    known = tube("VCL11")
    point = next(p for p in known.typical if p.plate_volts)
    words = ("another source has the same current, and a cathode resistor that makes the bias",)
    assert grade.point(known, point).borne_out_by == words
    assert grade.point(known, replace(point, grid_volts=-6.0)) == grade.REMEMBERED


@pytest.mark.parametrize(
    ("type_", "words"), [("EBL1", "the AL4"), ("EBL21", "the AL4"), ("UCH21", "1.5 W read of the ECH21")]
)
def test_kin_bear_out_what_they_share(type_: str, words: str) -> None:
    """EBL1 and EBL21: an EL3N and two diodes in one bulb, from memory; UCH21: an ECH21 with another heater."""
    point = next(p for p in tube(type_).typical if p.plate_volts and p.screen_volts)
    assert any(words in said for said in grade.point(tube(type_), point).borne_out_by)


def test_what_was_read_of_the_el3n_bears_out_its_kin() -> None:
    """tubeofile.com, pages of the EL3, EL3N and EL53: 0.9 A where the EL3 took 1.2 A, 250 V at plate and screen, and
    the EL11 is the same on another base; J. Roschy, part IV: the AL4 is the EL3N with another heater."""
    assert grade.heater_amps(tube("EL3N")) == grade.READ
    for type_ in ("EL11", "EL33"):
        assert "the EL3N has the same heater" in grade.heater_amps(tube(type_)).borne_out_by
    for type_ in ("AL4", "EL33"):
        limit = next(m.screen_volts for m in (tube(type_).maxima, *tube(type_).other_maxima) if m.screen_volts)
        assert grade.rated(tube(type_), "", "screen_volts", limit).borne_out_by[0] == "the EL3N is rated the same"
