"""An alignment's steps, order, feeds and curves; what is remarked on and never refused."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.alignment.for_the_bench import alignment_sheet
from benchleaf.chapters.alignment.wording import session_in_short
from benchleaf.record import read_record
from benchleaf.record.remarks import remarks_of
from benchleaf.report.sentence import text_of
from benchleaf.words import BRITISH
from markup import words_of

BOTH = "IF: 455 kHz, FM 10.7 MHz\nbands:\n  MW: 540-1620 kHz\n  FM: 88-108 MHz\naerial: a wire\n"
HEAD = "alignment:\n  - meter: AVC\n    steps:\n"
CURVES = """    response before: 445 kHz -12 dB, 455 kHz 0 dB, 465 kHz -12 dB
    response: 445 kHz -15 dB, 450 kHz -3 dB, 455 kHz 0 dB, 460 kHz -3 dB, 465 kHz -15 dB
    S-curve: 10.6 MHz -2 V, 10.7 MHz 0 V, 10.8 MHz 1.6 V
"""


def steps(*lines: str) -> str:
    return BOTH + HEAD + "".join(f"      - {line}\n" for line in lines)


def remarks(text: str) -> list[str]:
    made, problems = read_record((makers.SET + text).encode(), "record.yml")
    assert made is not None
    assert problems == []
    return [remark.said for remark in remarks_of(made, "record.yml")]


def set_by(line: str) -> tuple[str, bool, str, str]:
    step = makers.findings("alignment", makers.record(steps(line))).sessions[0].steps[0]
    return step.sets, step.fm, step.aim, step.band


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("455 kHz, cans for maximum", ("IF", False, "maximum", "")),
        ("456 kHz, wave trap for minimum", ("trap", False, "minimum", "")),
        ("1600 kHz, osc trimmer", ("oscillator", False, "", "MW")),
        ("600 kHz, padder, rock the dial", ("oscillator", False, "", "MW")),
        ("1400 kHz, antenna trimmer peaked", ("aerial", False, "maximum", "MW")),
        ("10.7 MHz, limiter can for max", ("IF", True, "maximum", "")),
        ("10.7 MHz, ratio detector secondary for zero", ("detector", True, "zero", "")),
        ("10.7 MHz, discriminator primary", ("detector", True, "", "")),
        ("98 MHz, oscillator core", ("oscillator", True, "", "FM")),
        ("1000 kHz, looked at it", ("", False, "", "MW")),
    ],
)
def test_what_a_step_sets(line: str, told: tuple[str, bool, str, str]) -> None:
    assert set_by(line) == told


@pytest.mark.parametrize(("line", "what"), [("350 kHz, cans", "IF"), ("349 kHz, cans", ""), ("424 kHz, cans", "")])
def test_a_step_a_tenth_below_the_if_is_still_one_of_that_chain(line: str, what: str) -> None:
    """385 kHz / 1.1 = 350 kHz; 385 kHz x 1.1 = 423.5 kHz."""
    text = steps(line).replace("IF: 455 kHz", "IF: 385 kHz")
    assert makers.findings("alignment", makers.record(text)).sessions[0].steps[0].sets == what


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        ("457 kHz", "460 kHz", "cores: 457 kHz → 460 kHz. Read at output voltage"),
        ("0.4 V", "0.8 V", "cores: output voltage 0.4 V → 0.8 V, +6.0 dB"),
    ],
)
def test_a_frequency_before_and_after_is_nothing_that_the_output_meter_read(before: str, after: str, told: str) -> None:
    """“Output voltage 457 kHz → 460 kHz” was told of the day."""
    step = f"frequency: 460 kHz\n        adjust: cores\n        before: {before}\n        after: {after}\n"
    text = f"alignment:\n  - meter: output voltage\n    steps:\n      - {step}"
    session = makers.findings("alignment", makers.record(text)).sessions[0]
    assert told in makers.plain(text_of(session_in_short(session)))


def test_a_detector_set_to_zero_gained_nothing() -> None:
    step = makers.findings(
        "alignment", makers.record(steps("10.7 MHz, secondary for zero, before 0.6 V, after 0.1 V"))
    ).sessions[0].steps[0]  # fmt: skip
    assert step.gain_db is None


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (["455 kHz, cans", "1600 kHz, osc", "1400 kHz, aerial trimmer"], 0),
        (["1600 kHz, osc", "455 kHz, cans"], 1),
        (["1600 kHz, osc", "455 kHz, cans", "1600 kHz, osc again"], 0),
        (["98 MHz, osc", "455 kHz, cans"], 0),
        (["1400 kHz, aerial trimmer", "1600 kHz, osc"], 1),
        (["1400 kHz, aerial trimmer", "1600 kHz, osc", "1400 kHz, aerial trimmer again"], 0),
    ],
)
def test_steps_that_undo_others_are_said_and_not_refused(lines: list[str], told: int) -> None:
    found = [s for s in makers.standouts("alignment", makers.record(steps(*lines))) if "Alignment at" in s.text]
    assert len(found) == told


def test_a_frequency_of_no_band_a_step_unread_and_days_that_go_backwards_are_remarked_on() -> None:
    assert remarks(steps("1900 kHz, aerial trimmer")) == [
        "“1900 kHz” lies in no band of this set (MW 540-1620 kHz, FM 88-108 MHz), nor near its IF: is it right?"
    ]
    assert remarks(steps("1650 kHz, aerial trimmer", "455 kHz, cans", "10.7 MHz, cans")) == []
    assert remarks(BOTH + "alignment:\n  - steps:\n      - 455 kHz, cans\n") == [
        "“455 kHz” has no indication: say what was watched, such as “meter AVC”, or read before and after"
    ]
    days = "came in: 2026-02-01\nalignment:\n  - date: 2026-03-02\n  - date: 2026-03-01\n  - date: 2026-01-01\n"
    assert remarks(days) == [
        "“2026-03-01” is before 2026-03-02, the day of the alignment above it",
        "“2026-01-01” is before 2026-03-02, the day of the alignment above it",
    ]


@pytest.mark.parametrize(
    ("aerial", "fed", "told"),
    [
        ("a wire", "through 200 pF", ""),
        ("a wire", "through 220 pF", ""),
        ("a wire", "through 0.01 uF", "set through 10 nF; what stands for an antenna there is 200 pF"),
        ("a wire", "through 400 ohm", "set through 400 Ω; what stands for an antenna there is 200 pF"),
        ("a wire", "through a standard dummy antenna", ""),
        ("loop in the back", "through 200 pF", "set through 200 pF, and this set’s loop takes no dummy antenna"),
        ("loop and a socket for a wire", "through 0.01 uF", ""),
    ],
)
def test_what_stood_for_an_aerial(aerial: str, fed: str, told: str) -> None:
    text = steps(f"1400 kHz, aerial trimmer, into the socket {fed}").replace("a wire", aerial)
    shown = words_of(makers.page("alignment", makers.record(text)))
    assert (told in shown) if told else ("set through" not in shown)
    assert fed.removeprefix("through ").split()[0] in shown


def test_the_response_and_the_detector_are_worked_out_and_drawn() -> None:
    made = makers.record(steps("455 kHz, cans") + CURVES)
    session = makers.findings("alignment", made).sessions[0]
    assert session.response is not None
    assert session.response.width_at_3_db_hertz == pytest.approx(10e3)
    assert session.response.width_at_6_db_hertz == pytest.approx(12.5e3)
    assert session.response.q_factor == pytest.approx(45.5)
    assert session.s_curve is not None
    assert (session.s_curve.zero_hertz, session.s_curve.width_hertz) == (10.7e6, 200e3)
    shown = makers.plain(words_of(makers.page("alignment", made)))
    assert "10 kHz wide at −3 dB (before: 5 kHz) and 13 kHz wide at −6 dB (before: 10 kHz)" in shown
    assert "its middle is at the IF, its sides even. As wide as one circuit of Q 46." in shown
    assert "peaks 200 kHz apart, the smaller 80 % of the other" in shown


def test_points_that_come_to_nothing_are_shown_and_said_to() -> None:
    text = (
        steps("455 kHz, cans") + "    response: 450 kHz -3 dB, 455 kHz 1 V\n    S-curve: 10.6 MHz 1 V, 10.7 MHz 2 V\n"
    )
    shown = words_of(makers.page("alignment", makers.record(text)))
    assert "not all of one kind" in shown
    assert "do not pass through zero" in shown
    assert "450 kHz" in shown


def test_the_bench_sheet_has_the_steps_that_were_done_or_are_asked_for() -> None:
    done = makers.bench(steps("455 kHz, cans, into V1 g3 through 0.1 uF"))
    sheet = alignment_sheet(makers.findings("alignment", done.record), done)
    assert sheet is not None
    assert [(line.frequency, line.adjust, makers.plain(line.through)) for line in sheet.lines] == [
        ("455 kHz", "cans", "into V1 g3 through 0.1 µF")
    ]
    assert (sheet.from_record, sheet.read_at) == (True, "AVC")
    new = makers.bench(BOTH + "gang: slug tuned\n", words=BRITISH)
    asked = alignment_sheet(makers.findings("alignment", new.record), new)
    assert asked is not None
    said = [f"{line.frequency} {line.adjust}" for line in asked.lines]
    assert makers.plain(said[0]) == "455 kHz IF circuits for maximum, from the detector backwards"
    assert makers.plain(said[3]) == "10.7 MHz FM detector: secondary for zero"
    assert [line for line in said if "aerial core" in line]
    assert "antenna" not in " ".join(f"{line.adjust} {line.through}" for line in asked.lines)
    finished = makers.bench(BOTH + "state: finished\n")
    assert alignment_sheet(makers.findings("alignment", finished.record), finished) is None


def test_a_live_chassis_has_its_caution_and_a_transformer_set_none() -> None:
    live = "power: series string\nline: 120 V 60 Hz\nchassis: line-connected\n" + steps("455 kHz, cans")
    assert "makes a short circuit" in words_of(makers.page("alignment", makers.record(live)))
    safe = live.replace("series string", "transformer").replace("line-connected", "isolated")
    assert "makes a short circuit" not in words_of(makers.page("alignment", makers.record(safe)))


def test_what_was_fed_in_has_a_page_where_the_record_has_no_room_for_it() -> None:
    text = "alignment:\n  - meter: AVC\n    steps:\n      - 455 kHz, cans, into V1 grid through 0.1 uF\n"
    assert makers.digest("alignment", text).working
    assert not makers.digest("alignment", text.replace(", into V1 grid through 0.1 uF", "")).working
    assert text_of(makers.digest("alignment", text).conclusion)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("into V1 grid", "Generator into V1 grid"),
        ("aerial socket, through 200 pF", "Generator: aerial socket, through 200 pF"),
    ],
)
def test_a_generator_without_an_into_is_no_run_on(written: str, said: str) -> None:
    (session,) = makers.found(
        "alignment", f"alignment:\n  - generator: {written}\n    steps: [455 kHz T1 for maximum]\n"
    ).sessions
    assert said in makers.plain(text_of(session_in_short(session)))


def test_a_generators_level_for_one_output_gains_where_it_falls() -> None:
    """By hand: 1.8 mV to 0.9 mV for the same 50 mW is 20 log 2 = 6.0 dB more; 0.8 to 0.9 mV is 1.0 dB less."""
    step = "      - 465 kHz, IFT2 for max, before {}, after 0.9 mV for 50 mW\n"
    on = makers.bench(f"IF: 465 kHz\nalignment:\n  - steps:\n{step.format('1.8 mV')}{step.format('0.8 mV')}")
    found = makers.found("alignment", on)
    gained = [one.gain_db for one in found.sessions[0].steps]
    assert gained == [pytest.approx(6.02, abs=0.01), pytest.approx(-1.02, abs=0.01)]
    told = text_of(session_in_short(found.sessions[0]))
    assert "generator 1.8\u202fmV → 0.9\u202fmV for 50\u202fmW, +6.0\u202fdB" in told
    (odd,) = [one.text for one in makers.standouts("alignment", on.record) if "maximum" in one.text]
    assert "the generator had to rise by 1.0\u202fdB although it was adjusted for maximum" in odd
