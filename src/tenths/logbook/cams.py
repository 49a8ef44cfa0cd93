"""Zeros of the wheel, readings of lobes and the maker's card as the fold understands them: SI, or a sentence that says what is wrong."""

import re
from dataclasses import dataclass, field, replace
from math import pi

from tenths.engine.layout import Layout
from tenths.engine.quantity import Quantity, System, parse, unit_for
from tenths.engine.stations import station_map
from tenths.errors import BadInput
from tenths.logbook.cam_bodies import CamCarded, LobeRead, TimingMoved, WheelMoved, WheelZeroed
from tenths.logbook.marks import Mark

WAYS = ("stop", "heights", "dwell")
PLACES = ("follower", "valve", "retainer")
APPROACHES = ("one side", "both sides")
FOLLOWERS = ("", "flat", "roller", "pivoted")
MOST_POINTS, MOST_LIFT = 2000, 0.04
_WORDED = re.compile(r"(.*?)\s*\b([ab])([tb])dc\.?\s*$", re.IGNORECASE)
L, A, R = Quantity.LENGTH, Quantity.ANGLE, Quantity.RATIO


@dataclass(frozen=True, slots=True)
class Zero:
    """A zero of the wheel: what it read on either side [rad], and its limits of error by field [SI]."""

    mark: Mark
    body: WheelZeroed
    before: tuple[float, ...]
    after: tuple[float, ...]
    sizes: dict[str, float]


@dataclass(frozen=True, slots=True)
class Batch:
    """Readings of a lobe taken at one go: angle on the wheel [rad] and lift where the dial stood [m]; the zero they hang on."""

    mark: Mark
    body: LobeRead
    zero: str
    points: tuple[tuple[float, float], ...]
    sizes: dict[str, float]


@dataclass(frozen=True, slots=True)
class Card:
    """A maker's card: sizes by field [SI], and durations by side as (lift, duration) [m, rad]."""

    mark: Mark
    body: CamCarded
    sizes: dict[str, float]
    durations: dict[str, tuple[tuple[float, float], ...]]
    events: tuple[float, ...] = ()
    events_lift: float = 0.0


@dataclass(frozen=True, slots=True)
class Moved:
    """The timing set put to another position: shaft (empty for all), earlier by [rad]."""

    mark: Mark
    body: TimingMoved
    advance: float


@dataclass(frozen=True, slots=True)
class CamLog:
    """All that the log says of the timing of an engine's camshafts."""

    zeros: tuple[Zero, ...] = ()
    lost: Mark | None = None
    batches: tuple[Batch, ...] = ()
    moves: tuple[Moved, ...] = ()
    card: Card | None = None
    lost_words: str = field(default="", compare=False)

    @property
    def zero(self) -> Zero | None:
        """The zero in force; None before one was found or after it was lost."""
        return self.zeros[-1] if self.zeros and self.lost is None else None


def zeroed(log: CamLog, mark: Mark, body: WheelZeroed, layout: Layout | None, system: System) -> CamLog:
    """The log with a zero; raises BadInput naming the field that cannot be."""
    if layout is None or body.cylinder not in layout.labels:
        raise BadInput(f"cylinder: {body.cylinder!r} is not in this engine; there are {', '.join(layout.labels if layout else ())}")
    _one_of("way", body.way, WAYS)
    _one_of("approach", body.approach, APPROACHES)
    if not body.before or len(body.before) != len(body.after):
        raise BadInput(f"before has {len(body.before)} readings, after {len(body.after)}: as many, and one or more, are taken")
    before = tuple(wheel_angle(text, "before") for text in body.before)
    after = tuple(wheel_angle(text, "after") for text in body.after)
    for low, high in zip(before, after, strict=True):
        if not 0.0 < (high - low) % (2 * pi) < pi:
            raise BadInput(f"before and after: {body.before[before.index(low)]!r} and {body.after[after.index(high)]!r} do not lie on "
                           "either side of top dead centre; the first is read as the piston comes up")
    after = tuple(low + (high - low) % (2 * pi) for low, high in zip(before, after, strict=True))
    sizes = _sizes(body, {"read_to": A, "wheel_good_to": A, "height_good_to": L}, system)
    return replace(log, zeros=(*log.zeros, Zero(mark, body, before, after, sizes)), lost=None, lost_words="")


def wheel_lost(log: CamLog, mark: Mark, body: WheelMoved) -> CamLog:
    """The log without a zero in force."""
    return replace(log, lost=mark, lost_words=body.note)


def lobe_read(log: CamLog, mark: Mark, body: LobeRead, layout: Layout | None, system: System) -> CamLog:
    """The log with readings of a lobe; raises BadInput naming the field that cannot be."""
    known = [s.address for s in station_map(layout).values() if s.kind == "lobe"] if layout else []
    if body.station not in known:
        raise BadInput(f"station: {body.station!r} is no lobe; there are {', '.join(known[:4])} and so on")
    zero = log.zero
    if zero is None:
        why = "was moved since it was zeroed" if log.zeros else "is not zeroed yet"
        raise BadInput(f"wheel: it {why}; find top dead centre first")
    _one_of("at", body.at, PLACES)
    _one_of("approach", body.approach, APPROACHES)
    if not 1 <= len(body.points) <= MOST_POINTS:
        raise BadInput(f"points: {len(body.points)} given; 1 to {MOST_POINTS} are taken")
    sizes = _sizes(body, {"read_to": A, "lift_good_to": L, "ratio": R}, system)
    if not 0.3 <= sizes.get("ratio", 1.0) <= 4.0:
        raise BadInput(f"ratio: {body.ratio!r} is out of range; 0.3 to 4 is accepted")
    points = tuple((wheel_angle(p.angle, "angle"), _lift(p.lift, system)) for p in body.points)
    return replace(log, batches=(*log.batches, Batch(mark, body, zero.mark.entry, points, sizes)))


def carded(log: CamLog, mark: Mark, body: CamCarded, system: System) -> CamLog:
    """The log with a maker's card; raises BadInput naming the field that cannot be."""
    _one_of("follower", body.follower, FOLLOWERS)
    quantities = {"intake_lift": L, "exhaust_lift": L, "separation": A, "advance": A, "intake_centre": A, "exhaust_centre": A,
                  "base_circle": L}
    sizes = _sizes(body, quantities, system)
    durations = {side: tuple(sorted(_at_lift(text, f"{side} durations", system) for text in getattr(body, f"{side}_durations")))
                 for side in ("intake", "exhaust")}
    for side in ("intake", "exhaust"):
        if not 1e-3 <= sizes.get(f"{side}_lift", 0.01) <= 0.025:
            raise BadInput(f"{side} lift: {getattr(body, f'{side}_lift')!r} is out of range; 1 to 25 mm at the lobe is accepted")
    for side, rows in durations.items():
        if rows and f"{side}_lift" not in sizes:
            raise BadInput(f"{side} lift: a card with durations needs the greatest lift at the lobe too")
    events, lift = (), 0.0
    if body.events:
        events, lift = _events(body.events, system)
    if not sizes and not events and not any(durations.values()):
        raise BadInput("card: nothing stands on it; give lifts, durations, separation or events")
    return replace(log, card=Card(mark, body, sizes, durations, events, lift))


def timing_moved(log: CamLog, mark: Mark, body: TimingMoved, layout: Layout | None) -> CamLog:
    """The log with a move of the timing set; raises BadInput naming the field that cannot be."""
    names = [shaft.name for shaft in layout.camshafts] if layout else []
    if body.shaft and body.shaft not in names:
        raise BadInput(f"shaft: {body.shaft!r} is not in this engine; there are {', '.join(names) or 'none'}")
    advance = parse(body.advance, A, default_unit="deg", field="advance").si
    if abs(advance) > pi / 3:
        raise BadInput(f"advance: {body.advance!r} is out of range; -60 to 60 degrees of the crank are accepted")
    return replace(log, moves=(*log.moves, Moved(mark, body, advance)))


def wheel_angle(text: str, field_name: str) -> float:
    """What a wheel reads, as degrees after top dead centre [rad]: ``24``, ``-30``, ``30 BTDC``, ``70 ABDC``."""
    found = _WORDED.match(text)
    plain = parse(found[1] if found else text, A, default_unit="deg", field=field_name).si
    if abs(plain) > 4 * pi:
        raise BadInput(f"{field_name}: {text!r} is out of range; -720 to 720 degrees are accepted")
    if found is None:
        return plain
    side = plain if found[2].lower() == "a" else -plain
    return side if found[3].lower() == "t" else pi + side


def _events(text: str, system: System) -> tuple[tuple[float, ...], float]:
    """The four events of ``22-62-66-18 @ 0.050 in`` [rad] and their lift [m]."""
    numbers, _, lift = text.partition("@")
    parts = re.findall(r"(?:^|-)\s*(-?\d+(?:[.,]\d+)?)", numbers.strip())
    if len(parts) != 4:
        raise BadInput(f"events: {text!r} are not four; they are typed as 22-62-66-18 @ 0.050 in: intake opens before top and closes "
                       "after bottom dead centre, exhaust opens before bottom and closes after top")
    angles = tuple(parse(part, A, default_unit="deg", field="events").si for part in parts)
    return angles, _lift(lift.strip(), system) if lift.strip() else 0.0


def _at_lift(text: str, field_name: str, system: System) -> tuple[float, float]:
    angle, at, lift = text.partition("@")
    if not at:
        raise BadInput(f"{field_name}: {text!r} names no lift; it is typed as 226 @ {'1.25 mm' if system == 'metric' else '0.050 in'}")
    duration = parse(angle.strip(), A, default_unit="deg", field=field_name).si
    height = _lift(lift.strip(), system)
    if not 0.3 < duration < 2 * pi or height <= 0.0:
        raise BadInput(f"{field_name}: {text!r} is out of range; durations of 20 to 360 degrees at a lift above 0 are accepted")
    return height, duration


def _lift(text: str, system: System) -> float:
    lift = parse(text, L, default_unit=unit_for(L, system), field="lift").si
    if not -0.002 <= lift <= MOST_LIFT:
        raise BadInput(f"lift: {text!r} is out of range; -2 to 40 mm is accepted")
    return lift


def _sizes(body: object, quantities: dict[str, Quantity], system: System) -> dict[str, float]:
    found: dict[str, float] = {}
    for name, quantity in quantities.items():
        text: str = getattr(body, name)
        if text:
            found[name] = parse(text, quantity, default_unit=unit_for(quantity, system), field=name.replace("_", " ")).si
            if found[name] < 0.0 and name != "advance":
                raise BadInput(f"{name.replace('_', ' ')}: {text!r} is below 0; 0 or more is accepted")
    return found


def _one_of(name: str, value: str, accepted: tuple[str, ...]) -> None:
    if value not in accepted:
        raise BadInput(f"{name}: {value!r} is not taken; give one of {', '.join(a or 'nothing' for a in accepted)}")
