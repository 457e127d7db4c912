"""Plots: the same bytes everywhere, words as they are, nothing needed from the machine's settings."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from benchleaf.drawing import crossed_labels, overlaps
from benchleaf.drawing import plot as plots
from benchleaf.drawing.plot import Limit, LinePlot, Series, engineering, to_figure

NS = "{http://www.w3.org/2000/svg}"
FREQUENCIES = [10 ** (3 + step / 10) for step in range(51)]


def impedance() -> str:
    """Of 0.1 µF with 20 mΩ and 10 nH in series, and of 20 µF with 9 Ω, over frequency."""

    def ohms(f: float, farads: float, henries: float, ohms_in_series: float) -> float:
        omega = 2 * 3.141592653589793 * f
        return float(abs(complex(ohms_in_series, omega * henries - 1 / (omega * farads))))

    plot = LinePlot(
        [
            Series(FREQUENCIES, [ohms(f, 1e-7, 1e-8, 0.02) for f in FREQUENCIES], "0.1 µF film"),
            Series(FREQUENCIES, [ohms(f, 2e-5, 2e-8, 9) for f in FREQUENCIES], "20 µF as found"),
        ],
        x_label="frequency, Hz",
        y_label="impedance, Ω",
        log_x=True,
        log_y=True,
        limits=[Limit(540e3, 1620e3, "MW band", across="x"), Limit(1, 1, "1 Ω")],
        marked_points=[(455e3, 0.4, "IF")],
    )
    figure = to_figure(plot, name="impedance", title="Impedance", description="Falls to a dip and rises again.")
    return figure.svg


def texts(svg: str) -> list[str]:
    return ["".join(t.itertext()) for t in ET.fromstring(svg).iter(NS + "text")]


def test_a_plot_has_its_words_and_trade_numbers() -> None:
    words = texts(impedance())
    for word in (
        "frequency",
        "impedance",
        "0.1 µF film",
        "20 µF as found",
        "MW band",
        "1 Ω",
        "IF",
        "1 MHz",
        "100 kHz",
        "10 Ω",
    ):
        assert word in words
    assert overlaps(impedance()) == []


def test_a_plot_is_in_the_pages_colours_and_fonts() -> None:
    svg = impedance()
    assert not re.search(
        r"#[0-9a-fA-F]{3,6}\b(?!-)|black|white|font-family|DejaVu|<style",
        re.sub(r'"(url\()?#impedance-\d+\)?"', "", svg),
    )
    assert "currentColor" in svg
    assert not re.search(" (height|style)=", svg.split(">", 1)[0])


def test_curves_differ_by_line_style() -> None:
    svg = impedance()
    curves = [p for p in ET.fromstring(svg).iter(NS + "path") if p.get("clip-path") and len(p.get("d", "")) > 300]
    assert len(curves) == 2
    assert len({c.get("stroke-dasharray") for c in curves}) == 2


def _in_another_process(extra: dict[str, str]) -> str:
    code = (
        "import importlib.util, sys\n"
        f"spec = importlib.util.spec_from_file_location('plots', {__file__!r})\n"
        "plots = importlib.util.module_from_spec(spec); sys.modules['plots'] = plots; spec.loader.exec_module(plots)\n"
        "sys.stdout.write(plots.impedance())"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], env={"PATH": "", **extra}, capture_output=True, encoding="utf-8", check=True
    )
    return run.stdout


@pytest.mark.parametrize("seed", ["0", "4711"])
def test_the_same_plot_in_another_process_has_the_same_bytes(seed: str) -> None:
    assert _in_another_process({"PYTHONHASHSEED": seed}) == impedance()


def test_a_plot_needs_no_place_to_keep_a_font_cache(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("not a folder")
    nowhere = str(in_the_way / "below")
    assert _in_another_process({"HOME": nowhere, "MPLCONFIGDIR": nowhere, "XDG_CACHE_HOME": nowhere}) == impedance()


def test_a_settings_file_of_the_machine_changes_nothing(tmp_path: Path) -> None:
    (tmp_path / "matplotlibrc").write_text(
        "font.size: 30\nlines.linewidth: 9\naxes.facecolor: red\nsvg.fonttype: path\n"
    )
    assert _in_another_process({"MPLCONFIGDIR": str(tmp_path)}) == impedance()


def test_plotting_leaves_matplotlibs_settings_as_they_were() -> None:
    import matplotlib

    before = dict(matplotlib.rcParams)
    impedance()
    assert dict(matplotlib.rcParams) == before
    assert "matplotlib.pyplot" not in sys.modules or not sys.modules["matplotlib.pyplot"].get_fignums()


@pytest.mark.parametrize("words", ["$\\frac{1$", "_hidden", "<b>&amp;", "a\x00b", "$x$ & $", "µ" * 200])
def test_hostile_words_come_out_as_they_are(words: str) -> None:
    plot = LinePlot([Series([0, 1], [1, 2], words), Series([0, 1], [2, 1], "b")], x_label=words, y_label=words)
    svg = to_figure(plot, name="p", title=words, description=words).svg
    shown = [text.replace("\u200b", "") for text in texts(svg)]
    assert shown.count(words.replace("\x00", " ")) == 3


def test_series_of_unequal_length_are_refused() -> None:
    with pytest.raises(ValueError, match="2 abscissae, 1 ordinates"):
        LinePlot([Series([1, 2], [1], "a")], x_label="x", y_label="y")


def test_an_empty_plot_and_missing_points_can_be_drawn() -> None:
    assert texts(to_figure(LinePlot([], x_label="x", y_label="y"), name="p", title="t", description="d").svg)
    plot = LinePlot([Series([1, 2, 3], [1, float("nan"), 3], "a")], x_label="x", y_label="y")
    figure = to_figure(plot, name="gap", title="t", description="d")
    assert "nan" not in figure.svg.lower()
    assert (figure.width, figure.height) == (384, 276)


@pytest.mark.parametrize("prefix", ["k", "M"])
def test_numbers_of_an_axis_stand_apart_on_a_plot_that_a_phone_shows(prefix: str) -> None:
    """“12.5 MHz” ran into “15 MHz”."""
    times = {"k": 1e3, "M": 1e6}[prefix]
    for low, high in ((6.5, 17.9), (531.0, 1602.0), (440.0, 470.0), (150.0, 300.0), (88.0, 108.0)):
        plot = LinePlot([Series([low * times, high * times], [0, 1], "a")], x_label="frequency, Hz", y_label="level")
        figure = to_figure(plot, name="axis", title="t", description="d")
        assert overlaps(figure.svg) == []
        assert len([word for word in texts(figure.svg) if word.endswith("Hz")]) >= 2


def test_the_key_stands_above_the_plot_and_crosses_no_curve() -> None:
    """It lay over the curves: “best” places are none where curves fill a plot."""
    rows = [Series([n / 10 for n in range(100)], [(n * k) % 17 for n in range(100)], f"curve {k}") for k in range(5)]
    for count in range(2, 6):
        plot = LinePlot(rows[:count], x_label="x", y_label="y", limits=[Limit(2, 3, "a band with a long name")])
        svg = to_figure(plot, name="key", title="t", description="d").svg
        assert (overlaps(svg), [word for word in crossed_labels(svg) if "curve" in word or "band" in word]) == ([], [])


def test_the_name_of_a_point_stands_on_the_side_that_its_curve_leaves_free_and_clear_of_others() -> None:
    turns = [n / 100 for n in range(101)]
    wave = Series(turns, [math.sin(2 * math.pi * 1.5 * turn) for turn in turns], "error")
    points = [(0.34, 0.0, "602.1 kHz"), (0.66, 0.0, "1060 kHz"), (0.985, 0.14, "1623 kHz")]
    plot = LinePlot([wave], x_label="dial", y_label="error", marked_points=points)
    svg = to_figure(plot, name="points", title="t", description="d").svg
    assert overlaps(svg) == []
    named = {text.text: text for text in ET.fromstring(svg).iter(NS + "text") if "kHz" in (text.text or "")}
    first, second, last = (named[words] for _, _, words in points)
    # The curve falls through the first and the last point and rises through the second.
    assert float(first.attrib["y"]) < min(float(second.attrib["y"]), float(last.attrib["y"]))
    assert [text.get("text-anchor", "start") for text in (first, second, last)] == ["start", "start", "end"]


@pytest.mark.parametrize(
    ("value", "unit", "written"),
    [
        (0, "A", "0"),
        (1, "V", "1 V"),
        (10_000, "Hz", "10 kHz"),
        (1e6, "Ω", "1 MΩ"),
        (0.47, "A", "470 mA"),
        (2.2e-6, "A", "2.2 µA"),
        (1e-9, "A", "1 nA"),
        (-12.6, "V", "−12.6 V"),
        (999.9999999999999, "Hz", "1 kHz"),
        (1e-15, "A", "1e−15 A"),
        (0.2, "", "0.2"),
        (10_000, "", "10000"),
    ],
)
def test_numbers_on_an_axis(value: float, unit: str, written: str) -> None:
    """SI prefixes as in the SI Brochure, 9th edition, table 7; none without its unit: “200 m” reads as metres."""
    assert engineering(value, unit) == written


def test_an_axis_names_its_unit_at_its_numbers() -> None:
    plot = LinePlot([Series([0, 40], [0, 0.3], "a")], x_label="minutes", y_label="line current, A")
    svg = to_figure(plot, name="p", title="t", description="d").svg
    words = re.findall(r"<text[^>]*>([^<]+)</text>", svg)
    assert {"minutes", "line current", "40", "300 mA"} <= set(words)


def test_ticks_between_the_numbers_are_one_line_of_marks() -> None:
    plot = LinePlot([Series([10, 1e4], [1, 1e3], "a")], x_label="x", y_label="y", log_x=True, log_y=True)
    svg = to_figure(plot, name="p", title="t", description="d").svg
    marks = re.findall(r'<path [^>]*d="M 0 0 L (0 2|-2 0)"', svg)
    assert min(marks.count("0 2"), marks.count("-2 0")) >= 24  # eight in each of three decades


def test_nothing_of_a_plot_stays_on_the_axes_for_the_next() -> None:
    first = impedance()
    # Far from the other's figures, below zero, with a limit only; then one that cannot be drawn.
    other = LinePlot([Series([-5, 9e9], [-3e-6, 1e-6], "b")], x_label="", y_label="y", limits=[Limit(-2, 3, "band")])
    alone = to_figure(other, name="p", title="t", description="d").svg
    odd = LinePlot([Series(["a"], [1], "c")], x_label="x", y_label="y", log_x=True, limits=[Limit(None, 2, "d")])
    with pytest.raises((TypeError, ValueError)):
        to_figure(odd, name="p", title="t", description="d")
    assert impedance() == first
    assert to_figure(other, name="p", title="t", description="d").svg == alone == _anew(other)


def _anew(plot: LinePlot) -> str:
    """The plot on axes that nothing was drawn on."""
    plots._kept_axes.cache_clear()
    return to_figure(plot, name="p", title="t", description="d").svg
