"""A choice of shells as plain data for a drawing: the saddles in a row, the halves in them, the boxes to open beside."""

from collections.abc import Mapping, Sequence
from math import ceil
from typing import Any

from tenths.choose.answer import Answer, Pick, Predicted
from tenths.choose.shells import Half, Place, Side, Stock
from tenths.choose.what_if import ShellQuestion
from tenths.choose.words import System
from tenths.engine.quantity import Quantity, from_si, unit_for, unit_of, write
from tenths.services.questions import telling_places

SIDES: tuple[Side, Side] = ("upper", "lower")
SEALED = "sealed:"
LENGTHS = ("value", "standard_uncertainty", "smallest", "largest", "target")
Drawing = dict[str, Any]


def saddles(question: ShellQuestion, answer: Answer) -> Drawing:
    """The answer and the next-best ones, each as saddles with halves and the boxes to open.

    Args:
        question: that was asked.
        answer: to it.

    Returns:
        ``kind`` "saddles" and ``options``, the best first: ``places`` (station, the halves ``upper`` and ``lower``, and what
        the clearance will come to) and ``boxes`` (label, count). A half has its ``id`` and ``size``, and where they hold:
        ``grooved``, ``flanged``, ``sealed`` (it comes from a box not yet opened), ``stays`` (it is there now), ``at`` (the
        slot where it is now). Empty where there is no answer.
    """
    if not answer.possible:
        return {}
    halves = {half.id: half for half in question.stock.halves}
    options = [(answer.picks, answer.predicted), *((other.picks, other.predicted) for other in answer.alternatives)]
    return {"kind": "saddles", "options": [_option(question, halves, *option) for option in options]}


def _option(question: ShellQuestion, halves: Mapping[str, Half], picks: Sequence[Pick], predicted: Sequence[Predicted]) -> Drawing:
    by_slot = {pick.where: pick for pick in picks}
    told = {p.station: p for p in predicted}
    places = [{"station": place.station, **{side: _half(question.stock, place, side, by_slot, halves) for side in SIDES},
               **_clearance(told[place.station], question.system)} for place in question.places if place.station in told]
    return {"places": places, "boxes": boxes_to_open(question.stock, picks)}


def _half(stock: Stock, place: Place, side: Side, picks: Mapping[str, Pick], halves: Mapping[str, Half]) -> Drawing:
    pick = picks.get(f"{place.station}.shell.{side}")
    if pick is None:
        fitted = place.seat(side).fitted
        return _drawn(fitted, fitted.id, stays=True) if fitted else {}
    if pick.what.startswith(SEALED):
        label = pick.what.removeprefix(SEALED)
        return _drawn(_sealed(stock, place, side, label), label, sealed=True)
    half = halves[pick.what]
    return _drawn(half, half.id, stays=half.at == pick.where, at="" if half.at == pick.where else half.at)


def _drawn(half: Half, name: str, **more: bool | str) -> Drawing:
    flags = {"grooved": half.grooved, "flanged": half.thrust, **more}
    return {"id": name, "size": half.size.label, **{key: value for key, value in flags.items() if value}}


def _sealed(stock: Stock, place: Place, side: Side, label: str) -> Half:
    """The half out of a sealed box of that size that goes to one side of a place."""
    seat = place.seat(side)
    rows = [half for box in stock.boxes if box.label == label for half, _ in box.content if half.kind == place.kind]
    fitting = [half for half in rows if half.side in {side, "either"} and half.thrust == seat.thrust]
    return (fitting or rows)[0]


def _clearance(told: Predicted, system: System) -> Drawing:
    unit = unit_for(Quantity.LENGTH, system)
    value, u = told.estimate.value, told.estimate.u

    def number(si: float | None) -> float | None:
        return None if si is None else float(f"{from_si(si, Quantity.LENGTH, unit):.6g}")

    return {"value": number(value), "standard_uncertainty": float(f"{from_si(u, Quantity.LENGTH, unit, difference=True):.6g}"),
            "smallest": number(told.lower), "largest": number(told.upper), "target": number(told.target), "unit": unit,
            "probability": round(told.probability, 4),
            "text": write(value, Quantity.LENGTH, unit=unit, decimals=telling_places(2 * u, Quantity.LENGTH, unit))}


def boxes_to_open(stock: Stock, picks: Sequence[Pick]) -> list[Drawing]:
    """Sealed boxes that a choice opens: label, and how many."""
    found: list[Drawing] = []
    for box in stock.boxes:
        wanted = [p.where.rpartition(".")[2] for p in picks if p.what == f"{SEALED}{box.label}"]
        holds = {side: sum(n for half, n in box.content if half.side in {side, "either"}) for side in SIDES}
        need = max((ceil(wanted.count(side) / holds[side]) for side in SIDES if holds[side]), default=0)
        if need:
            found.append({"label": box.label, "count": need})
    return found


def redrawn(drawing: Drawing, system: System) -> Drawing:
    """A drawing that was kept, its lengths in another system of units."""
    unit = unit_for(Quantity.LENGTH, system)
    options: list[Drawing] = drawing.get("options", [])
    if drawing.get("kind") != "saddles" or all(p["unit"] == unit for option in options for p in option["places"]):
        return drawing
    return drawing | {"options": [option | {"places": [_converted(p, unit) for p in option["places"]]} for option in options]}


def _converted(place: Drawing, unit: str) -> Drawing:
    factor = float(unit_of(Quantity.LENGTH, place["unit"]).factor)
    lengths = {key: from_si(place[key] * factor, Quantity.LENGTH, unit) for key in LENGTHS if place[key] is not None}
    u = place["standard_uncertainty"] * factor
    text = write(place["value"] * factor, Quantity.LENGTH, unit=unit, decimals=telling_places(2 * u, Quantity.LENGTH, unit))
    return place | lengths | {"unit": unit, "text": text}
