"""A sheet: the pen, the engine as it stands, and the places where stations are to be marked."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import cos, pi, radians, sin

from tenths.engine.layout import Layout
from tenths.engine.stations import stations
from tenths.record.drawing.along import Along
from tenths.record.drawing.moving import Rides
from tenths.record.drawing.pen import Pen, Point, attributes, number
from tenths.record.drawing.sizes import Dimensions
from tenths.record.drawing.turning import Turn
from tenths.record.fitline import slug

SMALL, NORMAL = 5.6, 8.4  # radius of a mark [user units]


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a station is marked, the outline of its part as path text, and the words written beside it."""

    at: Point
    outline: str
    label: str = ""
    label_at: Point | None = None
    r: float = NORMAL
    anchor: str = "middle"
    ride: str = ""  # what moves it: attributes of its group
    outline_ride: str | None = None  # what moves the outline, where that is another way


@dataclass(frozen=True, slots=True)
class Frame:
    """What a view shows [m], and the room for words at its edges [user units]: left, right, top, bottom."""

    x: tuple[float, float]
    y: tuple[float, float]
    room: tuple[float, float, float, float]


@dataclass
class Sheet:
    """What every view draws with."""

    layout: Layout
    d: Dimensions
    places: Along
    turn: Turn
    pen: Pen

    @property
    def rides(self) -> Rides:
        """What moves the groups on this sheet."""
        return Rides(self.turn, self.pen.k)

    spots: dict[str, Spot] = field(default_factory=dict[str, Spot])

    def mark(self, address: str, spot: Spot) -> None:
        """Remember where a station stands; the first place counts."""
        self.spots.setdefault(address, spot)

    def stations(self, marks: Mapping[str, str], chosen: str | None, *, interactive: bool) -> None:
        """Draw the marks of all stations that stand on this sheet, in walking order."""
        pen = self.pen
        pen.begin('class="dr-stations"')
        for station in stations(self.layout):
            spot = self.spots.get(station.address)
            if spot is None:
                continue
            verdict = marks.get(station.address)
            words = f"{station.words}: {verdict}" if verdict else station.words
            kind = "dr-st" + (f" v-{slug(verdict)}" if verdict else "") + (
                " dr-chosen-st" if station.address == chosen else "")
            keys = attributes(tabindex="0", role="button", aria_label=words) if interactive else None
            pen.begin(attributes(id=f"{pen.prefix}st-{station.address}", class_=kind, data_station=station.address)
                      + (f" {keys}" if keys else "") + (spot.ride if spot.outline_ride is None else ""))
            pen.parts.append(f"<title>{words}</title>")
            self._outline(spot, chosen=station.address == chosen)
            if spot.outline_ride is not None:
                pen.begin(spot.ride)
            if spot.label and spot.label_at:
                pen.text(spot.label, spot.label_at, 14.0, anchor=spot.anchor, weight=500)
            if verdict:
                pen.symbol(verdict, spot.at, spot.r)
            if spot.outline_ride is not None:
                pen.end()
            pen.end()
        pen.end()

    def _outline(self, spot: Spot, *, chosen: bool) -> None:
        pen = self.pen
        if spot.outline_ride:
            pen.begin(spot.outline_ride)
        pen.path("hit", spot.outline)
        if chosen:
            pen.path("chosen", spot.outline)
        if spot.outline_ride:
            pen.end()


def around(pen: Pen, at: Point, r: float) -> str:
    """A circle as path text, for the outline of a station; radius in metres."""
    return pen.disc(at, r)


def turned(point: Point, angle: float, about: Point = (0.0, 0.0)) -> Point:
    """A point turned clockwise by an angle [deg]."""
    a = radians(angle)
    x, y = point[0], point[1]
    return about[0] + x * cos(a) + y * sin(a), about[1] - x * sin(a) + y * cos(a)


def sector(radius: float, middle: float, half: float) -> tuple[float, float]:
    """Least and greatest height of a circle's sector, its tip included; angles from straight up [rad]."""
    low, high = middle - half, middle + half
    heights = [0.0, radius * cos(low), radius * cos(high)]
    for k in range(-2, 4):
        if low <= k * pi <= high:
            heights.append(radius * cos(k * pi))
    return min(heights), max(heights)


def spring(pen: Pen, x: float, y: tuple[float, float], half: float, turns: int = 5) -> None:
    """A valve spring seen from the side."""
    step = (y[1] - y[0]) / turns
    for k in range(turns):
        pen.line("coil", (x - half, y[0] + (k + 0.10) * step), (x + half, y[0] + (k + 0.62) * step))


def shift(x: float, y: float) -> str:
    """A translation in user units as attribute text."""
    return f"translate({number(x)} {number(y)})"
