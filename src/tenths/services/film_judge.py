"""Verdicts on the oil film: film, roughness, unit load, pressure and temperature against what the lining bears, and who says so."""

from collections.abc import Sequence
from math import hypot, inf

from tenths.engine.quantity import Quantity
from tenths.findings.decision import rule_for, rule_of
from tenths.metrology.decide import decide
from tenths.services.amounts import Answer
from tenths.services.film_basis import Basis, estimate_u, value_of
from tenths.services.film_bearings import Place
from tenths.services.running_model import Model

TENTH = 0.0001 * 0.0254
ORDER = ("out", "too close to call", "fits", "no limit")
# Relative standard uncertainty of load and peak pressure: common practice, no source.
LOAD_DOUBT, PRESSURE_DOUBT = 0.05, 0.15
RISE_DOUBT = 0.2  # of the oil's own rise above what comes


def film_number(model: Model, metres: float, u: float = 0.0) -> Answer:
    """A film, in micrometres or in tenths."""
    unit, scale = ("µm", 1e6) if model.system == "metric" else ("tenths", 1 / TENTH)
    spread = f" ±{2 * u * scale:.2f}" if u else ""
    return {"value": metres * scale, "unit": unit, "standard_uncertainty": u * scale if u else None,
            "text": f"{metres * scale:.2f}{spread} {unit}"}


def state(ratio: float) -> str:
    """What a ratio of film to roughness means, in words."""
    return "apart" if ratio >= 3.0 else "touching at peaks" if ratio >= 1.0 else "rubbing"


def worst_of(words: Sequence[str]) -> str:
    """The worst of some verdicts."""
    return min(words, key=lambda word: ORDER.index(word) if word in ORDER else len(ORDER), default="no limit")


def verdicts(basis: Basis, place: Place, *, edge: float, edge_u: float, rough: float, rough_u: float, load: float, pressure: float,
             temperature: float) -> list[Answer]:
    """What one bearing comes to and what its lining bears, row by row, at the worst of the hot ways of running.

    Args:
        basis: what the films rest on.
        place: the bearing.
        edge: thinnest film, with what form and lean take [m].
        edge_u: its standard uncertainty [m].
        rough: root mean square of both surfaces together [m].
        rough_u: its standard uncertainty [m].
        load: largest, over length times diameter [Pa].
        pressure: largest in the film [Pa].
        temperature: hottest of its oil [K].

    Returns:
        Rows with name, words, value, verdict, limit as text, authority and source.
    """
    write, one = basis.model.amounts, place.shell.kind
    ratio = edge / rough
    ratio_u = hypot(edge_u / rough, ratio * rough_u / rough)
    warm_u = hypot(estimate_u(basis.hot.estimate), RISE_DOUBT * max(temperature - value_of(basis.hot), 0.0))
    rows = [
        ("film", "thinnest film", film_number(basis.model, edge, edge_u), edge, edge_u, one.film, None, Quantity.LENGTH,
         f"at least {film_number(basis.model, one.film)['text']}"),
        ("ratio", "film over roughness", write(ratio, Quantity.RATIO, ratio_u), ratio, ratio_u, one.ratio, None, Quantity.RATIO,
         f"at least {one.ratio:g}"),
        ("unit-load", "load of the projected area", write.stress(load, LOAD_DOUBT * load), load, LOAD_DOUBT * load, None, one.unit_load,
         Quantity.PRESSURE, f"at most {write.stress(one.unit_load)['text']}"),
        ("peak-pressure", "pressure in the film", write.stress(pressure, PRESSURE_DOUBT * pressure), pressure, PRESSURE_DOUBT * pressure,
         None, one.peak_pressure, Quantity.PRESSURE, f"at most {write.stress(one.peak_pressure)['text']}"),
        ("temperature", "oil in the film", write(temperature, Quantity.TEMPERATURE, warm_u), temperature, warm_u, None, one.temperature,
         Quantity.TEMPERATURE, f"at most {write(one.temperature, Quantity.TEMPERATURE, figures=3)['text']}"),
    ]
    rule = rule_of(basis.model.build.house)
    return [{"name": name, "words": words, **value,
             "verdict": str(decide(si, u, lower, upper, rule=rule_for(rule, quantity), freedom=inf)), "limit": limit,
             "authority": place.shell.authority, "source": one.source}
            for name, words, value, si, u, lower, upper, quantity, limit in rows]
