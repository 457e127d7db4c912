"""Public SPICE models of tubes: our equations against ngspice's, and the table's points against the models."""

from __future__ import annotations

import pytest

import ngspice
from benchleaf.tubes import all_types, find, grade
from benchleaf.tubes.fitted_models import MODEL_TOLERANCE, FittedModel, fitted_models
from benchleaf.tubes.point_checks import models
from benchleaf.tubes.rectifiers import rectifier_figures
from benchleaf.tubes.tables import read_table
from tools.tube_coverage import modelled

_NAKABAYASHI = {"offset", "spread", "power", "scale", "mu_cut", "perveance", "mu", "gain", "limit"}
PARAMETERS = {
    "koren triode": [{"mu", "power", "kg1", "kp", "kvb"}, {"mu", "power", "kg1", "kp", "kvb", "contact"}],
    "koren pentode": [{"mu", "power", "kg1", "kp", "kvb"}],
    "nakabayashi triode": [_NAKABAYASHI],
    "nakabayashi pentode": [_NAKABAYASHI | {"share", "reach"}],
    "diode": [{"perveance"}],
}

# Where a model lies further off a point than 15 %, and what is known of it; each must still be so. A point that was
# read stays; one from memory is not borne out by that model.
FAR = {
    ("12AT7", "ECC81"): "the fit is poor at 100 V: the sheets print 3.7 mA",
    ("6SQ7", "6SQ7"): "the model of the 75, the same triode, lies as far below as this one above",
    ("6N7", "6N7"): "the source seems to print both units side by side at another bias; the row's note says so",
    ("6N7", "53"): "as the other model of the 6N7",
    ("6AU6", "EF94"): "the other model of the 6AU6 bears the point out",
    ("5Y3GT", "5Y3"): "sheets differ: 50 and 60 V, and so do the models",
    ("5Y3GT", "5Y3GT"): "sheets differ: 50 and 60 V, and so do the models",
    ("80", "80"): "a catalogue prints 50 V; the row's note says what the model has",
    ("5U4G", "5U4G"): "three sources print three drops",
    ("10", "10"): "the model serves the 801 too",
    ("50", "50"): "at 250 V, where the sheet prints more",
    ("77", "77"): "not borne out",
    ("EF89", "EF89"): "Philips prints less than the French sheet it was fitted to",
    ("EF80", "EF80"): "the fit is of 170 V; at 250 V it is poor",
    ("ECC85", "ECC85"): "fitted to the sheet of 1954; the one read is of 1969, and the other model bears it out",
    ("EL34", "EL34"): "the other model of the EL34 bears the point out",
    ("ECL82", "6BM8T"): "the other model of the ECL82's triode bears the point out",
    ("EZ80", "EZ80"): "the other model of the EZ80 bears the drop out; the row's note says both",
    ("GZ32", "GZ32"): "from memory, and not borne out; the row's note says so",
}


def model(type_: str, form: str, section: str = "") -> FittedModel:
    (found,) = (m for m in fitted_models(type_) if m.form == form and m.section == section)
    return found


def test_every_row_has_the_parameters_of_its_equations_and_serves_a_point() -> None:
    for row in read_table("fitted_models.csv"):
        tube = find(row["type"])
        assert tube is not None
        assert tube.type == row["type"]
        assert {part.split("=")[0] for part in row["parameters"].split()} in PARAMETERS[row["form"]], row
    served = {(of.model.type, of.model.section, of.model.name) for of in modelled()}
    assert served == {(m.type, m.section, m.name) for type_ in all_types() for m in fitted_models(type_)}


def test_the_points_of_the_table_lie_on_the_public_models() -> None:
    """A. Nakabayashi's models (2008), and S. Malcolm-Brown's on N. Koren's equations, fitted to sheets they name:
    within 15 %, but for those named above."""
    compared = list(modelled())
    assert len(compared) > 180
    far = {(of.model.type, of.model.name) for of in compared if of.far}
    assert far == set(FAR)
    assert sum(of.far for of in compared) < 0.15 * len(compared)


@pytest.mark.parametrize(
    ("type_", "volts", "milliamperes"),
    [
        ("6K7", (250, -3, 100), 14.0),  # the table: 7 mA
        ("6F6", (250, -16.5, 250), 22.0),  # the table: 34 mA
        ("76", (250, -13.5, None), 3.5),  # the table: 5 mA
        ("EF39", (250, -2.5, 100), 8.0),  # the table: 6 mA
    ],
)
def test_a_misprint_would_be_seen(type_: str, volts: tuple[float, float, float | None], milliamperes: float) -> None:
    for of in fitted_models(type_):
        assert of.currents(*volts)[0] * 1e3 != pytest.approx(milliamperes, rel=MODEL_TOLERANCE)


def _pentode(p: dict[str, float]) -> list[str]:
    """Nakabayashi's pentode as behavioural sources, written here from its equations."""
    drive = f"(V(g)+({p['offset']!r}))"
    above = f"{p['perveance']!r}*uramp({drive}+V(s)/{p['mu']!r})^1.5"
    below = (
        f"{p['gain']!r}*exp(-{p['power']!r}*ln({p['spread']!r}*V(s)))"
        f"*({p['scale']!r}*uramp({drive}+V(s)/{p['mu_cut']!r}))^{1.5 + p['power']!r}"
    )
    return [
        f"B1 k 0 V={drive}>=0 ? {above} : {below}",
        "B2 l 0 V=V(k)*(1-0.4*(exp(-15*V(a)/V(s))-exp(-15)))",
        f"B3 t 0 V=V(l)*({1 - p['share']!r}*(1-V(a)/(V(a)+10))^1.5+{p['share']!r})",
        f"B4 w 0 V=V(l)*(V(a)+{p['reach']!r})/(V(s)+{p['reach']!r})",
        "B5 p 0 V=V(w)-V(t)",
    ]


@pytest.mark.parametrize(("plate", "screen", "grid"), [(250, 100, -3), (100, 100, -1.5), (250, 250, -16.5)])
@pytest.mark.parametrize("type_", ["6K7", "6F6", "EF39"])
def test_the_pentode_of_nakabayashi_agrees_with_ngspice(type_: str, plate: float, screen: float, grid: float) -> None:
    of = model(type_, "nakabayashi pentode")
    feeds = [f"Va a 0 {plate}", f"Vs s 0 {screen}", f"Vg g 0 {grid}"]
    found = ngspice.direct([*feeds, *_pentode(dict(of.parameters))], ["v(p)", "v(t)"])
    ours, to_screen = of.currents(plate, grid, screen)
    assert ours == pytest.approx(found["v(p)"], rel=1e-6, abs=1e-12)
    assert to_screen == pytest.approx(found["v(t)"], rel=1e-6, abs=1e-12)


def test_the_equations_of_koren_agree_with_ngspice() -> None:
    """N. Koren, Glass Audio 5/1996: PWR(E1,EX)+PWRS(E1,EX) is twice the power above zero."""
    triode, pentode = model("12AX7", "koren triode"), model("EL84", "koren pentode")
    t, p = triode.parameters, pentode.parameters
    lines = [
        "Va a 0 250",
        "Vs s 0 210",
        "Vg g 0 -2",
        f"B1 e 0 V=V(a)/{t['kp']}*ln(1+exp({t['kp']}*(1/{t['mu']}+(V(g)+{t['contact']})/sqrt({t['kvb']}+V(a)*V(a)))))",
        f"B2 x 0 V=2*V(e)^{t['power']}/{t['kg1']}",
        f"B3 f 0 V=V(s)/{p['kp']}*ln(1+exp({p['kp']}*(1/{p['mu']}+3*V(g)/V(s))))",
        f"B4 y 0 V=2*V(f)^{p['power']}/{p['kg1']}*atan(V(a)/{p['kvb']})",
        "Rx x 0 1",
        "Ry y 0 1",
    ]
    found = ngspice.direct(lines, ["v(x)", "v(y)"])
    assert triode.currents(250, -2)[0] == pytest.approx(found["v(x)"], rel=1e-6)
    assert pentode.currents(250, -6, 210)[0] == pytest.approx(found["v(y)"], rel=1e-6)


def test_a_diode_follows_childs_law() -> None:
    """5Y3GT: 50 V at 125 mA, General Electric, as S. Malcolm-Brown fitted it: twice the current, 2^(2/3) the volts."""
    (of,) = (m for m in fitted_models("5Y3GT") if m.sources[0].key == "malcolm-brown-models")
    assert of.drop_volts(0.125) == pytest.approx(50.1, abs=0.1)
    assert of.drop_volts(0.250) / of.drop_volts(0.125) == pytest.approx(2 ** (2 / 3))


def test_a_slope_is_that_of_the_currents() -> None:
    """Against the difference over a volt, 6F6 at its point: the curve is nearly straight over so little."""
    of = model("6F6", "nakabayashi pentode")
    coarse = of.currents(250, -16, 250)[0] - of.currents(250, -17, 250)[0]
    assert of.slope(250, -16.5, 250) == pytest.approx(coarse, rel=0.02)


def test_what_a_model_has_no_current_for_is_refused() -> None:
    pentode, diode = model("6F6", "nakabayashi pentode"), fitted_models("6X4")[0]
    for ask in (
        lambda: pentode.currents(250, 1, 250),
        lambda: pentode.currents(250, -16),
        lambda: diode.currents(250, -2),
        lambda: pentode.drop_volts(0.1),
    ):
        with pytest.raises(ValueError, match="model of the"):
            ask()


def test_a_model_bears_out_the_point_of_its_type_and_of_kin_and_says_so() -> None:
    """6K7, and the 78 that is one: no sheet was to be had. A pentode's model says nothing of its use as a triode."""
    for type_ in ("6K7", "78", "12K7GT"):
        tube = find(type_)
        assert tube is not None
        assert grade.point(tube, tube.typical[0]).borne_out_by[0] == "a public SPICE model of the 6K7 has 7.18 mA there"
        assert grade.point(tube, tube.typical[0], "plate_amps").grade == "cross-checked"
    el84 = find("EL84")
    assert el84 is not None
    triode = next(p for p in el84.typical if "triode" in p.use)
    assert not any(models(m, triode) for m in fitted_models("EL84"))


def test_a_model_bears_out_a_drop() -> None:
    """84: 20 V at 60 mA from memory; A. Nakabayashi's diode drops 20 V there. UY41: no model."""
    for type_, words in (("84", ("a public SPICE model of the 84 drops 20 V there",)), ("UY41", ())):
        tube = find(type_)
        assert tube is not None
        figures = rectifier_figures(tube)
        assert figures is not None
        assert grade.drop(tube, figures.drops[0]).borne_out_by == words
