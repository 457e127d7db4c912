"""What follows from the line side as written: every state before and after, and what stands between hand and line."""

from __future__ import annotations

from dataclasses import dataclass, field

from ...electrics.insulation import INSULATION_OHMS
from ...electrics.safety_capacitors import BRIDGING_SOURCE, CLASSES_SOURCE
from ...words import Words
from .fuse import FuseFindings
from .fuse_place import goes_either_way
from .inspection import Check
from .line_and_load import SetLoad
from .measured import MOST_STRAY_FARADS, NEUTRAL_RISE, MeasuredInsulation, MeasuredTouch
from .ohmmeter import OhmmeterReading
from .one_change import Reach, TriedChange
from .path import CurrentPath
from .pulled_plug import PulledPlug
from .shown import ConditionRow, Hands, hands_of
from .side import StateFindings
from .state_rows import SameStates, state_rows
from .states import TouchState
from .steps import WorkStep, say_resistance
from .verdicts import LimitVerdict
from .wording import fault_words, margin_words, milliamps, part_words, plug_words, position_words
from .worst_case import Margin

NARROW_WIDTH = 620


@dataclass(frozen=True)
class LineSideFindings:
    """Everything computed about the line side. ``limit_kind`` is ``peak``, ``rms`` or ``dc``.
    ``before`` and ``after`` are None where the record does not describe them, or no line is known; ``missing`` says
    what would have to be written. ``verdicts`` are those of each standard; ``reach`` is the worst of the present state,
    ``one_change`` what each further change would make of it; ``steps`` are the work in order.
    """

    limit_amps: float | None
    limit_kind: str
    limit_source: str
    limit_standard: str
    limit_confidence: str
    line_volts: float | None
    line_hertz: float | None
    load_ohms: float | None
    load_source: str
    before: StateFindings | None
    after: StateFindings | None
    measured: tuple[MeasuredTouch, ...]
    insulation: tuple[MeasuredInsulation, ...]
    checks: tuple[Check, ...]
    missing: tuple[str, ...]
    verdicts: tuple[LimitVerdict, ...] = ()
    reach: Reach | None = None
    one_change: tuple[TriedChange, ...] = ()
    fuse: FuseFindings | None = None
    steps: tuple[WorkStep, ...] = ()
    high_line_volts: float | None = None
    limit_published: bool = field(default=True, metadata={"json": False})
    limit_note: str = field(default="", metadata={"json": False})
    load: SetLoad = field(default=SetLoad(), metadata={"json": False})
    rows: tuple[ConditionRow, ...] = field(default=(), metadata={"json": False})
    fuse_place: str = field(default="", metadata={"json": False})
    no_worse: tuple[str, ...] = field(default=(), metadata={"json": False})
    pulled_plug: PulledPlug | None = None
    note: str = field(default="", metadata={"json": False})
    path: CurrentPath | None = field(default=None, metadata={"json": False})

    @property
    def now(self) -> StateFindings | None:
        """The state the set is in: after the work where that is written."""
        return self.after or self.before

    @property
    def rows_by_fault(self) -> tuple[tuple[str, tuple[SameStates, ...]], ...]:
        """Every state with its counterpart before and after, under the name of its fault, in the order computed."""
        before, after = (side.states if side else () for side in (self.before, self.after))
        return tuple(state_rows(before, after).items())

    @property
    def classes_source(self) -> str:
        """Where the classes of capacitors are from."""
        return CLASSES_SOURCE

    @property
    def bridging_source(self) -> str:
        """Where it is from which of them may stand between the line and a hand."""
        return BRIDGING_SOURCE

    @property
    def narrow_width(self) -> int:
        """CSS pixels up to which two drawings stand side by side."""
        return NARROW_WIDTH

    @property
    def hands(self) -> tuple[Hands, ...]:
        """Every two parts of the present state, from hand to hand."""
        return hands_of(self.now.between) if self.now else ()

    @property
    def socket_names(self) -> tuple[str, ...]:
        """The parts behind components, of either state."""
        sides = (self.before, self.after)
        return tuple(dict.fromkeys(name for side in sides if side for name in side.sockets))

    def fault_words(self, fault: str, words: Words) -> str:
        """A fault's short name as the page says it."""
        return fault_words(fault, words)

    @property
    def stray_farads(self) -> float | None:
        """What a transformer's primary has to its core at most, in farads; None where no band holds it."""
        strayed = any(beside.strays for m in self.measured if (beside := m.amps or m.volts))
        return MOST_STRAY_FARADS if strayed else None

    @property
    def neutral_rise(self) -> str:
        """What a neutral is above earth at most, in per cent of the line."""
        return f"{100 * NEUTRAL_RISE:g}\u00a0%"

    @property
    def insulation_ohms(self) -> float:
        """What insulation has at least."""
        return INSULATION_OHMS

    def milliamps(self, amps: float | None) -> str:
        """A touch current as the page says it."""
        return milliamps(amps)

    def margin_words(self, margin: Margin) -> str:
        """At what a state that is under the limit as written would be over it, as the page says it."""
        return margin_words(margin)

    def say_resistance(self, reading: OhmmeterReading) -> str:
        """What an ohmmeter should show, as the page says it."""
        return say_resistance(reading)

    def part_words(self, part: str, words: Words) -> str:
        """A part's name as the page says it."""
        return part_words(part, words)

    @property
    def either_way(self) -> bool:
        """Whether the plug goes either way, before the work and after it."""
        return all(goes_either_way(side.described) for side in (self.before, self.after) if side)

    def plug_words(self, plug: str) -> str:
        """Which way the plug is in, as the page says it."""
        return plug_words(plug, either_way=self.either_way)

    def agreeing_words(self, touch: MeasuredTouch) -> str:
        """``agrees``, with what the record does not say of its position where only one fits."""
        plug = f"plug {self.plug_words(touch.as_plug)}" if touch.as_plug else ""
        switch = f"switch {touch.as_switch}" if touch.as_switch else ""
        as_with = ", ".join(said for said in (plug, switch) if said)
        return f"agrees, as with {as_with}" if as_with else "agrees"

    def position_words(self, state: TouchState) -> str:
        """Plug and switch of a state, as the page says them."""
        return position_words(state, either_way=self.either_way)

    @property
    def direct(self) -> bool:
        """Whether the line is direct current."""
        return self.line_hertz == 0
