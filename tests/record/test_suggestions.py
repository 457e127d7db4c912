"""The nearest right word is right or absent: no usual slip of any word leads to its opposite or to another thing."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest

import makers
from benchleaf.circuit.names.tubes import _like
from benchleaf.record.forms import Form
from benchleaf.record.model import Record
from benchleaf.record.problems import did_you_mean, nearest
from benchleaf.record.sections.line_side import TOUCHABLE_PARTS, Fuse
from benchleaf.record.sections.line_side_words import PLUGS, SWITCH_LEADS
from benchleaf.record.sections.parts import Component, Part
from benchleaf.tubes.lookup import all_types
from benchleaf.tubes.tube_table import PACKAGE_TABLE
from benchleaf.words import BRITISH
from sites import REPO

VOCABULARIES = {
    "part": (Part.FORM or Form()).vocabulary,
    "component": (Component.FORM or Form()).vocabulary,
    "fuse": (Fuse.FORM or Form()).vocabulary,
    "plugs": (*PLUGS, "polarised", "polarized", "two-pin polarized"),
    "switches": (*SWITCH_LEADS, "none"),
    "touchable": TOUCHABLE_PARTS,
    "record": tuple(Record.names()),
}
DOCUMENTED = re.findall(r"`([A-Za-z][\w +-]{2,30})`", (REPO / "site_src/writing/record.md").read_text(encoding="utf-8"))
SHARE = 12
"""One word in so many is tried in the ordinary run."""
OPPOSITE = {
    frozenset(pair)
    for pair in (("open", "shorted"), ("low", "high"), ("was", "now"), ("before", "after"), ("hot lead", "B- lead"))
}


def slips(word: str) -> Iterator[str]:
    """A letter left out, doubled, changed about with its neighbour, and one beside it."""
    for at, letter in enumerate(word):
        yield word[:at] + word[at + 1 :]
        yield word[:at] + letter + word[at:]
        yield word[:at] + word[at : at + 2][::-1] + word[at + 2 :]


@pytest.mark.parametrize("vocabulary", VOCABULARIES.values(), ids=VOCABULARIES)
def test_no_slip_leads_to_another_thing(vocabulary: tuple[str, ...], sampled: Callable[[int], int]) -> None:
    words = sorted({*DOCUMENTED, *vocabulary})
    for word in words[:: sampled(SHARE)]:
        for slip in slips(word):
            near = nearest(slip, vocabulary)
            if near is None:
                continue
            assert frozenset((word, near)) not in OPPOSITE, (slip, near)
            assert re.findall(r"\d+", slip) in ([], re.findall(r"\d+", near)) or not re.search(r"\d", near), (
                slip,
                near,
            )


@pytest.mark.parametrize(
    ("word", "known"),
    [
        ("non polarized", ("polarized", "two-pin polarised")),
        ("unpolarised", ("polarised",)),
        ("transformerless", ("transformer", "autotransformer")),
        ("B+3", ("B+1", "B+2")),
        ("B+", ("B-",)),
        ("C7", ("C1", "C70")),
        ("V9 grid", ("V4 grid",)),
        ("not leaky", ("leaky",)),
        ("cold lead", ("hot lead",)),
    ],
)
def test_the_opposite_and_the_neighbour_are_never_offered(word: str, known: tuple[str, ...]) -> None:
    assert did_you_mean(word, known) == ""


def test_a_slip_of_a_type_leads_to_no_other_heater_and_no_other_kind() -> None:
    for type_ in all_types()[::40]:
        meant = makers.known(type_)
        for slip in {slip for slip in slips(type_) if PACKAGE_TABLE.find(slip) is None}:
            for near in re.findall(r"“(.+?)”", _like(slip, PACKAGE_TABLE)):
                found = makers.known(near)
                assert (meant.heater.volts, meant.role) == (found.heater.volts, found.role), (type_, slip, near)


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("parts:\n  C6:\n    between: volume\n", "“V3 anode and HT2”"),
        ("line side:\n  after:\n    fuse: 1 A\n    switch: somewhere\n", "“live lead”"),
    ],
)
def test_what_a_british_site_is_shown_is_british_and_is_read(entry: str, said: str) -> None:
    told = [problem.in_dialect(BRITISH) for problem in makers.refused(f"{makers.SET}{entry}")]
    assert [problem for problem in told if said in problem.expected]
    shown = (
        "parts:\n  C6: 10 nF, V3 anode to HT2\nline side:\n  after:\n    fuse: 1 A, live lead\n    switch: live lead\n"
    )
    assert makers.record(f"{makers.SET}{shown}").line_side.after.switch == "hot lead"
