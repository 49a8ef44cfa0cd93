"""A choice of shells as plain data for a drawing: the saddles in a row, the halves in them, the boxes to open beside."""

from collections.abc import Mapping, Sequence
from math import ceil
from typing import Any

from tenths.choose.answer import Answer, Pick
from tenths.choose.shells import Half, Place, Side, Stock
from tenths.choose.what_if import ShellQuestion

SIDES: tuple[Side, Side] = ("upper", "lower")
SEALED = "sealed:"
Drawing = dict[str, Any]


def saddles(question: ShellQuestion, answer: Answer) -> Drawing:
    """The answer and the next-best ones, each as saddles with halves and the boxes to open.

    Args:
        question: that was asked.
        answer: to it.

    Returns:
        ``kind`` "saddles" and ``options``, the best first: ``places`` (station, upper, lower) and ``boxes`` (label,
        count). A half has its id, size, box, and whether it is grooved, flanged, sealed, or stays; ``moved`` says that it
        is somewhere else now.
    """
    if not answer.possible:
        return {}
    halves = {half.id: half for half in question.stock.halves}
    options = [answer.picks, *(other.picks for other in answer.alternatives)]
    return {"kind": "saddles", "options": [_option(question, halves, picks) for picks in options]}


def _option(question: ShellQuestion, halves: Mapping[str, Half], picks: Sequence[Pick]) -> Drawing:
    by_slot = {pick.where: pick for pick in picks}
    places = [{"station": place.station, **{side: _half(question.stock, place, side, by_slot, halves) for side in SIDES}}
              for place in question.places]
    return {"places": places, "boxes": boxes_to_open(question.stock, picks)}


def _half(stock: Stock, place: Place, side: Side, picks: Mapping[str, Pick], halves: Mapping[str, Half]) -> Drawing:
    pick = picks.get(f"{place.station}.shell.{side}")
    if pick is None:
        fitted = place.seat(side).fitted
        return _drawn(fitted, fitted.id if fitted else "", kept=True) if fitted else {}
    if pick.what.startswith(SEALED):
        label = pick.what.removeprefix(SEALED)
        return _drawn(_sealed(stock, place, side, label), label, sealed=True)
    half = halves[pick.what]
    return _drawn(half, half.id, moved=half.at not in {"", pick.where})


def _drawn(half: Half, name: str, *, sealed: bool = False, kept: bool = False, moved: bool = False) -> Drawing:
    return {"id": name, "size": half.size.label, "box": half.box, "grooved": half.grooved, "flanged": half.thrust,
            "sealed": sealed, "kept": kept, "moved": moved}


def _sealed(stock: Stock, place: Place, side: Side, label: str) -> Half:
    """The half out of a sealed box of that size that goes to one side of a place."""
    seat = place.seat(side)
    rows = [half for box in stock.boxes if box.label == label for half, _ in box.content if half.kind == place.kind]
    fitting = [half for half in rows if half.side in {side, "either"} and half.thrust == seat.thrust]
    return (fitting or rows)[0]


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
