"""Places for shells, halves of shells, and what a clearance comes to from them.

One idea carries it: a place has *room*, which the two walls and the oil share. Housing bore less journal is the room;
the clearance is room less both walls plus crush, the small systematic difference between a predicted and an installed
inside diameter.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from tenths.errors import BadInput
from tenths.metrology.estimate import Estimate, combine, difference, exact, single

Side = Literal["upper", "lower"]
Mixing = Literal["loaded", "unloaded", "either"]

LOADED: Mapping[str, Side] = {"main": "lower", "rod": "upper"}
STEP = 2.6e-5  # most between two halves [m]: sizes go by 0.001 in, or by 0.025 to 0.026 mm; common practice, no source
SCATTER = 0.00005 * 0.0254  # standard deviation [m] of a half's wall in its box; common practice, no source
NO_CRUSH = exact(0.0)


@dataclass(frozen=True, slots=True)
class Size:
    """A size of shell.

    Attributes:
        label: what the box says: "std", "+1", "-10".
        change: of clearance when a pair of this size replaces a standard pair [m]; + is extra clearance, - undersize.
    """

    label: str
    change: float


STANDARD = Size("std", 0.0)


@dataclass(frozen=True, slots=True)
class Half:
    """Half a shell, or all alike in a sealed box.

    Attributes:
        id: of the half; in a sealed box, of the kind.
        kind: of place that it is made for: main, rod.
        size: what the box says.
        wall: thickness at the crown [m], measured or nominal.
        side: where it can go: upper, lower, either.
        grooved: whether it has an oil groove.
        thrust: whether it has flanges.
        box: the box that it came from.
        only_at: stations that it is made for; empty means every one of its kind.
        at: slot where it is now; of halves that are alike, each stays where it is if one of them goes there.
    """

    id: str
    kind: str
    size: Size
    wall: Estimate
    side: Literal["upper", "lower", "either"] = "either"
    grooved: bool = False
    thrust: bool = False
    box: str = ""
    only_at: tuple[str, ...] = ()
    at: str = ""


@dataclass(frozen=True, slots=True)
class Box:
    """A box not yet opened: its halves are known by what it says on it.

    Attributes:
        label: what it is called.
        content: kinds of half, each with how many there are.
        count: how many such boxes there are.
    """

    label: str
    content: tuple[tuple[Half, int], ...]
    count: int = 1


@dataclass(frozen=True, slots=True)
class Stock:
    """What is in the house.

    Attributes:
        halves: loose ones, from boxes already opened.
        boxes: those not yet opened.
    """

    halves: tuple[Half, ...] = ()
    boxes: tuple[Box, ...] = ()

    def with_box(self, box: Box) -> Stock:
        """The same with one more box.

        Args:
            box: to add.

        Returns:
            The larger stock.
        """
        return replace(self, boxes=(*self.boxes, box))


@dataclass(frozen=True, slots=True)
class Seat:
    """One side of a place.

    Attributes:
        grooved: True or False where the half must or must not be grooved; None where either will do.
        thrust: whether the half must have flanges.
        fitted: a half that is in and stays in; None leaves the choice open.
    """

    grooved: bool | None = None
    thrust: bool = False
    fitted: Half | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """A main or a big end that needs two halves.

    Attributes:
        station: address, such as main.3.
        kind: main, rod, or another kind that halves are made for.
        room: housing bore less journal [m].
        target: clearance wanted [m].
        lower: smallest clearance allowed [m].
        upper: largest clearance allowed [m].
        crush: installed less predicted inside diameter [m].
        loaded: side that carries the load.
        upper_seat: what the upper half must be.
        lower_seat: what the lower half must be.
    """

    station: str
    kind: str
    room: Estimate
    target: float
    lower: float
    upper: float
    crush: Estimate = NO_CRUSH
    loaded: Side = "lower"
    upper_seat: Seat = field(default=Seat())
    lower_seat: Seat = field(default=Seat())

    def __post_init__(self) -> None:
        if not self.lower <= self.target <= self.upper:
            raise BadInput(f"{self.station}: target {self.target:g} m must lie within {self.lower:g} to {self.upper:g}")

    def seat(self, side: Side) -> Seat:
        """What the half on one side must be."""
        return self.upper_seat if side == "upper" else self.lower_seat


@dataclass(frozen=True, slots=True)
class ShellRules:
    """House rules for shells.

    Attributes:
        step: most that the sizes of two halves in one place may differ, as change of clearance by pairs [m].
        thicker: side for the thicker half of a half-and-half; "either" turns the rule off.
        mixed: whether half-and-halves are allowed at all.
    """

    step: float = STEP
    thicker: Mixing = "loaded"
    mixed: bool = True


HOUSE_SHELL_RULES = ShellRules()


def place_from_parts(
    station: str,
    kind: str,
    *,
    housing: Estimate,
    journal: Estimate,
    target: float,
    lower: float,
    upper: float,
    crush: Estimate = NO_CRUSH,
    upper_seat: Seat = Seat(),
    lower_seat: Seat = Seat(),
) -> Place:
    """A place whose housing and journal have been measured.

    Args:
        station: address.
        kind: main or rod; it decides which side is loaded (cap of a main, upper half of a rod).
        housing: bore without shells [m].
        journal: diameter [m].
        target: clearance wanted [m].
        lower: smallest clearance allowed [m].
        upper: largest clearance allowed [m].
        crush: installed less predicted inside diameter [m].
        upper_seat: what the upper half must be.
        lower_seat: what the lower half must be.

    Returns:
        The place; causes that housing and journal share cancel in its room.
    """
    return Place(
        station,
        kind,
        difference(housing, journal),
        target,
        lower,
        upper,
        crush,
        LOADED.get(kind, "lower"),
        upper_seat,
        lower_seat,
    )


def place_from_clearance(
    station: str,
    kind: str,
    *,
    clearance: Estimate,
    walls: Sequence[Estimate] = (),
    target: float,
    lower: float,
    upper: float,
    upper_seat: Seat = Seat(),
    lower_seat: Seat = Seat(),
) -> Place:
    """A place whose clearance has been measured with shells in it; crush is then in the reading.

    Args:
        station: address.
        kind: main or rod.
        clearance: as measured [m].
        walls: of the two halves that were in [m]; none where a standard pair was in and walls are taken relative to it.
        target: clearance wanted [m].
        lower: smallest clearance allowed [m].
        upper: largest clearance allowed [m].
        upper_seat: what the upper half must be.
        lower_seat: what the lower half must be.

    Returns:
        The place.
    """
    room = combine([1.0] * (1 + len(walls)), [clearance, *walls])
    return Place(station, kind, room, target, lower, upper, NO_CRUSH, LOADED.get(kind, "lower"), upper_seat, lower_seat)


def wall_of(size: Size, *, standard: Estimate = NO_CRUSH, name: str = "", scatter: float = SCATTER) -> Estimate:
    """Nominal wall of a half: it takes half of what its pair changes.

    Args:
        size: what the box says.
        standard: wall of the standard half [m]; 0 takes walls relative to it.
        name: tells the half's own scatter from that of others; halves of one name share it.
        scatter: standard deviation of one half [m].

    Returns:
        The wall [m].
    """
    own = single(-size.change / 2, scatter, f"wall:{name or size.label}") if scatter else exact(-size.change / 2)
    return combine((1.0, 1.0), (standard, own))


def boxes_by_size(
    kind: str,
    sets: Mapping[Size, int],
    *,
    places: int,
    standard: Estimate = NO_CRUSH,
    grooved_upper: bool = False,
    thrust_places: int = 0,
    scatter: float = SCATTER,
) -> tuple[Box, ...]:
    """Sealed sets, each with one upper and one lower half for every place of an engine.

    Args:
        kind: main or rod.
        sets: how many sets of each size are in the house.
        places: that one set serves, thrust places among them.
        standard: wall of the standard half [m]; 0 takes walls relative to it.
        grooved_upper: whether the upper halves are grooved and the lower ones plain.
        thrust_places: how many of the places have flanged shells.
        scatter: standard deviation of one half's wall [m].

    Returns:
        One kind of box for each size that is there.
    """
    found: list[Box] = []
    for size, count in sets.items():
        if count <= 0:
            continue
        wall = wall_of(size, standard=standard, name=f"{kind}:{size.label}", scatter=scatter)
        content: list[tuple[Half, int]] = []
        sides: tuple[Side, Side] = ("upper", "lower")
        for side in sides:
            grooved = grooved_upper and side == "upper"
            for thrust, each in ((False, places - thrust_places), (True, thrust_places)):
                if each > 0:
                    words = f"{size.label} {'thrust ' if thrust else ''}{side}"
                    content.append((Half(words, kind, size, wall, side, grooved, thrust, size.label), each))
        found.append(Box(size.label, tuple(content), count))
    return tuple(found)


def clearance(place: Place, upper: Half, lower: Half) -> Estimate:
    """Clearance to be expected.

    Args:
        place: where.
        upper: the upper half.
        lower: the lower half.

    Returns:
        Room less both walls plus crush [m]. The two halves' own scatter does not cancel between places or sides.
    """
    walls = [_own(half.wall, place.station, side) for half, side in ((upper, "upper"), (lower, "lower"))]
    return combine((1.0, -1.0, -1.0, 1.0), (place.room, *walls, place.crush))


def _own(wall: Estimate, station: str, side: str) -> Estimate:
    """The wall of one half taken from many alike: its scatter is its own."""
    if not any(cause.startswith("wall:") for cause in wall.parts):
        return wall

    def renamed(cause: str) -> str:
        return f"{cause}:{station}:{side}" if cause.startswith("wall:") else cause

    return Estimate(
        wall.value,
        {renamed(c): part for c, part in wall.parts.items()},
        {renamed(c): nu for c, nu in wall.freedom.items()},
        {renamed(c): shape for c, shape in wall.shape.items()},
    )


def suits(half: Half, place: Place, side: Side) -> bool:
    """Whether a half may go to one side of a place.

    Args:
        half: the half.
        place: the place.
        side: of it.

    Returns:
        Whether kind, side, groove, flanges and station agree.
    """
    seat = place.seat(side)
    return (
        half.kind == place.kind
        and half.side in {side, "either"}
        and half.thrust == seat.thrust
        and seat.grooved in {None, half.grooved}
        and (not half.only_at or place.station in half.only_at)
    )


def may_pair(upper: Half, lower: Half, place: Place, rules: ShellRules) -> bool:
    """Whether two halves may stand together in a place by the house rules.

    Args:
        upper: the upper half.
        lower: the lower half.
        place: where.
        rules: of the house.

    Returns:
        Whether sizes are no more than a step apart and the thicker one is on the right side.
    """
    return sizes_may_pair(upper.size, lower.size, place.loaded, rules)


def sizes_may_pair(upper: Size, lower: Size, loaded: Side, rules: ShellRules) -> bool:
    """Whether halves of two sizes may stand together.

    Args:
        upper: size of the upper half.
        lower: size of the lower half.
        loaded: side that carries the load.
        rules: of the house.

    Returns:
        Whether sizes are no more than a step apart and the thicker one is on the right side.
    """
    apart = upper.change - lower.change
    if abs(apart) < 1e-9:
        return True
    if not rules.mixed or abs(apart) > rules.step + 1e-9:
        return False
    if rules.thicker == "either":
        return True
    thicker: Side = "lower" if apart > 0 else "upper"
    return (thicker == loaded) == (rules.thicker == "loaded")


def with_crush(places: Iterable[Place], kind: str, crush: Estimate) -> tuple[Place, ...]:
    """The same places after the crush offset of a kind of shell has been learned.

    Args:
        places: of any kind.
        kind: whose shells it was learned from.
        crush: the offset [m].

    Returns:
        Places of that kind with the new offset, the others unchanged.
    """
    return tuple(replace(p, crush=crush) if p.kind == kind else p for p in places)
