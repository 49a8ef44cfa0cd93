"""The layout of an engine: banks, throws, crankpins, mains, cylinders and firing order.

Angles are in degrees, seen from the front of the engine, clockwise positive. A bank's angle is that of its cylinder
axes from straight up; a crankpin's angle is that of the pin from straight up when the crank stands at zero. The crank
turns clockwise unless the layout says otherwise, so cylinder c is at top dead centre when
``pin angle + crank angle = bank angle`` (mod 360).
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from tenths.errors import BadInput

CYCLE = 720.0
Turning = Literal["clockwise", "anticlockwise"]


@dataclass(frozen=True)
class Bank:
    """A row of cylinders: name ("A", "B"), angle from straight up [deg]."""

    name: str
    angle: float


@dataclass(frozen=True)
class Pin:
    """A crankpin journal: number from the front, the throw it belongs to, angle [deg]."""

    number: int
    throw: int
    angle: float


@dataclass(frozen=True)
class Cylinder:
    """A cylinder under the maker's own label, with its bank, its place in that bank (1 = front) and its crankpin."""

    label: str
    bank: str
    place: int
    pin: int


@dataclass(frozen=True)
class Camshaft:
    """A camshaft: name, bearings, and the (cylinder, valve) pairs it drives, front to back."""

    name: str
    bearings: int
    drives: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Layout:
    """A whole layout; build it with `tenths.engine.describe.layout_from_text`, which also checks it."""

    text: str
    banks: tuple[Bank, ...]
    pins: tuple[Pin, ...]
    cylinders: tuple[Cylinder, ...]
    main_after_throw: tuple[int, ...]  # main k stands behind this throw; 0 = in front of the first
    thrust_main: int
    firing_order: tuple[str, ...]
    camshafts: tuple[Camshaft, ...] = ()
    valves: tuple[str, ...] = ("in", "ex")
    turns: Turning = "clockwise"
    rings: tuple[str, ...] = ("top", "second", "oil")

    @cached_property
    def labels(self) -> tuple[str, ...]:
        """Cylinder labels in walking order: bank by bank is not walked, pin by pin from the front is."""
        return tuple(c.label for c in sorted(self.cylinders, key=lambda c: (c.pin, c.bank)))

    @cached_property
    def throws(self) -> int:
        """Number of throws."""
        return max(pin.throw for pin in self.pins)

    @property
    def mains(self) -> int:
        """Number of main bearings."""
        return len(self.main_after_throw)

    def cylinder(self, label: str) -> Cylinder:
        """The cylinder under the maker's label; raises BadInput when there is none."""
        for cylinder in self.cylinders:
            if cylinder.label == label:
                return cylinder
        raise BadInput(f"cylinder {label!r} is not in this engine: it has {', '.join(self.labels)}")

    def bank(self, name: str) -> Bank:
        """The bank of that name."""
        return next(b for b in self.banks if b.name == name)

    def pin(self, number: int) -> Pin:
        """The crankpin of that number."""
        return self.pins[number - 1]

    def on_pin(self, number: int) -> tuple[Cylinder, ...]:
        """The cylinders whose rods run on that crankpin."""
        return tuple(c for c in self.cylinders if c.pin == number)

    def on_bank(self, name: str) -> tuple[Cylinder, ...]:
        """The cylinders of that bank, front to back."""
        return tuple(sorted((c for c in self.cylinders if c.bank == name), key=lambda c: c.place))

    def top_dead_centre(self, label: str) -> float:
        """Crank angle [deg, 0 to 360) at which the cylinder's piston stands nearest its head (no pin offset)."""
        cylinder = self.cylinder(label)
        angle = self.bank(cylinder.bank).angle - self.pin(cylinder.pin).angle
        return (angle if self.turns == "clockwise" else -angle) % 360.0

    def firing_angles(self) -> dict[str, float]:
        """Crank angle of firing TDC of each cylinder after that of the first in the firing order [deg, 0 to 720).

        Each cylinder passes its dead centre twice in a cycle; of the ways that keep the order, the most even is taken. No
        two cylinders fire together.
        Raises BadInput when the crank cannot make the firing order.
        """
        first = self.top_dead_centre(self.firing_order[0])
        ways: dict[float, tuple[float, tuple[float, ...]]] = {0.0: (0.0, (0.0,))}  # last angle: (unevenness, angles)
        for label in self.firing_order[1:]:
            here = round((self.top_dead_centre(label) - first) % 360.0, 6) % 360.0
            ways = _best_ways(ways, (here, here + 360.0))
            if not ways:
                raise BadInput(f"firing order: this crank cannot fire {'-'.join(self.firing_order)}: {label} comes to "
                               f"its dead centre too late; check throws, bank angles and numbering")
        best = min(((cost + (CYCLE - at) ** 2, angles) for at, (cost, angles) in ways.items()))[1]
        return dict(zip(self.firing_order, best, strict=True))

    def firing_intervals(self) -> tuple[float, ...]:
        """Angles between one firing and the next [deg], in firing order; they add up to 720."""
        at = list(self.firing_angles().values())
        return tuple(b - a for a, b in zip(at, [*at[1:], CYCLE], strict=True))

    def along_the_crank(self) -> tuple[tuple[Literal["main", "pin"], int], ...]:
        """Mains and crankpins from the front to the back."""
        order: list[tuple[Literal["main", "pin"], int]] = []
        for throw in range(self.throws + 1):
            for pin in self.pins:
                if pin.throw == throw:
                    order.append(("pin", pin.number))
            for number, after in enumerate(self.main_after_throw, 1):
                if after == throw:
                    order.append(("main", number))
        return tuple(order)


def _best_ways(ways: dict[float, tuple[float, tuple[float, ...]]], angles: tuple[float, float],
               ) -> dict[float, tuple[float, tuple[float, ...]]]:
    """The most even way to come to each of two angles of the next cylinder."""
    found: dict[float, tuple[float, tuple[float, ...]]] = {}
    for angle in angles:
        costs = [(cost + (angle - at) ** 2, (*path, angle)) for at, (cost, path) in ways.items() if angle > at]
        if costs:
            found[angle] = min(costs)
    return found
