"""What readings suggest: the causes that make all signs of a tube or rail, told together where several do alike."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from .comparison import ComparedRun
from .evidence import Evidence, evidence_of
from .judging import LOW, OUTSIDE
from .ranked_causes import MOST_CAUSES
from .rules import COMMON, FIRST, RANKS, RARE, SOURCES, Rule, rules
from .signs import Signs, signs

if TYPE_CHECKING:
    from ..bench import Bench


MORE_TO_READ = "more to read"
"""The rule of a suggestion that names no cause, but what would tell many apart."""

BESIDE_EACH_OTHER = 2
_COMMON_PRACTICE = SOURCES["practice"]
_ELECTRODES = ("grid", "cathode", "screen", "plate")


@dataclass(frozen=True, slots=True)
class Alike:
    """Another cause that makes the same readings: its rule, fault and part, and the words for it."""

    rule: str
    fault: str
    part: str | None
    cause: str


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A likely cause for one tube's readings in one run, and the measurement that would settle it.

    ``part`` is the suspect where the record names it, ``alike`` are the other causes that make the same readings;
    ``cause`` names them all. ``section`` is the tube's, where it is not the first. ``settled`` says that a later run
    finds these readings in order, ``tried`` that every fault was tried there, and what that comes to is told instead.
    """

    tube: str
    cause: str
    next: str
    source: str
    run: str
    rule: str
    part: str | None = None
    settled: bool = False
    fault: str = ""
    alike: tuple[Alike, ...] = ()
    section: str = field(default="")
    tried: bool = False

    @property
    def parts(self) -> tuple[str, ...]:
        """All suspects that the record names, each once."""
        return tuple(dict.fromkeys(part for part in (self.part, *(a.part for a in self.alike)) if part))


@dataclass(frozen=True, slots=True)
class _Fitting:
    """One evidence with its signs and the rules that fit them, of the best rank that has any."""

    evidence: Evidence
    shown: Signs
    rules: tuple[Rule, ...]

    @property
    def of_stage(self) -> bool:
        return any(rule.of_stage for rule in self.rules)

    @property
    def heavy(self) -> bool:
        """Whether a cause that fits makes the tube draw too much; a screen does whose plate gets nothing."""
        starved = self.shown.plate == "dead" and self.shown.screen not in ("", "dead")
        return any(rule.of_stage and (rule.current == "up" or starved) for rule in self.rules)

    @property
    def light(self) -> bool:
        """Whether a cause that fits makes the tube draw too little."""
        return any(rule.of_stage and rule.current in ("down", "none") for rule in self.rules)


def _resistor(kind: str) -> Callable[[Evidence], str | None]:
    def named(evidence: Evidence) -> str | None:
        part = evidence.resistor(kind)
        return part.part if part else None

    return named


def _coupling(evidence: Evidence) -> str | None:
    return evidence.coupling.element.name if evidence.coupling else None


_PARTS: Mapping[str, Callable[[Evidence], str | None]] = {
    "": lambda evidence: None,
    "coupling": _coupling,
    "coupling from here": lambda evidence: evidence.coupling_onward.element.name if evidence.coupling_onward else None,
    "plate capacitor": lambda evidence: evidence.plate_capacitor,
    **{f"{kind} resistor": _resistor(kind) for kind in ("plate", "screen", "cathode", "grid", "rail", "osc plate")},
    "plate bypass": lambda evidence: evidence.bypass("plate"),
    "screen bypass": lambda evidence: evidence.bypass("screen"),
    "cathode bypass": lambda evidence: evidence.bypass("cathode"),
    "rail capacitor": lambda evidence: evidence.bypass("rail"),
}


def suggestions(found: Sequence[ComparedRun], bench: Bench) -> tuple[Suggestion, ...]:
    """The causes that each run's readings suggest, at most three for a run, the runs in their order."""
    raised = [tuple(_of_run(one, bench))[:MOST_CAUSES] for one in found]
    told = []
    for n, of_run in enumerate(raised):
        for suggestion in of_run:
            settled = _settled(suggestion, found[n], list(zip(found, raised, strict=True))[n + 1 :])
            told.append(replace(suggestion, settled=settled))
    return tuple(told)


def _of_run(one: ComparedRun, bench: Bench) -> Iterator[Suggestion]:
    """The run's causes: B+ first, then what all stages share before what each has; what to read comes last."""
    fitting = list(_with_the_set(_fitting(evidence) for evidence in evidence_of(one, bench)))
    fitting.sort(key=lambda of_tube: not any(rule.rank == FIRST for rule in of_tube.rules))
    low = [of_tube for of_tube in fitting if of_tube.shown.whole == LOW and not of_tube.evidence.rail]
    if len({of_tube.evidence.tube for of_tube in low}) > 1 and not any(map(_tells_of_it, fitting)):
        yield _low_together([of_tube.evidence for of_tube in low], bench)
        fitting = [of_tube for of_tube in fitting if of_tube not in low]
    told = [suggestion for of_tube in fitting for suggestion in _told(of_tube, bench)]
    yield from sorted(told, key=lambda suggestion: suggestion.rule == MORE_TO_READ)


def _fitting(evidence: Evidence) -> _Fitting:
    shown = signs(evidence)
    return _Fitting(evidence, shown, _best([rule for rule in rules() if rule.fits(evidence, shown)]))


def _best(fitting: Sequence[Rule]) -> tuple[Rule, ...]:
    """The rules that fit, of the first rank that has one, and a rare one beside one that is common.

    What a rectifier or oscillator does comes before what a stage does.
    """
    if others := tuple(rule for rule in fitting if not rule.of_stage):
        return others
    by_rank = {rank: [rule for rule in fitting if rule.rank == rank] for rank in RANKS}
    best = next(filter(None, by_rank.values()), [])
    both = best + by_rank[RARE]
    return tuple(both if best is by_rank[COMMON] and len(both) <= BESIDE_EACH_OTHER else best)


def _with_the_set(fitting: Iterable[_Fitting]) -> Iterator[_Fitting]:
    """Every evidence once more, now that it is known of the others whether they draw too much or too little."""
    held = list(fitting)
    for one in held:
        others = [other for other in held if other.evidence.tube != one.evidence.tube]
        heavy, light = any(o.heavy for o in others), any(o.light for o in others)
        yield _fitting(replace(one.evidence, heavy=heavy, light=light)) if heavy or light else one


def _tells_of_it(one: _Fitting) -> bool:
    """Whether a rail, a rectifier or a tube that draws too much tells why the tubes behind it are low."""
    rail_low = not one.of_stage and LOW in (one.evidence.state("rail"), one.evidence.state("cathode"))
    return bool(one.rules) and (rail_low or one.heavy)


def _low_together(low: Sequence[Evidence], bench: Bench) -> Suggestion:
    names = list(dict.fromkeys(evidence.tube for evidence in low))
    rail = (
        "the rail that feeds them"
        if low[0].b_plus_verdict
        else (f"the {bench.words.line}, then {bench.words.b_plus} at the rectifier")
    )
    return Suggestion(
        names[0],
        f"{', '.join(names[:-1])} and {names[-1]} are low alike: less than meant reaches all of them",
        f"read {rail}",
        _COMMON_PRACTICE,
        low[0].run,
        "low together",
    )


def _told(one: _Fitting, bench: Bench) -> Iterator[Suggestion]:
    """What is said of a tube or rail: one cause, up to three that are alike, or what to read before any is named."""
    named = one.rules
    if not one.of_stage:
        yield from (_suggestion((rule,), one.evidence, bench) for rule in named)
    elif len(named) > MOST_CAUSES:
        yield from _more_to_read(one, bench)
    elif named:
        yield _suggestion(named, one.evidence, bench)


def _suggestion(named: Sequence[Rule], evidence: Evidence, bench: Bench) -> Suggestion:
    first, *others = (_words(rule, evidence, bench) for rule in named)
    alike = tuple(Alike(r.name, r.fault, part, cause) for r, (part, cause, _) in zip(named[1:], others, strict=True))
    cause = first[1]
    if alike:
        cause = f"{', '.join([cause, *(a.cause for a in alike[:-1])])}, or {alike[-1].cause}; these readings fit "
        cause += "both" if len(alike) == 1 else "all of them"
    elif named[0].why:
        cause = f"{cause}: {named[0].why.format(**bench.words.by_name())}"
    return Suggestion(
        evidence.tube,
        cause,
        _then([first[2], *(then for _, _, then in others)], bench),
        named[0].source,
        evidence.run,
        named[0].name,
        first[0],
        fault=named[0].fault,
        alike=alike,
        section=evidence.stage.section if evidence.section and evidence.stage else "",
    )


def _words(rule: Rule, evidence: Evidence, bench: Bench) -> tuple[str | None, str, str]:
    """The part that a rule suspects, its cause and its next measurement in words."""
    words, part = bench.words.by_name(), _PARTS[rule.part](evidence)
    words["part"] = part or rule.otherwise.format(**words)
    return part, rule.cause.format(**words), rule.next.format(**words)


def _then(steps: Iterable[str], bench: Bench) -> str:
    """The next measurements in their order, with the power switched off once."""
    ways = (f"power off and {bench.words.filter_capacitors} discharged: ", "power off: ", "switch off; ")
    told: list[str] = []
    for step in steps:
        off = next((way for way in ways if step.startswith(way)), "")
        before = bool(off) and any(way in " ".join(told) for way in ways)
        told.append(step.removeprefix(off) if before else step)
    return "; then ".join(dict.fromkeys(told))


def _more_to_read(one: _Fitting, bench: Bench) -> Iterator[Suggestion]:
    """More causes fit than help: what of the stage was not read and would tell them apart."""
    stage = one.evidence.stage
    there = {
        "grid": bool(stage and stage.grids),
        "cathode": bool(stage and stage.cathode),
        "screen": bool(stage and stage.screens),
        "plate": bool(stage and stage.plates),
    }
    words = {"screen": bench.words.screen, "plate": bench.words.plate}
    missing = [words.get(name, name) for name in _ELECTRODES if there[name] and name not in one.shown.known]
    if not missing:
        return
    yield Suggestion(
        one.evidence.tube,
        "more causes fit these readings than can be told apart",
        f"read {' and '.join([', '.join(missing[:-1]), missing[-1]] if missing[:-1] else missing)} here too",
        _COMMON_PRACTICE,
        one.evidence.run,
        MORE_TO_READ,
    )


def _settled(
    suggestion: Suggestion, found: ComparedRun, later: Iterable[tuple[ComparedRun, Sequence[Suggestion]]]
) -> bool:
    """Whether a later run reads every place that was off in this one, finds it in order and has no such suggestion."""
    off = {row.spot.identity for row in found.rows if row.tube == suggestion.tube and row.verdict in OUTSIDE}
    for one, raised in later:
        read = {r.spot.identity: r for r in one.rows if r.tube == suggestion.tube and r.measured_qualifier}
        again = any((s.tube, s.rule) == (suggestion.tube, suggestion.rule) for s in raised)
        if read and off <= read.keys() and not again and all(read[place].verdict not in OUTSIDE for place in off):
            return True
    return False
