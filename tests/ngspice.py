"""ngspice in batch mode as an independent oracle.

A netlist is run in a temporary folder, the exit code is checked (a singular network prints zeros or nothing and exits
with 1), and the printed values come back with all their digits. Node 0 is earth.
"""

from __future__ import annotations

import re
import subprocess
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path

from benchleaf.electrics.nodal_analysis import Capacitor, Inductor, NetworkElement, Resistor, VoltageSource, Wire

_DIGITS = [".control", "set numdgt=15", ".endc"]


class NgspiceError(RuntimeError):
    """ngspice exited with an error or did not print what was asked for."""


def run(lines: Iterable[str]) -> str:
    """Run a netlist (without title and ``.end``) and return what ngspice printed."""
    with tempfile.TemporaryDirectory() as folder:
        circuit = Path(folder) / "circuit.cir"
        circuit.write_text("\n".join(["* oracle", *lines, *_DIGITS, ".end", ""]), encoding="utf-8")
        done = subprocess.run(
            ["ngspice", "-b", circuit.name], cwd=folder, capture_output=True, text=True, timeout=60, check=False
        )
    if done.returncode != 0:
        raise NgspiceError(f"exit {done.returncode}: {done.stderr.strip()[:400]}")
    return done.stdout


def alternating(lines: Sequence[str], frequency_hz: float, wanted: Sequence[str]) -> dict[str, complex]:
    """AC analysis at one frequency; ``wanted`` such as ``v(a)`` or ``i(v1)``, back as complex numbers."""
    prints = [f".print ac {name}" for name in wanted]
    out = run([*lines, ".option noopac", f".ac lin 1 {frequency_hz} {frequency_hz}", *prints])
    rows = re.findall(r"^0\t\S+\t(\S+),\t(\S+)\t?$", out, re.MULTILINE)
    if len(rows) != len(wanted):
        raise NgspiceError(f"{len(rows)} of {len(wanted)} values printed")
    return {name: complex(float(re_), float(im)) for name, (re_, im) in zip(wanted, rows, strict=True)}


def direct(lines: Sequence[str], wanted: Sequence[str]) -> dict[str, float]:
    """Operating point, with tight tolerances for behavioural sources."""
    tight = ".option reltol=1e-10 abstol=1e-16 vntol=1e-13 itl1=2000 itl2=2000"
    sweep = ["Vsweep sweep 0 0", "Rsweep sweep 0 1", ".dc Vsweep 0 0 1"]
    out = run([*lines, tight, *sweep, *(f".print dc {name}" for name in wanted)])
    rows = re.findall(r"^0\t\S+\t(\S+)\t?$", out, re.MULTILINE)
    if len(rows) != len(wanted):
        raise NgspiceError(f"{len(rows)} of {len(wanted)} values printed")
    return {name: float(value) for name, value in zip(wanted, rows, strict=True)}


def measured(lines: Sequence[str], transient: str, measures: dict[str, str]) -> dict[str, float]:
    """Transient analysis (``transient`` as after ``.tran``) and its ``.meas`` results."""
    out = run([*lines, f".tran {transient}", *(f".meas tran {name} {what}" for name, what in measures.items())])
    found = dict(re.findall(r"^(\w+)\s+=\s+(\S+)", out, re.MULTILINE))
    return {name: float(found[name]) for name in measures}


def netlist(elements: Iterable[NetworkElement], earth: str = "earth", direct_current: bool = False) -> list[str]:
    """The lines of a network of ours. An ideal wire becomes a source of 0 V, so wires must not form loops here."""

    def node(name: str) -> str:
        return "0" if name == earth else re.sub(r"\W", "_", name)

    lines = []
    for number, element in enumerate(elements):
        match element:
            case Resistor(a, b, value):
                lines.append(f"R{number} {node(a)} {node(b)} {value!r}")
            case Capacitor(a, b, value):
                lines.append(f"C{number} {node(a)} {node(b)} {value!r}")
            case Inductor(a, b, value):
                lines.append(f"L{number} {node(a)} {node(b)} {value!r}")
            case Wire(a, b):
                lines.append(f"V{number} {node(a)} {node(b)} DC 0 AC 0")
            case VoltageSource(plus, minus, volts):
                size = _phasor(complex(volts))
                kind = f"DC {complex(volts).real!r}" if direct_current else f"DC 0 AC {size}"
                lines.append(f"V{number} {node(plus)} {node(minus)} {kind}")
    return lines


def _phasor(volts: complex) -> str:
    import cmath
    import math

    return f"{abs(volts)!r} {math.degrees(cmath.phase(volts))!r}"
