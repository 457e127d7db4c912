"""What the archive's line-side list says of one set: what still stands between its touchable parts and the line."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..examine import Examined


def remark(examined: Examined) -> str:
    """One sentence about the state after the work; empty where the record does not describe it.

    Computed from what was written, and no approval of the set.
    """
    from ...report.typed import say_barrier
    from .wording import milliamps

    found, written = examined.findings["line_side"], examined.record.line_side
    if found is None or found.after is None or written is None or written.after is None:
        return ""
    after, words = found.after, examined.bench.words
    between = say_barrier(written.after.b_minus_to_chassis, examined.bench.circuit, "after")
    said = [f"{words.b_minus} to chassis: {between}"] if between else []
    worst = after.worst_normal
    if after.shorts:
        said.append(f"the {words.line} is shorted in at least one position of the plug")
    elif after.floats:
        said.append(f"nothing written joins the parts within reach to the {words.line}; no current can be computed")
    elif worst is not None and worst.touch_amps_peak is not None:
        peak = found.limit_kind == "peak"
        amps = worst.touch_amps_peak if peak else worst.touch_amps_rms
        against = "" if worst.over_limit is None else f", {'over' if worst.over_limit else 'under'} the limit"
        against += " as written, over it in the worst case" if after.margin else ""
        kind = " peak" if peak else ""
        said.append(f"a touch current of at most {milliamps(amps)}{kind} with nothing wrong{against}")
    fault = after.worst_fault
    if fault is not None and fault.over_limit:
        said.append("over the limit with one fault")
    return "; ".join(said)
