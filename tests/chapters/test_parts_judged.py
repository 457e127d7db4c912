"""Parts against limits and in their place: leakage, ESR, heat, consequence of a new value, reforming, markings."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

import pytest

import makers
from benchleaf.chapters.parts import verdicts
from benchleaf.chapters.parts.effects import Acting
from benchleaf.chapters.parts.figures import draw
from benchleaf.chapters.parts.findings import PartFindings, PartsFindings
from benchleaf.chapters.parts.marking_figures import bands, body_end_dot, mica_dots
from benchleaf.electrics.colours import COLOURS
from benchleaf.report.findings import FAULT, NOTE
from benchleaf.report.verdict import Verdict

TUBES = {"V1": "12BE6", "V2": "12BA6", "V3": "12AV6", "V4": "50C5", "V5": "35W4"}
HEAD = "maker: A\nmodel: B\nline: 120 V 60 Hz\npower: series string\ntubes:\n" + "".join(
    f"  {p}: {t}\n" for p, t in TUBES.items()
)
RUN = """readings:
  2026-03-04 after:
    line: 117 V
    V3: plate 44
    V4: cathode 5.9, grid 0
    B+1: 121
    B+2: 92.4
"""


def found(parts: str, more: str = "") -> PartsFindings:
    return makers.found("parts", makers.bench(f"{HEAD}{more}parts:\n{parts}", tubes=TUBES))


def part(line: str, more: str = "", others: str = "") -> PartFindings:
    return found(f"  {line}\n{others}", more).rows()[0]


def said(findings: PartsFindings) -> list[tuple[int, str]]:
    return [(s.severity, makers.plain(s.text)) for s in makers.standouts("parts", "", findings)]


@pytest.mark.handbook
def test_electrolytic_against_jan_c_62() -> None:
    """20 µF 450 V may leak 1.1 mA (JAN-C-62 as printed on the amradio list)."""
    kept = part("C13: keep, 20 uF 450 V electrolytic, leakage 1.0 mA at 450 V")
    assert kept.was_held is not None
    assert (kept.was_held.leakage_limit_amps, kept.was_held.leakage_enough) == (pytest.approx(1.1e-3), True)
    leaky = found("  C13: keep, 20 uF 450 V electrolytic, leakage 1.2 mA at 450 V, positive B+1\n")
    assert (FAULT, "C13 leaks 1.2 mA at 450 V, beyond its limit, and is in the set.") in said(leaky)


@pytest.mark.handbook
def test_esr_against_twice_a_new_one() -> None:
    """47 µF 250 V has 1.40 ohm when new (circuitsgallery.com): 2.8 ohm is the limit here."""
    tired = part("C1: keep, 47 uF 250 V electrolytic, ESR 3 ohm, positive B+1")
    assert tired.was_held is not None
    assert (tired.was_held.esr_limit_ohms, tired.was_held.esr_enough) == (pytest.approx(2.8), False)
    good = part("C1: keep, 47 uF 250 V electrolytic, ESR 2.7 ohm, positive B+1")
    assert good.was_held is not None
    assert good.was_held.esr_enough is True


def test_a_paper_capacitor_at_a_grid_is_held_to_more() -> None:
    """38 µA at 200 V is 5.26 megohm: too little anywhere; 20 megohm will do for a bypass, not at a grid."""
    at_grid = part("C7: was 10 nF paper, leakage 10 uA at 200 V, between V3 plate and V4 grid")
    bypass = part("C8: was 0.1 uF paper, leakage 10 uA at 200 V, between V2 screen and B-")
    assert at_grid.was_held is not None
    assert bypass.was_held is not None
    assert (at_grid.was_held.leakage_enough, bypass.was_held.leakage_enough) == (False, True)


def test_a_bound_that_does_not_reach_the_limit_tells_nothing() -> None:
    held = part("C7: now 10 nF film, leakage <10 uA at 200 V, between V3 plate and V4 grid").now_held
    assert held is not None
    assert held.leakage_enough is None
    assert part("C7: now 10 nF film, between V3 plate and V4 grid").now_held is None


def test_heat_of_the_filter_resistor() -> None:
    """By hand: (121 − 92.4)² / 1010 = 0.81 W; 1 W is less than twice that, 2 W is enough."""
    one = part("R9: keep, 1 kohm 1 W, measured 1.01 kohm, between B+1 and B+2", RUN)
    assert one.heat is not None
    assert (one.heat.watts, one.heat.enough) == (pytest.approx(0.8099, rel=1e-3), False)
    two = part("R9: now 1 kohm 5 % 2 W, measured 1.01 kohm, between B+1 and B+2", RUN)
    assert two.heat is not None
    assert two.heat.enough is True
    text = "R9 makes 0.81 W of heat and is rated 1 W, less than twice that."
    assert (NOTE, text) in said(found("  R9: keep, 1 kohm 1 W, measured 1.01 kohm, between B+1 and B+2\n", RUN))
    assert part("R9: keep, 1 kohm, between B+1 and B+3", RUN).heat is None
    assert part("R1: keep, 1 kohm, between line and V5 plate", RUN).heat is None


def test_a_new_resistor_is_not_judged_by_the_heat_of_one_three_times_as_large() -> None:
    """What 3 kohm made before it went says nothing of the 1 kohm that has its place since."""
    later = "R9: was 1 kohm, measured {}, now 1 kohm 3 W, fitted 2026-04-01, between B+1 and B+2"
    assert part(later.format("3 kohm"), RUN).heat is None
    assert part(later.format("1.2 kohm"), RUN).heat is not None


def test_coupling_corner_before_and_after() -> None:
    """By hand: 1/(2π·470 kohm·10 nF) = 33.9 Hz; at 60 Hz 10·log(1 + (33.9/60)²) = 1.20 dB."""
    leak = "  R6: keep, 470 kohm, between V4 grid and B-\n"
    row = part("C7: was 10 nF paper, now 22 nF film 5 %, between V3 plate and V4 grid", others=leak)
    assert row.effect is not None
    assert row.effect.before is not None
    assert row.effect.after is not None
    assert (row.effect.role, row.effect.resistor) == ("coupling", "R6")
    assert row.effect.before.corner_hertz == pytest.approx(33.86, rel=1e-3)
    assert row.effect.before.loss_decibels == (pytest.approx(1.2009, rel=1e-3), pytest.approx(0.3328, rel=1e-3))
    assert row.effect.after.corner_hertz == pytest.approx(33.86 / 2.2, rel=1e-3)


def acting(line: str, others: str) -> tuple[Acting | None, Acting | None]:
    """What a part does with its resistor, before and after."""
    effect = part(line, others=others).effect
    assert effect is not None
    return effect.before, effect.after


def test_a_corner_before_and_after_has_the_resistor_that_was_in_then() -> None:
    """By hand, 1/(2πRC): a kept 520 kohm serves both corners; a replaced one serves each with its own."""
    line = "C7: sheet 10 nF, was 10 nF paper, measured 13.6 nF, now 10 nF film 5 %, measured 9.96 nF, {}"
    line = line.format("between V3 plate and V4 grid")
    kept = acting(line, "  R6: keep, 470 kohm, measured 520 kohm, between V4 grid and B-\n")
    assert [(one.ohms, one.corner_hertz) for one in kept if one] == [
        (520e3, pytest.approx(22.505, rel=1e-3)),
        (520e3, pytest.approx(30.730, rel=1e-3)),
    ]
    others = "  R6: was 470 kohm, measured 1.2 meg, now 470 kohm, measured 468 kohm, between V4 grid and B-\n"
    replaced = acting(line, others)
    assert [(one.ohms, one.corner_hertz) for one in replaced if one] == [
        (1.2e6, pytest.approx(9.752, rel=1e-3)),
        (468e3, pytest.approx(34.145, rel=1e-3)),
    ]
    assert acting(line, others.replace("measured 1.2 meg", "measured open")) == (None, replaced[1])


@pytest.mark.parametrize(
    ("between", "resistor", "new", "role", "seconds"),
    [
        ("AVC and B-", "3.3 meg, between AVC and volume", "47 nF film", "AVC", 0.1551),
        ("V4 cathode and B-", "150 ohm, between V4 cathode and B-", "22 uF electrolytic", "cathode bypass", 3.3e-3),
        ("V2 screen and B-", "33 kohm, between V2 screen and B+1", "0.1 uF film", "screen bypass", 3.3e-3),
        ("B+2 and B-", "1 kohm, between B+1 and B+2", "22 uF 160 V electrolytic", "filter", 0.022),
    ],
)  # fmt: skip
def test_time_constants_by_role(between: str, resistor: str, new: str, role: str, seconds: float) -> None:
    effect = part(f"C2: now {new}, between {between}", others=f"  R2: keep, {resistor}\n").effect
    assert effect is not None
    assert effect.after is not None
    assert (effect.role, effect.after.seconds) == (role, pytest.approx(seconds, rel=1e-3))
    assert effect.after.corner_hertz == pytest.approx(1 / (2 * math.pi * seconds), rel=1e-3)


def test_what_lies_at_a_cathode_on_the_chassis_bypasses_no_cathode() -> None:
    """With the bias in the negative lead each capacitor to the chassis was told to bypass R13, at 39 Hz and 273 kHz."""
    text = (
        "power: transformer\ntubes:\n  V4: EL41\n  V5: EZ40\nparts:\n"
        "  C1: now 33 uF 350 V, B+1 to B-\n  C2: now 33 uF 350 V, B+2 to chassis\n"
        "  C3: now 47 uF 25 V, B- to chassis\n"
        "  C5: now 47 nF, V4 screen to chassis\n  C9: now 4.7 nF Y2, mains to chassis\n  R13: 120 ohm, B- to chassis\n"
        "wires:\n  - V4 cathode, chassis\n  - V5 cathode, B+1\n"
    )
    roles = {row.name: row.effect.role for row in makers.found("parts", text).rows() if row.effect}
    assert "cathode bypass" not in roles.values()
    assert roles["C5"] == "screen bypass"


def test_without_neighbours_it_says_what_it_would_need() -> None:
    effect = part("C7: was 10 nF paper, now 22 nF film, between V3 plate and V4 grid").effect
    assert effect is not None
    assert effect.after is None
    assert effect.lacks == "a resistor from V4 grid to B- or the chassis in the parts"
    assert part("C9: was 10 nF paper, now 22 nF film").effect is None
    assert part("C9: was 10 nF paper, now 22 nF film, between hot and chassis").effect is None


LOG = "reforming:\n  C13:\n    to: 350 V through 47 kohm\n    log:\n      - 0 min, 4.8 mA\n"


SIXTEEN = "C13: reform, 16 uF 450 V electrolytic, measured 14.6 uF, positive B+2"


def reformed(log: str, line: str = SIXTEEN) -> PartFindings:
    return part(line, LOG + log)


def test_a_log_that_comes_under_its_limit_leans_to_keeping() -> None:
    """The limit of 16 µF 450 V is 0.04 × 16 + 0.3 = 0.94 mA; 350 V − 47 kohm × 0.42 mA = 330 V were reached."""
    judged = reformed("      - 30 min, 1.1 mA\n      - 120 min, 0.42 mA\n").reformed
    assert judged is not None
    assert judged.leans == "reform"
    assert judged.outlook is not None
    assert judged.outlook.limit_amps == pytest.approx(0.94e-3)
    assert judged.reached_volts == pytest.approx(330.26)
    assert any("under the limit of 940" in r for r in judged.reasons)
    assert any("of its 450" in r for r in judged.reasons)


def test_a_log_that_rises_or_stays_leans_to_replacing() -> None:
    rising = reformed("      - 30 min, 1.1 mA\n      - 60 min, 2.4 mA\n").reformed
    staying = reformed("      - 60 min, 4.6 mA\n      - 240 min, 4.5 mA\n").reformed
    assert rising is not None
    assert staying is not None
    assert (rising.leans, staying.leans) == ("replace", "replace")
    assert any("risen" in r for r in rising.reasons)


def test_a_dried_out_capacitor_is_not_formed_back() -> None:
    line = "C13: reform, 16 uF 450 V electrolytic, measured 5.1 uF, ESR 22 ohm, positive B+2"
    judged = reformed("      - 60 min, 0.3 mA\n", line).reformed
    assert judged is not None
    assert judged.leans == "replace"
    assert len([r for r in judged.reasons if "dried out" in r or "bring that back" in r]) == 2


def test_on_its_way_go_on() -> None:
    judged = reformed("      - 30 min, 2.2 mA\n      - 60 min, 1.5 mA\n").reformed
    assert judged is not None
    assert judged.leans == "go on"


def test_a_log_figure_with_its_limit() -> None:
    findings = found(
        "  C13: reform, 16 uF 450 V electrolytic, positive B+2\n",
        LOG + "      - 30 min, 1 mA\n      - 60 min, 0.5 mA\n",
    )
    drawn = makers.figures("parts", "", findings)
    (figure,) = [f for name, f in drawn.items() if name.startswith("parts-reforming")]
    assert "940" in figure.description
    assert figure.svg.startswith("<svg")


def test_marking_read_and_compared() -> None:
    """keith-snook.info: an old 470JN is 470 pF; a modern 470 is 47 pF. Both are shown, one agrees."""
    findings = found("  C4: keep, 470 pF mica, marked 470JN\n")
    (read,), _ = findings.markings
    assert [r.value for r in read.readings] == [pytest.approx(47e-12), pytest.approx(470e-12)]
    assert read.agrees is True
    (other,), _ = found("  R3: keep, 47 kohm, marked red violet yellow gold\n").markings
    assert other.agrees is False
    (strange,), _ = found("  C4: keep, 470 pF mica, marked Bird 7\n").markings
    assert (strange.readings, strange.agrees) == ((), None)


@pytest.mark.parametrize(
    ("name", "marked", "readings"),
    [
        ("C1", "104K", [(100e-9, "F")]),
        ("R1", "104K", [(100e3, "ohm"), (104e3, "ohm")]),
        ("R2", "brown black black red brown", [(10e3, "ohm")]),
        ("C2", "brown black black red brown", [(10e-12, "F")]),
        ("X1", "brown black black red brown", [(10e3, "ohm"), (10e-12, "F")]),
        ("C3", "red violet yellow gold", [(270e3, "ohm")]),
        ("R4", "orange orange black red grey", [(33e3, "ohm"), (33e3, "ohm")]),
    ],
)
def test_name_of_a_part_says_which_code_its_marking_is_in(
    name: str, marked: str, readings: list[tuple[float, str]]
) -> None:
    """No value is written. A marking that no code of its kind fits is still shown as what it can be."""
    (read,), _ = found(f"  {name}:\n    was:\n      marked: {marked}\n").markings
    assert [(r.value, r.unit) for r in read.readings] == [(pytest.approx(v), unit) for v, unit in readings]
    assert read.agrees is None


def test_marks_of_new_parts_are_drawn_with_words() -> None:
    findings = found("  R5: now 470 kohm 5 % 0.5 W\n  R6: now 470 kohm 5 % 0.5 W\n  C4: to do, 50 nF paper\n")
    _, worn = findings.markings
    assert [(w.names, w.code, w.letters) for w in worn] == [(("C4",), "473", "47n"), (("R5", "R6"), None, "470K")]
    svg = makers.figures("parts", "", findings)["parts-marks-2"].svg
    assert [svg.count(f">{word}<") for word in ("yellow", "violet", "gold")] == [2, 1, 1]


def test_drawn_marks_escape_and_name_every_colour() -> None:
    for svg in (
        bands(["yellow", "violet", "red", "gold"], '"><b>'),
        body_end_dot(["green", "grey", "red", "none"], '"><b>'),
        mica_dots(["black", "blue", "red", "brown", "gold", "red"], '"><b>'),
    ):
        assert "<b>" not in svg
        assert 'role="img"' in svg


def test_british_rails_are_rails() -> None:
    """HT1 is as good as B+1: a filter capacitor there is held to the supply’s peak, √2 · 1.1 · 120 V."""
    row = part("C15: now 47 uF 160 V electrolytic, between HT1 and chassis, positive HT1")
    assert (row.group, row.rating_enough) == ("filter", False)
    assert row.sees_volts == pytest.approx(math.sqrt(2) * 132)


def test_dots_of_a_mica_capacitor_stand_in_the_middle_of_its_body() -> None:
    colours = ["black", "blue", "red", "brown", "gold", "red"]
    drawn = ElementTree.fromstring(mica_dots(colours, "words"))
    dots = [e for e in drawn.iter() if e.tag.endswith("circle")]
    (body,) = [e for e in drawn.iter() if e.tag.endswith("rect")]
    across, down = ([float(d.get(c, "")) for d in dots] for c in ("cx", "cy"))
    left, top, wide, high = (float(body.get(name, "")) for name in ("x", "y", "width", "height"))
    assert sum(across) / 6 == pytest.approx(left + wide / 2)
    assert sum(down) / 6 == pytest.approx(top + high / 2)
    assert [d.get("fill") for d in dots] == [COLOURS[name].paint for name in colours]
    assert across[:3] == across[3:] == sorted(across[:3])
    words = [(e.text, float(e.get("x", ""))) for e in drawn.iter() if e.tag.endswith("text")]
    assert words == list(zip(colours, across, strict=True))


def test_esr_alone_is_held_for_an_electrolytic_and_nothing_where_nothing_was_measured() -> None:
    rows = found(
        "  C1: keep, 22 uF 250 V electrolytic, ESR 2 ohm\n  C2: keep, 22 uF 250 V electrolytic\n"
        "  C3: keep, 22 nF 250 V paper, ESR 2 ohm\n"
    )
    assert rows["C1"].was_held is not None
    assert rows["C1"].was_held.leakage_enough is None
    assert (rows["C2"].was_held, rows["C3"].was_held) == (None, None)


@pytest.mark.parametrize(
    ("between", "polarity"),
    [
        ("B+1 and B-", "implied"),
        ("V4 cathode and chassis", "implied"),
        ("B- and B+1", "implied"),
        ("V3 plate and V4 grid", "missing"),
        ("V3 plate and V4 plate", "missing"),
        ("B- and chassis", "missing"),
    ],
)
def test_the_circuit_tells_the_positive_end_only_from_high_to_common(between: str, polarity: str) -> None:
    assert found(f"  C1: now 47 uF 200 V electrolytic, between {between}\n")["C1"].polarity == polarity


@pytest.mark.parametrize(
    ("ohms", "rating", "listed"), [("8.1", "2 W", True), ("8.45", "2 W", False), ("8.45", "0.1 W", True)]
)
def test_heat_is_listed_from_a_tenth_of_a_watt_or_where_the_rating_is_too_small(
    ohms: str, rating: str, listed: bool
) -> None:
    """By hand: 28.6 V on 8.1 kohm make 0.101 W, on 8.45 kohm 0.097 W."""
    rows = found(f"  R9: keep, {ohms} kohm {rating}, between B+1 and B+2\n", RUN)
    heat = rows["R9"].heat
    assert heat is not None
    assert heat.watts == pytest.approx(28.6**2 / float(ohms) / 1e3, rel=0.001)
    assert [row.name for row, _ in rows.heating()] == (["R9"] if listed else [])


def test_a_class_that_was_missing_is_of_no_matter_once_the_part_is_out() -> None:
    line = "{state}, was 10 nF 600 V paper, job line to chassis, between line and chassis"
    out, waits = (part("C15: " + line.format(state=state)) for state in ("removed", "to do"))
    assert verdicts.safety_class(out).verdict is Verdict.PUT_RIGHT  # type: ignore[union-attr]
    assert verdicts.safety_class(waits).verdict.is_off  # type: ignore[union-attr]


def test_a_can_that_was_reformed_under_one_log_has_one_curve() -> None:
    can = (
        "C50:\n    sections:\n      a: was 50 uF 350 V electrolytic, between B+1 and B-\n"
        "      b: was 50 uF 350 V electrolytic, between B+2 and B-"
    )
    log = "    log:\n      - 0 min, 5.2 mA\n      - 40 min, 1.1 mA\n      - 180 min, 0.31 mA\n"
    log = f"reforming:\n  C50:\n    to: 350 V\n{log}"
    text = f"maker: A\nmodel: B\nline: 230 V 50 Hz\npower: transformer\nparts:\n  {can}\n{log}"
    examined = makers.examined(text)
    figures = draw(examined.findings["parts"], examined.bench)
    assert [figure.title for figure in figures if "reforming" in figure.name] == [
        "Leakage of C50 a and C50 b while they were reformed"
    ]


def test_a_mica_capacitor_is_drawn_by_both_systems_of_dots() -> None:
    """The first dot of JAN is black for mica; RMA has a third digit in its place (colour codes of the 1940s)."""
    drawn = makers.figures("parts", "parts:\n  C5: was 470 pF, now 470 pF 5 % mica\n")
    dots = {name[-3:]: re.findall(r">([a-z]+)<", figure.svg) for name, figure in drawn.items() if "marks" in name}
    assert dots == {
        "jan": ["black", "yellow", "violet", "red", "gold", "brown"],
        "rma": ["yellow", "violet", "black", "green", "gold", "black"],
    }
