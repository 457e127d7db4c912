"""Read, cross-checked, from memory: what each grade takes, and that it is never given for nothing."""

from __future__ import annotations

import pytest

from benchleaf.tubes import Tube, Typical, all_types, find, from_memory, grade
from benchleaf.tubes.point_checks import figures_fit
from benchleaf.tubes.sisters import relatives, sisters
from benchleaf.tubes.tube import Rated, TableSource

MEMORY = (TableSource("memory", "from memory", "memory"),)


def tube(type_: str) -> Tube:
    found = find(type_)
    assert found is not None, type_
    return found


def test_a_value_with_a_publication_is_read() -> None:
    """12BE6: General Electric ET-T891A, Nov 1956."""
    assert grade.heater_volts(tube("12BE6")).grade == grade.heater_amps(tube("12BE6")).grade == "read"
    assert grade.heater_volts(tube("12BE6")).words == ""


@pytest.mark.parametrize(
    ("type_", "volts", "amps"),
    [
        # RETMA: 12.6 V by the 12AT6's first figures, 150 mA by the H of its other name HBC90.
        ("12AT6", "12AT6 by its designation is 12.6 V", "HBC90 by its designation is 150 mA"),
        # 100 mA by the U; 50 V by the first figures of its other name 50BM8.
        ("UCL82", "50BM8 by its designation is 49.4 to 50.6 V", "UCL82 by its designation is 100 mA"),
        # 300 mA by the P; the heating power of the EABC80, whose heater was read (Philips, 1955).
        ("PABC80", "the heating power of the EABC80, 3.02 W", "PABC80 by its designation is 300 mA"),
    ],
)
def test_a_heater_from_memory_is_borne_out_by_what_is_independent_of_it(type_: str, volts: str, amps: str) -> None:
    assert from_memory(tube(type_).heater.sources)
    assert grade.heater_volts(tube(type_)).borne_out_by == (volts,)
    assert grade.heater_amps(tube(type_)).borne_out_by == (amps,)
    assert grade.heater_is_borne_out(tube(type_))


def test_a_designation_bears_out_the_figure_it_speaks_of_and_no_other() -> None:
    """6K7's neighbour 6S7: the 6 says 5.6 to 6.6 V and nothing of its 150 mA."""
    assert grade.heater_volts(tube("6S7")).grade == "cross-checked"
    assert grade.heater_amps(tube("6S7")).grade == "from memory"
    assert not grade.heater_is_borne_out(tube("6S7"))


def test_old_numbers_say_nothing() -> None:
    assert grade.heater_volts(tube("10")) == grade.REMEMBERED
    assert grade.heater_amps(tube("10")) == grade.REMEMBERED
    assert grade.plain(MEMORY) == grade.REMEMBERED


def test_a_base_from_memory_is_borne_out_by_the_number() -> None:
    """UCH42: a 4 is Rimlock (Mullard/Pro Electron code); the EM4's single figure says nothing."""
    assert grade.base(tube("UCH42")).borne_out_by == ("UCH42 is on this base by its number",)
    assert grade.base(tube("EM4")).grade == "from memory"


def test_a_pin_from_memory_is_borne_out_by_a_sister_that_was_read() -> None:
    """14F7 and 7F7 are one system; the 7F7's pins stand in L. Lovell's table of 1989."""
    (row,) = (row for row in tube("14F7").pin_rows if row.pin == 4)
    assert from_memory(row.sources)
    assert grade.pin(tube("14F7"), row).borne_out_by == ("the 7F7 has it there",)
    assert grade.pins(tube("14F7")).grade == "cross-checked"


def test_pins_are_no_better_than_the_weakest() -> None:
    """6K8: most pins by L. Lovell, pin 1 from memory alone."""
    assert grade.pins(tube("6K8")).grade == "from memory"
    assert {grade.pin(tube("6K8"), row).grade for row in tube("6K8").pin_rows} == {"read", "from memory"}


def test_a_rating_and_a_point_from_memory_are_borne_out_by_a_sister() -> None:
    """12AT6 beside the 6AT6 of General Electric ET-T1447 (1957) and a manual of 1959."""
    limit = tube("12AT6").maxima.plate_watts
    assert limit is not None
    heat = "the heat of a point of the 6AT6 that was read, 0.25 W at 250 V, is under it"
    assert grade.rated(tube("12AT6"), "", "plate_watts", limit).borne_out_by == ("the 6AT6 is rated the same", heat)
    assert "the 6AT6 has the same point" in grade.point(tube("12AT6"), tube("12AT6").typical[0]).borne_out_by


@pytest.mark.parametrize(
    ("mu", "gm", "rp", "fits"),
    [(20, 0.0026, 7700, True), (20, 0.0026, 9000, False), (20, 0.0026, None, False), (None, 0.0026, 7700, False)],
)
def test_three_figures_of_a_triode_fit_or_not(mu: float | None, gm: float, rp: float | None, fits: bool) -> None:
    """6J5: 2600 micromhos times 7700 ohms is 20.02; 9000 ohms would be 17 % off."""
    point = Typical(MEMORY, plate_volts=250, plate_amps=0.009, mu=mu, gm_siemens=gm, rp_ohms=rp)
    assert figures_fit(point) is fits


def test_a_screens_mu_is_not_held_against_the_plates_resistance() -> None:
    """EF89: mu of the screen 21, but 4 mS times 750 kilohms is 3000 (Philips EF89, sheet 1)."""
    point = next(p for p in tube("EF89").typical if p.mu == 21)
    assert not figures_fit(point)


def test_every_grade_holds_what_it_says() -> None:
    for type_ in all_types():
        known = tube(type_)
        for standing in (grade.heater_volts(tube(type_)), grade.heater_amps(tube(type_))):
            assert (standing.grade == "read") == (not from_memory(known.heater.sources)), type_
            assert (standing.grade == "cross-checked") == bool(standing.borne_out_by), type_
        for row in known.pin_rows:
            assert (grade.pin(known, row).grade == "read") == (not from_memory(row.sources)), (type_, row)


def test_sisters_are_one_system_with_another_heater() -> None:
    assert sisters("12SK7") == ("6SK7",)
    assert sisters("UABC80") == ("EABC80", "PABC80")
    assert sisters("CF3") == ("AF3",)
    assert sisters("80") == ()


def test_kin_by_name_share_what_the_row_says() -> None:
    """2A5 is a 42 with another heater, and that a 6F6; a 6J5 is one triode of a 6SN7GT, and no more."""
    assert {relative.type: "system" in relative.shares for relative in relatives("2A5")} == {"42": True, "6F6": True}
    (triode,) = (relative for relative in relatives("6J5") if relative.type == "6SN7GT")
    assert triode.shares == {"triode"}
    assert "6J5" not in {relative.type for relative in relatives("7N7")}, "kin of a triode only is no kin of kin"


def test_an_equal_heater_of_kin_bears_out_both_figures() -> None:
    """41: old numbers say nothing; the 6K6GT is the same tube on an octal base (L. Lovell: 6.3 V 0.4 A)."""
    assert "the 6K6GT has the same heater" in grade.heater_volts(tube("41")).borne_out_by
    assert "the 6K6GT has the same heater" in grade.heater_amps(tube("41")).borne_out_by


def test_a_rating_is_borne_out_by_kin_with_another_number() -> None:
    """42 and 6F6: 11 W (op316.com, 6F6 family); 6X5GT and 6X4: 70 mA."""
    watts = tube("42").maxima.plate_watts
    assert watts is not None
    heat = "the heat of a point of the 6F6 that was read, 10.8 W at 285 V, is under it"
    assert grade.rated(tube("42"), "", "plate_watts", watts).borne_out_by == ("the 6F6 is rated the same", heat)
    (limit,) = tube("6X5GT").maxima.dc
    assert grade.direct_current(tube("6X5GT"), "", limit).borne_out_by == ("the 6X4 is rated the same",)


def test_heat_bears_out_a_point_only_between_a_quarter_and_the_whole_of_a_rating_that_was_read() -> None:
    """50C5: 7 W was read. 110 V 49 mA is 5.4 W; 30 mA at 250 V, or 10 mA at 110 V, would say nothing."""
    known = tube("50C5")
    assert grade.point(known, known.typical[0]).borne_out_by == ("its heat, 5.39 W at 110 V, is under the 7 W read",)
    for volts, amps in ((250, 0.030), (110, 0.010)):
        other = Typical(MEMORY, plate_volts=volts, screen_volts=110, plate_amps=amps)
        assert grade.point(known, other) == grade.REMEMBERED


def test_each_figure_of_a_point_is_borne_out_by_what_speaks_of_it() -> None:
    """50C5: heat says nothing of the slope; 6C4: 2.2 mS, 7700 ohms and 17 fit, so has the 12AU7 its grid volts."""
    fifty, (six,) = tube("50C5"), tube("6C4").typical
    assert grade.point(fifty, fifty.typical[0], "plate_amps").grade == "cross-checked"
    assert grade.point(fifty, fifty.typical[0], "gm_siemens") == grade.REMEMBERED
    assert grade.point(tube("6C4"), six, "grid_volts").borne_out_by == ("the 12AU7 has the same point",)
    fits = "slope times internal resistance is the amplification factor"
    assert grade.point(tube("6C4"), six, "rp_ohms").borne_out_by == ("the 12AU7 has the same point", fits)
    other = Typical(MEMORY, plate_volts=250, plate_amps=0.0105, grid_volts=-9.0)
    assert grade.point(tube("6C4"), other, "grid_volts") == grade.REMEMBERED


def test_a_slope_that_a_list_prints_without_its_point_bears_out_the_slope_alone() -> None:
    """12BA6: a list of tubes for sale has 4.4 mS and not at which volts; 4.3 mS at 100 V stays from memory."""
    at_250, listed, at_100 = (
        next(p for p in tube("12BA6").typical if p.plate_volts == volts) for volts in (250, None, 100)
    )
    assert (listed.gm_siemens, listed.sources[0].from_memory) == (0.0044, False)
    checked = grade.point(tube("12BA6"), at_250, "gm_siemens")
    assert (checked.grade, checked.borne_out_by) == ("cross-checked", ("another source has the same slope",))
    assert grade.point(tube("12BA6"), at_100, "gm_siemens") == grade.REMEMBERED
    other = Typical(MEMORY, plate_volts=250, screen_volts=100, plate_amps=0.020, gm_siemens=0.0044)
    assert grade.point(tube("12BA6"), other) == grade.REMEMBERED


def test_a_heater_pin_is_borne_out_by_the_base_where_all_that_were_read_agree() -> None:
    """Noval: pins 4 and 5 in every tube that was read. Octal tubes have 2 and 7, or 7 and 8: nothing follows."""
    noval = {row.pin: grade.pin(tube("UY85"), row) for row in tube("UY85").pin_rows}
    assert noval[4].borne_out_by == noval[5].borne_out_by == ("the heaters of this base that were read are there",)
    assert noval[9] == grade.REMEMBERED
    octal = {row.pin: grade.pin(tube("ECH35"), row) for row in tube("ECH35").pin_rows}
    assert octal[2] == octal[7] == grade.REMEMBERED


def test_a_shield_on_the_same_pin_does_not_hide_that_two_pins_lead_to_the_same() -> None:
    """EF39 and 6K7: pin 8 the cathode, pin 3 the plate; what one has as a shield on pin 1 says nothing."""
    pins = {row.pin: grade.pin(tube("EF39"), row) for row in tube("EF39").pin_rows}
    assert pins[8].borne_out_by == ("the 6K7 has it there",)
    assert pins[1] == grade.REMEMBERED


@pytest.mark.parametrize(("one", "other"), [("14A5", "7A5"), ("14C7", "7C7"), ("UL84", "PL84"), ("12A7", "6A7")])
def test_what_only_looks_like_a_sister_is_none(one: str, other: str) -> None:
    """14A5 takes 1.9 W and 7A5 4.7 W; UL84 is an output type, among which the rule has exceptions; 12A7 rectifies."""
    assert other not in sisters(one)
    assert one not in sisters(other)


def test_a_bias_that_a_source_prints_without_volts_bears_out_the_point_and_its_current() -> None:
    """AL4: -6 V and 36 mA (J. Roschy, part IV), at which volts it does not say; the EL3N is the same system."""
    for type_, words in (
        ("AL4", "another source has the same bias and current"),
        ("EL3N", "the AL4 has the same bias and current"),
    ):
        point = next(p for p in tube(type_).typical if p.plate_volts)
        assert words in grade.point(tube(type_), point).borne_out_by
        assert words in grade.point(tube(type_), point, "grid_volts").borne_out_by
        assert words not in grade.point(tube(type_), point, "screen_amps").borne_out_by
    other = Typical(MEMORY, plate_volts=250, screen_volts=250, grid_volts=-6.5, plate_amps=0.036)
    assert "another source has the same bias and current" not in grade.point(tube("AL4"), other).borne_out_by


def test_a_rating_is_borne_out_by_a_point_that_was_read_near_it() -> None:
    """6K6GT: a point at 315 V was read; under 400 V it would say nothing, and 300 V would be no rating of it. The 41 is
    the same system."""
    for type_, words in (
        ("6K6GT", "a point that was read has 315 V there"),
        ("41", "a point of the 6K6GT that was read"),
    ):
        (checked,) = grade.rated(tube(type_), "", "plate_volts", Rated(315.0, MEMORY)).borne_out_by
        assert checked.startswith(words)
    for most in (300.0, 400.0):
        assert grade.rated(tube("6K6GT"), "", "plate_volts", Rated(most, MEMORY)) == grade.REMEMBERED


def test_heat_under_the_rating_of_kin_bears_out_a_point() -> None:
    """12SK7 beside the 6SK7, of which 4 W was read: 9.2 mA at 250 V is 2.3 W."""
    words = "its heat, 2.3 W at 250 V, is under the 4 W read of the 6SK7"
    assert words in grade.point(tube("12SK7"), tube("12SK7").typical[0]).borne_out_by
    assert grade.point(tube("12SK7"), tube("12SK7").typical[0], "grid_volts") == grade.REMEMBERED


def test_pins_of_one_base_bear_each_other_out_whatever_the_tube_does() -> None:
    """25Z6GT and 6H6: two diodes on one octal base; 50B5 and 6AQ5: one miniature base of output tubes. The 6H6's pins
    are in L. Lovell's table of 1989, the 6AQ5's in a circuit-board program's. The EF41 has its g3 where the EL41's
    list says nothing."""
    for type_, pins in (("25Z6GT", {2, 3, 4, 5, 7, 8}), ("50B5", {1, 2, 3, 4, 5, 6, 7})):
        grades = {row.pin: grade.pin(tube(type_), row).grade for row in tube(type_).pin_rows}
        assert {pin for pin, of in grades.items() if of == "cross-checked"} == pins, type_
    rimlock = {row.pin: grade.pin(tube("EF41"), row).borne_out_by for row in tube("EF41").pin_rows}
    assert rimlock[5] == rimlock[7] == ("the EL41 has it there",)
    assert rimlock[4] == ()
