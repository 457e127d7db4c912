"""What a verdict of fault or danger rests on: a publication, a computed limit, or what is written. Never on custom."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import makers

PACKAGE = Path(__file__).parent.parent / "plugin" / "benchleaf"
UNSOURCED = re.compile(r"no source|from memory|common practice", re.I)
NAMES_OF_NONE = frozenset({"COMMON_PRACTICE", "FROM_MEMORY", "COMMON"})

PUBLISHED, RATING, COMPUTED, CONTRADICTION, AS_READ = "published", "rating", "computed", "contradiction", "as read"

GROUNDS = {
    "chapters/heaters/digest.py:_winding": (RATING, "the winding's current"),
    "chapters/heaters/digest.py:_within": (PUBLISHED, "heaters/bands.py:BAND"),
    "chapters/heaters/string_bar.py:_MARKS": (PUBLISHED, "heaters/bands.py:BAND"),
    "chapters/heaters/say.py:_beside": (
        RATING,
        "a shunt's watts, a barretter's range; heaters outside M. J. Darby's band",
    ),
    "chapters/heaters/say.py:_dead": (AS_READ, "a section that was measured open carries no current"),
    "chapters/heaters/say.py:_dropper": (RATING, "the dropper's watts against its heat"),
    "chapters/heaters/say.py:_judged": (PUBLISHED, "heaters/bands.py:BAND"),
    "chapters/heaters/say.py:_measured": (PUBLISHED, "heaters/causes.py:LOVELL"),
    "chapters/heaters/say.py:_mixed": (PUBLISHED, "heaters/bands.py:BAND"),
    "chapters/heaters/say.py:_windings": (PUBLISHED, "heaters/bands.py:BAND"),
    "chapters/how_it_works/say.py:_worked_out": (RATING, "the heat against the tube's published rating"),
    "chapters/line_side/checks.py:_cord": (CONTRADICTION, "a plug with a third pin on a cord without a third core"),
    "chapters/line_side/checks.py:_earth": (COMPUTED, "the line shorted through the earth wire"),
    "chapters/line_side/checks.py:_fuse": (COMPUTED, "the state with the fuse in the return lead blown"),
    "chapters/line_side/digest.py:_mark": (PUBLISHED, "electrics/limits.py:_ANNEX_D"),
    "chapters/line_side/digest.py:_judged": (PUBLISHED, "electrics/limits.py:_ANNEX_D"),
    "chapters/line_side/digest.py:_one_fault": (PUBLISHED, "electrics/limits.py:_ANNEX_D"),
    "chapters/line_side/fuse.py:_size": (PUBLISHED, "electrics/fuses.py:RULES"),
    "chapters/line_side/fuse.py:fuse_checks": (RATING, "the fuse's volts, the fusible resistor's watts"),
    "chapters/line_side/ratings.py:_rated": (RATING, "the capacitor's volts, or those of its class (IEC 60384-14)"),
    "chapters/line_side/ratings.py:_to_a_hand": (PUBLISHED, "electrics/safety_capacitors.py:CLASSES_SOURCE"),
    "chapters/line_side/ratings.py:_to_chassis": (PUBLISHED, "electrics/safety_capacitors.py:CLASSES_SOURCE"),
    "chapters/line_side/ratings.py:resistor_checks": (
        RATING,
        "its volts and watts; a published limit of touch current",
    ),
    "chapters/line_side/say.py:_of_states": (PUBLISHED, "electrics/limits.py:_ANNEX_D"),
    "chapters/parts/verdicts.py:_POLARITIES": (CONTRADICTION, "the positive end at the end that is negative"),
    "chapters/parts/verdicts.py:_against": (RATING, "the tolerance that is written"),
    "chapters/parts/verdicts.py:_leaks": (PUBLISHED, "electrics/capacitor_limits.py:LEAKAGE_SOURCE"),
    "chapters/parts/verdicts.py:buffer_fault": (AS_READ, "shorted, as the meter showed"),
    "chapters/parts/verdicts.py:found_esr": (PUBLISHED, "electrics/capacitor_limits.py:ESR_SOURCE"),
    "chapters/parts/verdicts.py:heat": (RATING, "the resistor's watts against its heat"),
    "chapters/parts/verdicts.py:new_esr": (PUBLISHED, "electrics/capacitor_limits.py:ESR_SOURCE"),
    "chapters/parts/verdicts.py:on_the_grid": (COMPUTED, "all of the bias gone, as read or published"),
    "chapters/parts/verdicts.py:safety_class": (PUBLISHED, "electrics/safety_capacitors.py:CLASSES_SOURCE"),
    "chapters/parts/standing_out.py:class_missing": (PUBLISHED, "electrics/safety_capacitors.py:CLASSES_SOURCE"),
    "chapters/parts/volts_across.py:_too_low": (RATING, "the capacitor's volts against the peak, or what was read"),
    "chapters/readings/across.py:_read": (PUBLISHED, "the service sheet's value, missed by more than half"),
    "chapters/readings/say.py:_b_plus": (PUBLISHED, "the service sheet's value, missed by more than half"),
    "chapters/readings/say.py:_dissipation": (PUBLISHED, "the tube's published rating"),
    "chapters/readings/say.py:_severity": (PUBLISHED, "the service sheet's value, missed by more than half"),
    "chapters/speaker/say.py:_sentence": (AS_READ, "open, as the meter showed"),
    "chapters/supply/findings.py:_peak_verdict": (PUBLISHED, "the rectifier's published peak current"),
}
"""Every rule that may say fault or danger, with its ground; of a publication the constant that names it."""


def grave(node: ast.AST) -> bool:
    """Whether a piece of code names one of the two verdicts."""
    return any(
        (isinstance(one, ast.Attribute) and one.attr in ("FAULT", "DANGER"))
        or (isinstance(one, ast.Name) and one.id in ("FAULT", "DANGER"))
        for one in ast.walk(node)
    )


def tables(tree: ast.Module) -> Iterator[tuple[str, ast.stmt]]:
    """Functions and module-level tables, by name."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            yield node.name, node
        elif isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            yield node.targets[0].id, node


@cache
def rules() -> dict[str, ast.stmt]:
    """Everything in the package that decides one of the two verdicts."""
    found = {}
    for file in sorted(PACKAGE.rglob("*.py")):
        if "report" in file.relative_to(PACKAGE).parts:
            continue
        for name, node in tables(ast.parse(file.read_text(encoding="utf-8"))):
            if grave(node):
                found[f"{file.relative_to(PACKAGE).as_posix()}:{name}"] = node
    return found


def documented(file: Path) -> dict[str, str]:
    """The module-level names of a file with what is said of them: the string below, or the ``#:`` lines above."""
    text = file.read_text(encoding="utf-8")
    body, lines, said = ast.parse(text).body, text.splitlines(), {}
    for node, after in zip(body, [*body[1:], None], strict=True):
        if not isinstance(node, ast.Assign | ast.AnnAssign):
            continue
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        below = after.value.value if isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant) else ""
        above = []
        for line in reversed(lines[: node.lineno - 1]):
            if not line.startswith("#:"):
                break
            above.append(line)
        whole = f"{ast.unparse(node)} {below} {' '.join(above)}"
        said |= {name.id: whole for target in targets for name in ast.walk(target) if isinstance(name, ast.Name)}
    return said


def leaned_on(rule: str, node: ast.AST) -> Iterator[tuple[str, str]]:
    """Every name that a rule uses with what its module, or the one it is imported from, says of it."""
    file = PACKAGE / rule.split(":")[0]
    said = documented(file)
    for statement in ast.parse(file.read_text(encoding="utf-8")).body:
        if isinstance(statement, ast.ImportFrom) and statement.level and statement.module:
            base = file.parents[statement.level - 1].joinpath(*statement.module.split("."))
            if base.with_suffix(".py").is_file():
                there = documented(base.with_suffix(".py"))
                said |= {a.asname or a.name: there[a.name] for a in statement.names if a.name in there}
    for name in {one.id for one in ast.walk(node) if isinstance(one, ast.Name)}:
        if name in said and not name.startswith("_GRADES"):
            yield name, said[name]


def test_every_rule_that_says_fault_or_danger_has_its_ground_here() -> None:
    """Y2 from B- to chassis was a fault by “common practice, no source”."""
    assert set(rules()) == set(GROUNDS)


@pytest.mark.parametrize("rule", [rule for rule, (kind, _) in GROUNDS.items() if kind == PUBLISHED])
def test_the_publication_is_one(rule: str) -> None:
    source = GROUNDS[rule][1]
    if ":" not in source:
        assert not UNSOURCED.search(source)
        return
    path, name = source.split(":")
    file = PACKAGE / path if (PACKAGE / path).is_file() else PACKAGE / "chapters" / path
    said = documented(file)[name]
    if name != "RULES":  # the values sold are from memory, the shares that are judged by are not
        assert not UNSOURCED.search(said)
    assert re.search(r"[A-Z]{2,}|\d{4}|Radio", said)


ALLOWED = {
    "chapters/heaters/digest.py:_within": {"FROM_MEMORY"},
    "chapters/heaters/say.py:_measured": {"COMMON", "OFF_CURRENT"},
    "chapters/heaters/say.py:_windings": {"FILAMENT_BAND"},
    "chapters/readings/say.py:_b_plus": {"_PLAINLY_OFF"},
    "chapters/readings/say.py:_severity": {"_PLAINLY_OFF"},
    "chapters/supply/findings.py:_peak_verdict": {"PEAK_KNOWN_TO"},
    "chapters/line_side/fuse.py:_size": {"FAR_TOO_LARGE", "RULES"},
}
"""Names without a source in a rule that has a graver verdict too: what they decide is to be watched or noted, but for
``_PLAINLY_OFF``, from where a published value counts as missed, and ``PEAK_KNOWN_TO``, which only spares."""


@pytest.mark.parametrize("rule", GROUNDS)
def test_no_rule_that_says_fault_leans_on_custom(rule: str) -> None:
    node = rules()[rule]
    unsourced = {name for name, said in leaned_on(rule, node) if UNSOURCED.search(said) or name in NAMES_OF_NONE}
    assert unsourced - ALLOWED.get(rule, set()) == set()


def texts() -> Iterator[str]:
    sets = Path(__file__).parent.parent / "site_src" / "sets"
    yield from (file.read_text(encoding="utf-8") for file in sorted(sets.glob("*/record.yml")))
    for written in (
        "B- to chassis: 1 meg, 4.7 nF Y2",
        "B- to chassis: 1 meg, 10 nF X2",
        "line to chassis: 10 nF paper",
    ):
        for fuse in ("none", "0.1 A in return lead", "9 A 32 V in both leads"):
            yield (
                "line: 120 V 60 Hz\npower: series string\nnameplate: 30 W\nline side:\n  after:\n    plug: two-pin\n"
                f"    switch: hot lead\n    fuse: {fuse}\n    {written}\n    touchable: chassis\n"
            )


@pytest.mark.parametrize("text", list(texts()))
def test_no_fault_or_danger_is_said_by_custom(text: str) -> None:
    for sentence in makers.examined(text).standouts():
        assert sentence.severity < 2 or not UNSOURCED.search(sentence.text), sentence.text
