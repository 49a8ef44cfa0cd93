"""Where everything stands along the crank: bores, rods, crankpins, mains, cheeks, camshaft bearings and lobes."""

from dataclasses import dataclass
from itertools import pairwise

from tenths.engine.layout import Camshaft, Layout
from tenths.record.drawing.seats import seats
from tenths.record.drawing.sizes import FLYING_WEB, Dimensions, in_block

Span = tuple[float, float]  # from, to along the crank [m]; the front is the smaller


@dataclass(frozen=True, slots=True)
class Cheek:
    """A slab between two journals: where it stands, the crankpins it carries, whether it ends at a main."""

    span: Span
    pins: tuple[int, ...]
    at_main: bool


@dataclass(frozen=True, slots=True)
class Along:
    """Places along the crank [m]; the first bore of the first bank stands at 0."""

    bores: dict[str, float]
    rods: dict[str, Span]
    pins: dict[int, Span]
    mains: dict[int, Span]
    cheeks: tuple[Cheek, ...]
    front: float
    rear: float

    @property
    def middle(self) -> float:
        """Half way between the faces of the block."""
        return (self.front + self.rear) / 2


def along(layout: Layout, d: Dimensions) -> Along:
    """Places along the crank: the bores by their spacing, the crankpins under them, the mains between.

    Where widths were given that leave no room between neighbours, the journals are drawn narrower: the bores rule.
    """
    bores = _bores(layout, d)
    pins = _pins(layout, d, bores)
    mains = _mains(layout, d, pins)
    rods = _rods(layout, pins, bores)
    front, rear = _faces(d, bores, mains)
    return Along(bores, rods, pins, mains, _cheeks(layout, pins, mains), front, rear)


def _bores(layout: Layout, d: Dimensions) -> dict[str, float]:
    shift = {bank.name: i * d["bank-offset"] for i, bank in enumerate(layout.banks)}
    return {c.label: (c.place - 1) * d["bore-spacing"] + shift[c.bank] for c in layout.cylinders}


def _pins(layout: Layout, d: Dimensions, bores: dict[str, float]) -> dict[int, Span]:
    centres = {p.number: _mean([bores[c.label] for c in layout.on_pin(p.number)]) for p in layout.pins}
    room = min((b - a for a, b in pairwise(sorted(centres.values()))), default=d["bore-spacing"])
    half = min(d["pin-width"], room - 0.4 * FLYING_WEB * d["bore"] if room > 0 else d["pin-width"]) / 2
    return {n: (x - half, x + half) for n, x in centres.items()}


def _mean(values: list[float]) -> float:
    return sum(values) / len(values)


def _rods(layout: Layout, pins: dict[int, Span], bores: dict[str, float]) -> dict[str, Span]:
    rods: dict[str, Span] = {}
    for number, (x0, x1) in pins.items():
        there = sorted(layout.on_pin(number), key=lambda c: bores[c.label])
        play = 0.04 * (x1 - x0)
        width = (x1 - x0 - play) / len(there)
        for k, cylinder in enumerate(there):
            rods[cylinder.label] = (x0 + play / 2 + k * width, x0 + play / 2 + (k + 1) * width)
    return rods


def _mains(layout: Layout, d: Dimensions, pins: dict[int, Span]) -> dict[int, Span]:
    def ends(throw: int) -> list[Span]:
        return [pins[p.number] for p in layout.pins if p.throw == throw]

    mains: dict[int, Span] = {}
    for number, after in enumerate(layout.main_after_throw, 1):
        before, behind = ends(after), ends(after + 1)
        if before and behind:
            left, right = max(x for _, x in before), min(x for x, _ in behind)
            half = min(d["main-width"], 0.62 * (right - left)) / 2
            mains[number] = ((left + right) / 2 - half, (left + right) / 2 + half)
        elif behind:
            right = min(x for x, _ in behind) - d["cheek-width"]
            mains[number] = (right - d["main-width"], right)
        else:
            left = max(x for _, x in before) + d["cheek-width"]
            mains[number] = (left, left + d["main-width"])
    return mains


def _cheeks(layout: Layout, pins: dict[int, Span], mains: dict[int, Span]) -> tuple[Cheek, ...]:
    rows = [(pins if kind == "pin" else mains)[n] + ((kind, n),) for kind, n in layout.along_the_crank()]
    return tuple(Cheek((a[1], b[0]), tuple(n for kind, n in (a[2], b[2]) if kind == "pin"),
                       "main" in {a[2][0], b[2][0]})
                 for a, b in pairwise(rows))


def _faces(d: Dimensions, bores: dict[str, float], mains: dict[int, Span]) -> Span:
    wall, half = 0.13 * d["bore"], d["bore"] / 2
    front = min(min(bores.values()) - half - wall, mains[1][0])
    rear = max(max(bores.values()) + half + wall, mains[len(mains)][1])
    if not d.guess("block-length"):
        extra = d["block-length"] - (rear - front)
        return front - extra / 2, rear + extra / 2
    return front, rear


@dataclass(frozen=True, slots=True)
class ShaftAlong:
    """A camshaft along the engine: its ends, its bearings and its lobes by (cylinder, valve)."""

    span: Span
    bearings: tuple[Span, ...]
    lobes: dict[tuple[str, str], Span]


def shaft_along(layout: Layout, shaft: Camshaft, places: Along, d: Dimensions) -> ShaftAlong:
    """Bearings spread evenly over the block; lobes over their valves, or evenly between the bearings in the block."""
    wide = (0.16 if in_block(layout, shaft) else 0.11) * d["bore"]
    first, last = places.front + wide / 2, places.rear - wide / 2
    if not in_block(layout, shaft):
        bores = [places.bores[label] for label, _ in shaft.drives]
        first = max(first, min(bores) - d["bore-spacing"] / 2)
        last = min(last, max(bores) + d["bore-spacing"] / 2)
    step = (last - first) / max(shaft.bearings - 1, 1)
    centres = [first + k * step for k in range(shaft.bearings)]
    lobes = (_lobes_between(shaft, centres, step, wide, 0.15 * d["bore"]) if in_block(layout, shaft)
             else _lobes_over_valves(layout, shaft, places, d))
    bearings = tuple((x - wide / 2, x + wide / 2) for x in centres)
    return ShaftAlong((places.front - 0.10 * d["bore"], places.rear), bearings, lobes)


def _lobes_between(shaft: Camshaft, centres: list[float], step: float, wide: float, thick: float,
                   ) -> dict[tuple[str, str], Span]:
    count = max(shaft.bearings - 1, 1)
    bays: list[list[tuple[str, str]]] = [[] for _ in range(count)]
    for k, drive in enumerate(shaft.drives):
        bays[min(int((k + 0.5) * count / len(shaft.drives)), count - 1)].append(drive)
    lobes: dict[tuple[str, str], Span] = {}
    for centre, bay in zip(centres, bays, strict=False):
        pitch = (step - wide) / max(len(bay), 1)
        half = min(thick, 0.6 * pitch) / 2
        for i, drive in enumerate(bay):
            at = centre + wide / 2 + (i + 0.5) * pitch
            lobes[drive] = (at - half, at + half)
    return lobes


def _lobes_over_valves(layout: Layout, shaft: Camshaft, places: Along, d: Dimensions) -> dict[tuple[str, str], Span]:
    along_bore = {seat.name: seat.along for seat in seats(layout, d, 1.0)}
    half = (0.065 if len(layout.valves) > 2 else 0.08) * d["bore"]
    return {(label, valve): (places.bores[label] + along_bore[valve] - half, places.bores[label] + along_bore[valve] + half)
            for label, valve in shaft.drives}
