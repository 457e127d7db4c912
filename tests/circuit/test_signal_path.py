"""The way of the signal through sets of every kind, from the jobs that their tubes are written with."""

from __future__ import annotations

import pytest

import makers
from benchleaf.circuit.signal_path.making_path import signal_path_of
from benchleaf.circuit.signal_path.path_stage import Lane, PathStage, SignalPath
from benchleaf.circuit.tube_jobs.read_jobs import jobs_of


def path(text: str) -> SignalPath:
    return signal_path_of(makers.circuit(text))


def tubes(*lines: str) -> str:
    return "tubes:\n" + "".join(f"  V{n}: {line}\n" for n, line in enumerate(lines, 1))


def keys_of(found: SignalPath) -> list[str]:
    return [stage.key for lane in found.of_signal for stage in lane.stages]


def told(stage: PathStage) -> str:
    """``if 2 V4``, ``detector V3 diodes``, ``aerial``."""
    bulbs = (f"{tube.position} {tube.section}".strip() for tube in stage.tubes)
    return " ".join((stage.key, *([str(stage.number)] if stage.number else []), *bulbs))


def in_order(lane: Lane | None) -> list[str]:
    """The stages of a row, with those beside them in brackets."""
    assert lane is not None
    beside = [(at, f"({told(stage)})") for at, stage in lane.beside]
    return [said for n, stage in enumerate(lane.stages) for said in (told(stage), *[b for at, b in beside if at == n])]


@pytest.mark.parametrize(
    ("second", "drawn"), [("12BA6, Zwischenstufe", True), ("12BA6", True), ("12AU6, Zwischenstufe", False)]
)
def test_a_tube_for_radio_frequency_between_converter_and_detector_amplifies_the_intermediate_one(
    second: str, drawn: bool
) -> None:
    """With a word for its job that nobody knows it went missing between the two."""
    lines = ("12BE6, converter", second, "12AV6, detector, AVC and first audio", "50C5, output", "35W4")
    found = path("power: series string\nIF: 455 kHz\n" + tubes(*lines))
    assert ("if" in keys_of(found)) == drawn
    assert "if" not in keys_of(path("power: series string\n" + tubes(*lines[:2], "50C5, output")))


AA5 = "power: series string\nIF: 455 kHz\n" + tubes(
    "12BE6, converter", "12BA6, IF amplifier", "12AV6, det., AVC & 1st AF", "50C5, output", "35W4"
)


def test_a_superheterodyne_of_five_tubes() -> None:
    found = path(AA5)
    assert (found.kind, found.reflex, found.fm) == ("superheterodyne", False, False)
    assert in_order(found.lane("radio")) == [
        "aerial", "converter V1", "(oscillator V1)", "if V2", "detector V3 diodes", "(avc V3 diodes)",
    ]  # fmt: skip
    assert in_order(found.lane("audio")) == ["first audio V3 triode", "output V4", "loudspeaker"]
    assert in_order(found.lane("supply")) == ["line", "rectifier V5", "filter"]
    assert in_order(found.lane("heaters")) == ["heater string"]
    assert found.lane("other") is None
    assert [stage.hands_on for lane in found.of_signal for stage in lane.stages] == [
        "RF", "IF", "IF", "AF", "AF", "AF", "",
    ]  # fmt: skip


def test_a_tuned_radio_frequency_set_with_two_output_tubes() -> None:
    lines = ("24A, RF amplifier", "24A, 2nd RF", "27, detector", "27, phase inverter", "45, output", "45, output", "80")
    found = path("power: transformer\n" + tubes(*lines))
    assert (found.kind, found.reflex) == ("TRF", False)
    assert in_order(found.lane("radio")) == ["aerial", "rf 1 V1", "rf 2 V2", "detector V3"]
    assert in_order(found.lane("audio")) == ["phase splitter V4", "push-pull V5 V6", "loudspeaker"]
    assert in_order(found.lane("supply")) == ["line", "transformer", "rectifier V7", "filter"]
    radio = found.lane("radio")
    assert radio is not None
    assert [stage.hands_on for stage in radio.stages] == ["RF", "RF", "RF", "AF"]


def test_two_output_tubes_of_which_nothing_more_is_said_are_not_called_push_pull() -> None:
    found = path(tubes("6J5, first audio", "6V6, output", "6V6, output"))
    assert in_order(found.lane("audio")) == ["first audio V1", "output V2 V3", "loudspeaker"]


def test_a_reflex_set_passes_the_same_section_twice() -> None:
    found = path(tubes("12SA7, converter", "12SF7, IF and first audio reflex, detector", "50L6, output"))
    assert (found.kind, found.reflex) == ("superheterodyne", True)
    radio, audio = found.lane("radio"), found.lane("audio")
    assert in_order(radio)[-2:] == ["if V2 pentode", "detector V2 diode"]
    assert audio is not None
    assert [(told(stage), stage.again) for stage in audio.stages] == [
        ("first audio V2 pentode", True),
        ("output V3", False),
        ("loudspeaker", False),
    ]


def test_a_regenerative_set_on_batteries() -> None:
    found = path("power: battery\n" + tubes("30, detector with reaction", "30, 1st LF", "33, output"))
    assert found.kind == "regenerative"
    assert in_order(found.lane("radio")) == ["aerial", "regenerative detector V1"]
    assert in_order(found.lane("supply")) == ["batteries"]
    assert in_order(found.lane("heaters")) == ["filaments"]


def test_a_three_way_set_has_line_and_batteries() -> None:
    found = path("power: three-way\n" + tubes("1R5, converter", "1U4, IF", "1U5, det af", "3V4, output", "117Z3"))
    assert in_order(found.lane("supply")) == ["line", "batteries", "rectifier V5", "filter"]
    assert in_order(found.lane("radio"))[-1] == "detector V3 diode"


AM_FM = (
    "power: transformer\nIF: 10.7 MHz\nsecond IF: 455 kHz\nbands:\n  FM: 88-108 MHz\n  AM: 540-1600 kHz\n"
    + tubes(
        "12AT7, FM RF and mixer", "6BE6, AM converter", "6BA6, AM/FM IF", "6AU6, FM 2nd IF, limiter",
        "6AL5, ratio detector", "6AV6, AM detector, AVC, first audio", "6AQ5, output", "6X4, rectifier",
        "EM80, tuning indicator", "12AX7, tape recorder",
    )
)  # fmt: skip


def test_a_set_for_am_and_fm_has_a_row_for_each_and_shares_what_serves_both() -> None:
    found = path(AM_FM)
    assert found.fm
    assert in_order(found.lane("FM radio")) == [
        "aerial", "fm front end V1", "if 1 V3", "if 2 V4", "limiter V4", "ratio detector V5",
    ]  # fmt: skip
    assert in_order(found.lane("AM radio")) == [
        "aerial", "converter V2", "(oscillator V2)", "if V3", "detector V6 diodes", "(avc V6 diodes)",
        "(tuning eye V9)",
    ]  # fmt: skip
    assert in_order(found.lane("audio")) == ["first audio V6 triode", "output V7", "loudspeaker"]


@pytest.mark.parametrize("words", [("1st", "2nd", "3rd"), ("first", "second", "third"), ("1st", "2", "third")])
def test_ordinals_count_in_their_order_whichever_way_they_are_written(words: tuple[str, str, str]) -> None:
    first, second, third = (f"6BA6, {word} IF" for word in words)
    found = path(tubes("6BE6, converter", third, second, first)).lane("radio")
    assert [told.rpartition(" ")[2] for told in in_order(found)[3:6]] == ["V4", "V3", "V2"]


@pytest.mark.parametrize(("v2", "v3"), [("first IF", "IF"), ("IF", "2nd IF"), ("IF", "IF"), ("2nd IF", "1st IF")])
def test_stages_of_a_kind_stand_by_their_numbers_and_else_as_written(v2: str, v3: str) -> None:
    found = path(tubes("6BE6, converter", f"6BA6, {v2}", f"6BA6, {v3}")).lane("radio")
    order = ["if 1 V3", "if 2 V2"] if v2.startswith("2") else ["if 1 V2", "if 2 V3"]
    assert in_order(found)[3:5] == order


def test_words_that_name_no_known_job_stand_by_themselves_as_written() -> None:
    other = path(AM_FM).lane("other")
    assert other is not None
    assert [(told(stage), stage.written) for stage in other.stages] == [("unknown job V10", "tape recorder")]


def test_a_mixer_with_an_oscillator_of_its_own_is_a_converter() -> None:
    """“The steady oscillation of the valve beside it” was said of an octode alone in its set."""
    for type_ in ("AK2", "ECH81"):
        assert "converter" in keys_of(
            path(tubes(f"{type_}, mixer", "AF3, IF amplifier", "ABC1, detector and AF", "AL4, output"))
        )
    beside = path(
        tubes("6J8G, mixer", "6C5, oscillator", "6K7, IF amplifier", "6Q7, detector and audio", "6F6, output")
    )
    assert "mixer" in keys_of(beside)


def test_a_separate_oscillator_stands_beside_its_mixer_and_a_regulator_in_the_supply() -> None:
    lines = (
        "6L7, mixer",
        "6C5, oscillator",
        "6K7, IF",
        "6H6, detector and AVC",
        "6V6, output",
        "5U4G",
        "VR150, voltage regulator",
    )
    found = path("power: transformer\n" + tubes(*lines))
    assert in_order(found.lane("radio")) == [
        "aerial", "mixer V1", "(oscillator V2)", "if V3", "detector V4", "(avc V4)",
    ]  # fmt: skip
    assert in_order(found.lane("supply"))[-3:] == ["rectifier V6", "filter", "regulator V7"]


def test_a_triode_hexode_oscillates_in_its_triode() -> None:
    assert in_order(path(tubes("UCH42, frequency changer", "UF41, IF")).lane("radio"))[1:3] == [
        "converter V1 mixer",
        "(oscillator V1 oscillator triode)",
    ]


@pytest.mark.parametrize(
    ("more", "supply", "heaters"),
    [
        (
            "power: vibrator\n",
            ["batteries", "vibrator", "transformer", "rectifier V2", "filter"],
            [],
        ),
        ("power: series string\nheaters:\n  dropper: resistance cord 155 ohm\n  pilot lamp: 47\n",
         ["line", "rectifier V2", "filter"], ["resistance cord", "heater string", "pilot lamp"]),
        ("power: series string\nheaters:\n  dropper: ballast 49 V\n",
         ["line", "rectifier V2", "filter"], ["ballast", "heater string"]),
        ("power: series string\nparts:\n  D1: now selenium, job rectifier\n",
         ["line", "selenium rectifier", "filter"], ["heater string"]),
        ("power: series string\nparts:\n  C1: 40 uF 150 V electrolytic, job voltage doubler\n",
         ["line", "doubler V2", "filter"], ["heater string"]),
        ("", ["rectifier V2", "filter"], []),
    ],
    ids=["vibrator", "cord", "ballast", "selenium", "doubler", "nothing said"],
)  # fmt: skip
def test_what_feeds_the_set(more: str, supply: list[str], heaters: list[str]) -> None:
    found = path(more + tubes("50L6, output", "25Z6, rectifier"))
    assert in_order(found.lane("supply")) == supply
    assert (in_order(found.lane("heaters")) if found.lane("heaters") else []) == heaters


def test_what_must_be_there_and_is_not_written_is_a_gap_and_no_guess() -> None:
    found = path(tubes("6K7, IF", "6F6, output"))
    assert in_order(found.lane("radio")) == ["aerial", "untold", "if V1", "untold"]


@pytest.mark.parametrize("job", ["f/c", "F/C", "f/ch", "frequency changer"])
def test_a_frequency_changer_whose_type_is_in_no_table_is_in_its_place(job: str) -> None:
    """“f/c” was cut at its stroke, and “no valve is written for it” told of a set with one."""
    found = path(tubes(f"TH44X, {job}", "6K7, IF", "6Q7, det/AVC", "6F6, o/p"))
    said = in_order(found.lane("radio"))
    assert said[:2] == ["aerial", "converter V1"]
    assert not any(one.startswith("untold") for one in said)
    assert found.lane("other") is None


def test_a_gap_that_a_tube_of_unknown_job_may_fill_is_told_as_that() -> None:
    found = path(tubes("TH44X, wobbler", "6K7, IF", "6Q7, detector", "6F6, output"))
    assert in_order(found.lane("radio"))[:3] == ["aerial", "untold beside unknown", "if V2"]


def test_a_crystal_diode_of_the_parts_list_detects() -> None:
    found = path(tubes("6BA6, IF", "6AQ5, output") + "parts:\n  D1: keep, job detector\n")
    radio = found.lane("radio")
    assert radio is not None
    assert (radio.stages[-1].key, radio.stages[-1].parts) == ("detector", ("D1",))


def test_a_set_whose_jobs_are_not_written_tells_none() -> None:
    assert not path(tubes("12BE6", "50C5")).told
    assert path(AA5).told
    assert not path("").lanes


@pytest.mark.parametrize(
    ("written", "keys", "unread"),
    [
        ("1st det & osc", ["converter"], ()),
        ("mixer/oscillator", ["converter"], ()),
        ("Frequency changer", ["converter"], ()),
        ("2nd I.F.", ["if"], ()),
        ("first and second audio", ["first audio", "audio"], ()),
        ("det/1st audio", ["detector", "first audio"], ()),
        ("RF, IF and AF reflex", ["rf", "if", "first audio"], ()),
        ("detector, regenerative", ["regenerative detector"], ()),
        ("phase inverter, tremolo oscillator", ["phase splitter"], ("tremolo oscillator",)),
        ("first audio, other half unused", ["first audio"], ()),
        ("IF and something odd", ["if"], ("something odd",)),
        ("push-pull out", ["output"], ()),
        ("end valve", ["output"], ()),
        ("octode", ["converter"], ()),
        ("detection & 1st AF", ["detector", "first audio"], ()),
        ("power output (push-pull)", ["output"], ()),
        ("B+ rectifier, voltage doubler", ["rectifier", "doubler"], ()),
        ("odd one", [], ("odd one",)),
    ],
)
def test_jobs_are_read_as_the_trade_writes_them(written: str, keys: list[str], unread: tuple[str, ...]) -> None:
    found = jobs_of(written, None)
    assert [job.key for job in found.jobs] == keys
    assert found.unread == unread


@pytest.mark.parametrize(
    ("type_", "keys"),
    [("35W4", ["rectifier"]), ("12BE6", ["converter"]), ("50C5", ["output"]), ("EM80", ["tuning eye"]), ("12AV6", [])],
)
def test_a_type_with_one_use_needs_no_word(type_: str, keys: list[str]) -> None:
    found = jobs_of("", makers.known(type_))
    assert ([job.key for job in found.jobs], found.by_type) == (keys, bool(keys))
