"""Sets for line and batteries: their filaments hang on the filament supply or the battery, never on the line."""

from __future__ import annotations

import pytest

import makers
import ngspice
from benchleaf.chapters.heaters.figures import DRAWING, draw

HEAD = "line: 120 V 60 Hz\npower: three-way\ntubes:\n  V1: 1R5\n  V2: 1T4\n  V3: 1S5\n  V4: 3V4\n"
ORDER = "heaters:\n  order: V4, V1, V2, V3\n"
QUIET = "  cathode currents:\n    V1: 0 mA\n    V2: 0 mA\n    V3: 0 mA\n    V4: 0 mA\n"
CATHODES = "  cathode currents:\n    V1: 4 mA\n    V2: 2.4 mA\n    V3: 0.6 mA\n    V4: 7.4 mA\n"
SUPPLY = "  filament supply: 110 V\n"
BATTERY = "  batteries:\n    A: 7.5 V 4 Ah\n"
SUM = 2.8 + 3 * 1.4
"""Volts at 50 mA: Mullard.org, blog on battery valves (D-91 types 1.4 V 50 mA, DL94 2.8 V in series)."""


@pytest.mark.parametrize("more", ["", QUIET, SUPPLY, BATTERY, SUPPLY + BATTERY, "  dropper: resistor 2.2 kohm 10 W\n"])
def test_no_filament_ever_has_the_line(more: str) -> None:
    """117 V on 7 V of filaments was told as 1671 % of rated, with a capacitor, a diode and shunts to mend it."""
    bench = makers.bench(HEAD + ORDER + more)
    findings, page = makers.findings("heaters", bench), makers.page("heaters", bench)
    assert all(share < 1.2 for share in findings.shares)
    said = " ".join(s.text for s in makers.standouts("heaters", bench))
    assert not any(word in said for word in (" line", "left over", "shunt", "dropper"))
    assert (findings.choices, findings.wanted_shunts, findings.mains_taps) == ((), (), ())
    assert "120 V battery" not in page.replace("\u202f", " ")
    assert not any(f.wanted_shunt_ohms for run in findings.filaments for f in run.filaments)
    assert "Diode" not in page


def test_the_tables_currents_count_as_soon_as_shunts_are_written() -> None:
    """A set that says nothing of shunts has them all the same; the table's 3V4 burnt the last filament out at 143 %.

    Its halves are in series, so it adds 7.7 mA and 1.7 mA and not the 11.6 mA of halves side by side.
    """
    without = makers.findings("heaters", makers.bench(HEAD + ORDER + BATTERY))
    (run,) = without.filaments
    assert (run.cathodes_counted, without.shares) == (False, pytest.approx([7.5 / SUM] * 4))
    assert [f.cathode_amps for f in run.filaments] == pytest.approx([9.4e-3, 4.8e-3, 4.9e-3, 2e-3])
    page = makers.page("heaters", makers.bench(HEAD + ORDER + BATTERY))
    assert "as if no cathode current flowed through them" in page
    shunts = "  shunts:\n    V1: 150 ohm\n    V2: 100 ohm\n    V3: 75 ohm\n"
    bench = makers.bench(HEAD + ORDER + BATTERY + shunts)
    (counted,) = makers.findings("heaters", bench).filaments
    assert counted.cathodes_counted
    arriving = [f.arriving_amps - counted.amps for f in counted.filaments]
    assert arriving == pytest.approx([0, 9.4e-3, 14.2e-3, 19.1e-3])
    assert all(0.95 < f.of_rated < 1.15 for f in counted.filaments)
    assert "as if no cathode" not in makers.page("heaters", bench)


def test_a_shunt_across_two_filaments_is_counted_and_shown() -> None:
    """The page said “Shunt none” and no digit moved between 1750 ohm and 100 ohm across both."""
    held = {}
    for ohms in (1750, 100):
        text = f"{HEAD}{ORDER}{BATTERY}{CATHODES}  shunts:\n    V2 V3: {ohms} ohm\n"
        (run,) = makers.findings("heaters", makers.bench(text)).filaments
        held[ohms] = {f.tube: f.volts for f in run.filaments}
        assert [f.shunt_ohms for f in run.filaments] == [None, None, ohms, ohms]
        said = makers.page("heaters", makers.bench(text)).replace("\u202f", " ").replace("\u00a0", " ")
        assert f"{'1.75 kΩ' if ohms > 1000 else '100 Ω'} across V2 and V3" in said
    assert all(held[100][tube] < held[1750][tube] - 0.1 for tube in ("V2", "V3"))
    assert held[100]["V4"] > held[1750]["V4"]


def test_the_tables_point_is_the_one_of_the_b_battery_and_of_the_halves_as_joined() -> None:
    """1R5: 1.6 mA and 3.2 mA at 90 V, 1.4 mA and 3.2 mA at 67.5 V; 3V4 beside the others on 1.4 V: 9.5 mA, 2.1 mA."""
    own = HEAD.replace("120 V 60 Hz", "7.5 V").replace("three-way", "battery")
    for volts, amps in ((90, 4.8e-3), (67.5, 4.6e-3)):
        found = makers.findings("heaters", makers.bench(f"{own}{ORDER}{BATTERY}    B: {volts} V\n"))
        (run,) = found.filaments
        assert next(f.cathode_amps for f in run.filaments if f.tube == "V1") == pytest.approx(amps)
    beside = own.replace("7.5 V", "1.4 V") + "heaters:\n  windings:\n    A: 1.4 V\n  batteries:\n    B: 90 V\n"
    (drain,) = makers.findings("heaters", makers.bench(beside)).drains
    assert drain.amps == pytest.approx(4.8e-3 + 4.9e-3 + 2e-3 + 11.6e-3)


@pytest.mark.handbook
def test_dropper_of_quiet_filaments_is_that_of_the_filament_supply() -> None:
    """(U - sum)/I and (U - sum) I (L. Lovell, Antique Radio Repair, 1989): (110 - 7) V / 50 mA = 2060 ohm, 5.15 W."""
    findings = makers.findings("heaters", makers.bench(HEAD + ORDER + SUPPLY + QUIET))
    assert findings.left_for_dropper_volts == pytest.approx(110 - SUM)
    assert findings.dropper.ohms == pytest.approx((110 - SUM) / 0.05)
    assert findings.dropper.watts == pytest.approx((110 - SUM) * 0.05)
    assert findings.dropper.preferred_ohms == 2200
    assert findings.dropper.capacitor_farads is None
    assert any("No dropper between the filament supply and the filaments" in m for m in findings.missing)


def test_without_a_filament_supply_nothing_is_left_over() -> None:
    findings = makers.findings("heaters", makers.bench(HEAD + ORDER + "  dropper: resistor 2.2 kohm 10 W\n"))
    assert (findings.left_for_dropper_volts, findings.dropper, findings.fitted_of_rating) == (None, None, None)
    assert any("“filament supply:”" in m for m in findings.missing)


def test_wanted_dropper_with_cathodes_leaves_the_string_its_rated_sum() -> None:
    """ngspice: the string through the dropper that is proposed has 7 V, with all cathode currents in it."""
    findings = makers.findings("heaters", makers.bench(HEAD + ORDER + SUPPLY + CATHODES))
    lines = ["Vsupply s 0 110", f"Rdrop s n0 {findings.dropper.ohms!r}"]
    order = (("4", 2.8, 0.0074), ("1", 1.4, 0.004), ("2", 1.4, 0.0024), ("3", 1.4, 0.0006))
    for k, (name, volts, cathode) in enumerate(order):
        above, below = f"n{k}", "0" if k == 3 else f"n{k + 1}"
        law = f"{volts}*sgn(i(VS{name}))*pow(abs(i(VS{name}))/0.05,{1 / 0.6!r})"
        lines += [f"VS{name} {above} m{name} 0", f"B{name} m{name} {below} V={law}", f"Ic{name} 0 {below} {cathode}"]
    assert ngspice.direct(lines, ["v(n0)"])["v(n0)"] == pytest.approx(SUM, rel=1e-5)


def test_set_with_a_dropper_is_judged_on_its_filament_supply() -> None:
    bench = makers.bench(HEAD + ORDER + SUPPLY + BATTERY + "  dropper: resistor 2.06 kohm 12 W\n" + QUIET)
    findings = makers.findings("heaters", bench)
    assert (findings.feed.kind, findings.feed.volts) == ("filament supply", 110)
    assert findings.shares == pytest.approx([1] * 4, rel=1e-6)
    assert findings.fitted_of_rating == pytest.approx(5.15 / 12, rel=1e-6)
    page = makers.page("heaters", bench).replace("\u202f", " ")
    assert "on the 110 V filament supply they run at 100 % of their rated volts" in page
    figure = next(f for f in draw(findings, bench) if f.name == DRAWING)
    assert "From the filament supply to B-" in figure.description
    assert "110" in figure.title


def test_set_without_a_dropper_is_judged_on_its_battery() -> None:
    """7.5 V on 7 V of filaments, all of one law: 107 %."""
    bench = makers.bench(HEAD + ORDER + BATTERY + QUIET)
    findings = makers.findings("heaters", bench)
    assert (findings.feed.kind, findings.feed.volts) == ("battery", 7.5)
    assert findings.shares == pytest.approx([7.5 / SUM] * 4)
    assert {j.graded for j in findings.judged.values()} == {"good"}
    assert findings.on_line is None
    assert "on the 7.5 V battery they run at 107 %" in makers.page("heaters", bench).replace("\u202f", " ")


def test_readings_add_up_to_the_filament_supply_and_not_to_the_line() -> None:
    read = (
        "  measured:\n    line: 120 V\n    dropper: 103 V\n    V4: 2.8 V\n    V1: 1.4 V\n    V2: 1.4 V\n    V3: 1.4 V\n"
    )
    bench = makers.bench(HEAD + ORDER + SUPPLY + "  dropper: resistor 2.06 kohm 12 W\n" + QUIET + read)
    measured = makers.findings("heaters", bench).measured
    assert (measured.fed_volts, measured.adds_up) == (pytest.approx(110), True)
    assert measured.off_line == pytest.approx(0, abs=1e-9)


def test_rectifier_on_the_line_is_no_part_of_the_filaments() -> None:
    """117Z3, a heater for the line itself: no order is written."""
    text = HEAD + "  V5: 117Z3\nheaters:\n" + SUPPLY + "  dropper: resistor 2.06 kohm\n" + QUIET
    findings = makers.findings("heaters", makers.bench(text))
    assert [r.tube for r in findings.ratings] == ["V1", "V2", "V3", "V4"]
    assert findings.shares == pytest.approx([1] * 4, rel=1e-6)
    assert any(line.startswith("V5 is no battery tube") for line in findings.assumed)


def test_battery_set_is_judged_on_its_filament_battery_and_not_on_the_other_one() -> None:
    text = HEAD.replace("120 V 60 Hz", "90 V").replace("three-way", "battery") + ORDER + BATTERY + QUIET
    findings = makers.findings("heaters", makers.bench(text))
    assert (findings.feed.kind, findings.feed.volts) == ("battery", 7.5)
    assert findings.shares == pytest.approx([7.5 / SUM] * 4)


@pytest.mark.parametrize(
    "more", ["", SUPPLY, BATTERY, SUPPLY + BATTERY, SUPPLY + "  dropper: resistor 2.06 kohm 12 W\n"]
)
@pytest.mark.parametrize(("plate", "source"), [("", ""), ("nameplate: 25 W\n", "nameplate")])
def test_filaments_are_no_load_on_the_line(more: str, plate: str, source: str) -> None:
    """120 V over the filaments' 50 mA was taken as a string of 2.4 kohm between the leads, cold 2.1 kohm."""
    side = "line side:\n  after:\n    plug: two-pin\n    switch: B- lead\n    B- to chassis: 220 kohm, 47 nF Y1\n"
    found = makers.found("line_side", plate + HEAD + ORDER + more + QUIET + side)
    assert (found.load.source, found.load.heater_ohms, found.load.series_ohms) == (source, None, 0.0)
    assert found.load_ohms == (pytest.approx(120**2 / 25) if source else None)
    assert (found.fuse.running_source if found.fuse else "") == source
