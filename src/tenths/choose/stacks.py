"""Gasket, deck cut, head cut, chamber and piston crown together: to a compression ratio and a squish clearance.

Every way that can be gone in steps of the machine is worked out, so that the best is proven by having looked at all.
Banks are independent of each other but for the gasket and the crown, which are the same throughout.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from tenths.choose.match_parts import Window
from tenths.choose.words import THOU
from tenths.errors import BadInput
from tenths.metrology.estimate import Estimate, exact

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

QUANTUM = 1e-9
LIMITS = ("ratio low", "ratio high", "squish low", "squish high", "valve", "deck cut")


@dataclass(frozen=True, slots=True)
class ValveRoom:
    """Room between a valve and the piston as it was read.

    Attributes:
        station: address of the valve.
        characteristic: name of what was read, as in the catalogue of findings.
        room: as read [m].
        lower: smallest allowed [m].
    """

    station: str
    characteristic: str
    room: Estimate
    lower: float


@dataclass(frozen=True, slots=True)
class StackCylinder:
    """A cylinder as it stands before anything is cut.

    Attributes:
        station: address, such as cyl.5.
        bore: diameter [m].
        stroke: twice the throw [m].
        deck: piston below the deck, + is below [m].
        chamber: volume in the head [m3].
        hollow: dish, pockets and crevice less dome of its piston [m3].
        place: where it lies along its bank [m], for a deck that is not parallel.
        valves: room of its valves.
    """

    station: str
    bore: Estimate
    stroke: Estimate
    deck: Estimate
    chamber: Estimate
    hollow: Estimate
    place: float = 0.0
    valves: tuple[ValveRoom, ...] = ()


@dataclass(frozen=True, slots=True)
class Bank:
    """Cylinders under one head.

    Attributes:
        name: of the bank.
        cylinders: front to back.
    """

    name: str
    cylinders: tuple[StackCylinder, ...]

    def __post_init__(self) -> None:
        if not self.cylinders:
            raise BadInput(f"bank {self.name}: at least one cylinder is needed")


@dataclass(frozen=True, slots=True)
class Gasket:
    """A head gasket that can be had.

    Attributes:
        id: of the gasket.
        thickness: tightened [m].
        bore: diameter of its hole [m].
    """

    id: str
    thickness: Estimate
    bore: Estimate


@dataclass(frozen=True, slots=True)
class Crown:
    """A piston crown that can be had.

    Attributes:
        id: of the piston.
        hollow: dish and pockets less dome [m3]; None for the pistons as they are.
        rise: how much higher its flat stands than that of the pistons as they are [m].
    """

    id: str
    hollow: Estimate | None = None
    rise: Estimate = field(default_factory=lambda: exact(0.0))


AS_IT_IS = Crown("pistons as they are")


@dataclass(frozen=True, slots=True)
class StackRules:
    """What may be done; common practice, no source.

    Attributes:
        ratio: limits and target of the compression ratio [-].
        squish: limits and target of the squish clearance [m].
        step: smallest cut of the machine [m].
        most_deck: most that a deck may lose anywhere [m].
        most_head: most that a head may lose [m]; 0 where heads are not cut.
        chamber_area: opening of a chamber at the head's face [m2]: what a cut takes out of its volume.
        most_opened: most by which a chamber may be opened [m3].
        open_step: step of opening [m3].
        true_up: whether a deck that is not parallel may be cut to be so.
        cut_u: standard uncertainty of a cut [m].
        gasket_now: thickness with which the room of the valves was read [m].
        ratio_per: deviation of the ratio that counts as one [-].
        squish_per: deviation of the squish clearance that counts as one [m].
        metal_per: thickness taken off that counts as one [m].
        set_up: what it costs to set a block or a head up on the machine at all [-].
    """

    ratio: Window
    squish: Window
    step: float = 0.5 * THOU
    most_deck: float = 15 * THOU
    most_head: float = 0.0
    chamber_area: float = 0.0
    most_opened: float = 0.0
    open_step: float = 0.5e-6
    true_up: bool = True
    cut_u: float = 0.2 * THOU
    gasket_now: Estimate | None = None
    ratio_per: float = 0.1
    squish_per: float = 5 * THOU
    metal_per: float = 10 * THOU
    set_up: float = 0.3

    def __post_init__(self) -> None:
        if not (self.step > 0 and self.open_step > 0 and min(self.ratio_per, self.squish_per, self.metal_per) > 0):
            raise BadInput("stack rules: steps and what counts as one must be above 0")
        if min(self.most_deck, self.most_head, self.most_opened) < 0:
            raise BadInput("stack rules: what may be taken off must be 0 or more")


@dataclass(frozen=True, slots=True)
class BankWay:
    """What is done to one bank.

    Attributes:
        bank: the bank.
        cuts: taken off the deck at each cylinder [m].
        trued: whether the deck is cut to be parallel to the crank.
        head: taken off the head [m].
        opened: added to each chamber [m3].
        score: cost of it.
        metal: thickness taken off, chambers included as thickness over the bore [m].
        ratio_off: worst deviation of the ratio from its target [-].
        squish_off: worst deviation of the squish clearance from its target [m].
    """

    bank: Bank
    cuts: tuple[float, ...]
    trued: bool
    head: float
    opened: float
    score: float
    metal: float
    ratio_off: float
    squish_off: float

    @property
    def machined(self) -> bool:
        """Whether anything is taken off."""
        return self.metal > QUANTUM


@dataclass(frozen=True, slots=True)
class Stack:
    """A gasket and a crown with what is done to each bank.

    Attributes:
        gasket: on every bank.
        crown: in every cylinder.
        ways: bank by bank.
    """

    gasket: Gasket
    crown: Crown
    ways: tuple[BankWay, ...]

    @property
    def score(self) -> float:
        """Cost of all banks together [-]."""
        return math.fsum(way.score for way in self.ways)

    @property
    def machined(self) -> bool:
        """Whether anything is taken off anywhere."""
        return any(way.machined for way in self.ways)


class Ways:
    """Everything that can be done to one bank under one gasket and crown, worked out at once.

    Attributes:
        over: by how much each limit is passed (limit, way), 0 where it is kept, in the unit of the limit.
        at: the cylinder that is worst in it (limit, way).
    """

    def __init__(self, bank: Bank, gasket: Gasket, crown: Crown, rules: StackRules, *, reach: float = 1.0) -> None:
        self.bank, self.gasket, self.crown, self.rules = bank, gasket, crown, rules
        self.cuts, self.trued, self.head, self.opened = _grid(bank, rules, reach)
        self._figures()
        self._limits()

    def _figures(self) -> None:
        cylinders, rules = self.bank.cylinders, self.rules
        area = np.array([math.pi / 4 * c.bore.value**2 for c in cylinders])
        rise = self.crown.rise.value
        deck = np.array([c.deck.value for c in cylinders]) - self.cuts - rise
        hollow = [c.hollow.value if self.crown.hollow is None else self.crown.hollow.value for c in cylinders]
        chamber = np.array([c.chamber.value for c in cylinders]) + (self.opened - rules.chamber_area * self.head)[:, None]
        volume = chamber + hollow + area * deck + math.pi / 4 * self.gasket.bore.value**2 * self.gasket.thickness.value
        swept = area * [c.stroke.value for c in cylinders]
        self.ratio: Floats = np.where(volume > 0, 1 + swept / np.maximum(volume, 1e-12), np.inf)
        self.squish: Floats = deck + self.gasket.thickness.value
        self.set_ups: Floats = (self.cuts.max(axis=1) > QUANTUM).astype(float) + ((self.head > QUANTUM) | (self.opened > 0)).astype(float)
        self.metal: Floats = self.cuts.mean(axis=1) + self.head + self.opened / area.mean()

    def _limits(self) -> None:
        rules = self.rules
        rows = [
            _below(self.ratio, rules.ratio.lower), _below(-self.ratio, _negative(rules.ratio.upper)),
            _below(self.squish, rules.squish.lower), _below(-self.squish, _negative(rules.squish.upper)),
            self._valves(), _below(-self.cuts, -rules.most_deck),
        ]
        self.over: Floats = np.stack([row.max(axis=1) for row in rows])
        self.at = np.stack([row.argmax(axis=1) for row in rows])

    def _valves(self) -> Floats:
        """What each cylinder's valves lack of their smallest room."""
        now = self.gasket.thickness.value if self.rules.gasket_now is None else self.rules.gasket_now.value
        closer = self.cuts + self.head[:, None] + self.crown.rise.value + now - self.gasket.thickness.value
        least = np.array([min((v.room.value - v.lower for v in c.valves), default=math.inf) for c in self.bank.cylinders])
        return np.maximum(0.0, closer - least)

    def best(self, *, machined: bool) -> BankWay | None:
        """The cheapest way that keeps every limit, with or without machining; None where there is none."""
        rules = self.rules
        fine = (self.over <= QUANTUM).all(axis=0) & (np.full(len(self.metal), fill_value=True) if machined else self.metal <= QUANTUM)
        if not fine.any():
            return None
        ratio, squish = self._off(self.ratio, rules.ratio.target), self._off(self.squish, rules.squish.target)
        score: Floats = ratio / rules.ratio_per + squish / rules.squish_per + self.metal / rules.metal_per + rules.set_up * self.set_ups
        order = np.lexsort((self.trued, self.metal, np.round(score, 9)))
        at = int(order[fine[order].argmax()])
        return BankWay(self.bank, tuple(map(float, self.cuts[at])), bool(self.trued[at]), float(self.head[at]), float(self.opened[at]),
                       float(score[at]), float(self.metal[at]), float(ratio[at]), float(squish[at]))

    def _off(self, values: Floats, target: float | None) -> Floats:
        if target is None:
            return np.zeros(len(values))
        return np.abs(np.minimum(values, 1e6) - target).max(axis=1)


def _below(values: Floats, lower: float | None) -> Floats:
    return np.zeros_like(values) if lower is None else np.maximum(0.0, lower - values)


def _negative(value: float | None) -> float | None:
    return None if value is None else -value


def slope_cuts(bank: Bank) -> tuple[float, ...]:
    """What has to come off at each cylinder for the deck to lie parallel to the crank, least at the lowest place.

    Args:
        bank: with the deck clearances as they are.

    Returns:
        Cuts [m], 0 at the cylinder where the least comes off: the straight line of least squares through the clearances.
    """
    places = np.array([c.place for c in bank.cylinders])
    decks = np.array([c.deck.value for c in bank.cylinders])
    if np.ptp(places) <= 0:
        return (0.0,) * len(decks)
    centred = places - places.mean()
    line = (centred @ decks) / (centred @ centred) * centred
    return tuple(float(x) for x in line - line.min())


def _grid(bank: Bank, rules: StackRules, reach: float) -> tuple[Floats, NDArray[np.bool_], Floats, Floats]:
    """Every combination of cut, way of cutting, head cut and opening."""
    cuts = _steps(rules.most_deck * reach, rules.step)
    shapes = [np.zeros(len(bank.cylinders))]
    slope = np.array(slope_cuts(bank))
    if rules.true_up and slope.max() > QUANTUM:
        shapes.append(slope)
    heads = _steps(rules.most_head if rules.chamber_area > 0 else 0.0, rules.step)
    opens = _steps(rules.most_opened, rules.open_step)
    s, c, h, o = (each.ravel() for each in np.meshgrid(range(len(shapes)), cuts, heads, opens, indexing="ij"))
    return np.array(shapes)[s.astype(int)] + c[:, None], s > 0, h, o


def _steps(most: float, step: float) -> Floats:
    return np.arange(math.floor(most / step + 1e-6) + 1, dtype=np.float64) * step


def every_stack(banks: Sequence[Bank], gaskets: Sequence[Gasket], crowns: Sequence[Crown], rules: StackRules) -> list[Stack]:
    """The best stack for each gasket and crown, with machining and without, best first.

    Args:
        banks: of the engine.
        gaskets: that can be had.
        crowns: that can be had.
        rules: what may be done.

    Returns:
        Those that keep every limit; none where nothing does. The first is the best of all ways there are.

    Raises:
        BadInput: if there is no bank, no gasket or no crown.
    """
    if not (banks and gaskets and crowns):
        raise BadInput(f"stacks: {len(banks)} banks, {len(gaskets)} gaskets, {len(crowns)} crowns; at least one of each is needed")
    found = [stack for gasket in gaskets for crown in crowns for stack in _both(banks, gasket, crown, rules)]
    return sorted(found, key=lambda stack: round(stack.score, 9))


def _both(banks: Sequence[Bank], gasket: Gasket, crown: Crown, rules: StackRules) -> Iterator[Stack]:
    every = [Ways(bank, gasket, crown, rules) for bank in banks]
    best = [ways.best(machined=True) for ways in every]
    chosen = [way for way in best if way is not None]
    if len(chosen) < len(best):
        return
    stack = Stack(gasket, crown, tuple(chosen))
    yield stack
    if stack.machined:
        left = [way for ways in every if (way := ways.best(machined=False)) is not None]
        if len(left) == len(best):
            yield Stack(gasket, crown, tuple(left))
