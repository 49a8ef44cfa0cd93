"""Bolted joints, fastener ticks and outlines as the fold understands them: numbers in SI, or a sentence that says what is wrong."""

import re
from dataclasses import dataclass
from math import cos, pi, sin

from tenths.engine.quantity import Quantity, System, parse, unit_for
from tenths.errors import BadInput
from tenths.logbook.joint_bodies import FastenerTicked, JointStated, OutlineDrawn
from tenths.logbook.marks import Mark

METHODS = ("torque", "torque and angle", "stretch")
DEEDS = ("tightened", "checked", "loosened", "renewed", "measured")
BODIES_OF_OUTLINES = ("block", "crank", "rod", "piston")
MOST_FASTENERS = 64
_METRIC = re.compile(r"[mM]\s*(\d+(?:\.\d+)?)(?:\s*[x×]\s*(\d+(?:\.\d+)?))?")
_INCH = re.compile(r"(?:#(\d+)|(\d+)/(\d+)|(\d+(?:\.\d+)?))\s*-\s*(\d+)(?:\s*[A-Za-z]*)?")
COARSE = {3: 0.5, 4: 0.7, 5: 0.8, 6: 1.0, 7: 1.0, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2.0, 16: 2.0, 18: 2.5, 20: 2.5, 22: 2.5, 24: 3.0}


@dataclass(frozen=True, slots=True)
class Joint:
    """A joint as stated.

    Attributes:
        mark: where it stands in the log.
        body: as typed.
        diameter, pitch: of the thread [m]; ``inch`` says which family it is of.
        places: of its fasteners in the face, numbered from 1 [fastener spacings].
        sizes: every other number that was typed, by field [SI].
        segments: of the free bolt, length and diameter [m].
        steps: torques or shares of the last torque as typed, [N m] or [-] with the flag that it is a torque.
    """

    mark: Mark
    body: JointStated
    diameter: float
    pitch: float
    inch: bool
    places: tuple[tuple[float, float], ...]
    sizes: dict[str, float]
    segments: tuple[tuple[float, float], ...]
    steps: tuple[tuple[float, bool], ...]

    @property
    def count(self) -> int:
        """Fasteners of one station."""
        return len(self.places)


@dataclass(frozen=True, slots=True)
class Tick:
    """A deed on a fastener, its lengths in m."""

    mark: Mark
    body: FastenerTicked
    free_length: float | None
    tight_length: float | None


@dataclass(frozen=True, slots=True)
class Drawn:
    """An outline in SI."""

    mark: Mark
    body: OutlineDrawn
    points: tuple[tuple[float, float], ...]
    radius: float
    least: float | None


FIELDS: dict[str, Quantity] = {
    "proof": Quantity.PRESSURE, "yields": Quantity.PRESSURE, "tensile": Quantity.PRESSURE, "length": Quantity.LENGTH,
    "washer": Quantity.LENGTH, "clamped": Quantity.LENGTH, "thread_depth": Quantity.LENGTH, "counterbore": Quantity.LENGTH,
    "chamfer": Quantity.LENGTH, "bearing": Quantity.LENGTH, "hole": Quantity.LENGTH, "torque": Quantity.TORQUE,
    "angle": Quantity.ANGLE, "stretch": Quantity.LENGTH, "thread_friction": Quantity.RATIO, "head_friction": Quantity.RATIO,
    "growth": Quantity.LENGTH,
}


def joint_of(mark: Mark, body: JointStated, system: System) -> Joint:
    """A joint understood; raises BadInput naming the field that cannot be."""
    if not body.joint.strip() or not re.fullmatch(r"[a-z0-9][a-z0-9-]{0,39}", body.joint):
        raise BadInput(f"joint: {body.joint!r} is no name; small letters, digits and hyphens, like rod-bolts")
    if body.method not in METHODS:
        raise BadInput(f"method: {body.method!r} is not taken; give one of {', '.join(METHODS)}")
    diameter, pitch, inch = thread_of(body.thread)
    places = places_of(body.pattern)
    if body.order and sorted(body.order) != list(range(1, len(places) + 1)):
        raise BadInput(f"order: {' '.join(map(str, body.order))} does not name each of 1 to {len(places)} once")
    sizes = {name: _number(getattr(body, name), quantity, system, name) for name, quantity in FIELDS.items() if getattr(body, name)}
    if wrong := [name for name, value in sizes.items() if value < 0]:
        raise BadInput(f"{wrong[0].replace('_', ' ')}: {getattr(body, wrong[0])!r} is below 0; it is a size")
    if missing := [name for name in body.method.split(" and ") if name not in sizes]:
        raise BadInput(f"{missing[0]}: this joint is tightened by {body.method}; its {missing[0]} is wanted")
    return Joint(mark, body, diameter, pitch, inch, places, sizes, tuple(_segment(s, system) for s in body.segments),
                 tuple(_step(s, system) for s in body.steps))


def thread_of(text: str) -> tuple[float, float, bool]:
    """Diameter and pitch [m] of a thread as written (``M10x1.25``, ``3/8-24``, ``7/16-20 UNF``), and whether it is in inches."""
    if found := _METRIC.fullmatch(text.strip()):
        size = float(found[1])
        pitch = float(found[2]) if found[2] else COARSE.get(int(size), 0.0) if size == int(size) else 0.0
        if pitch and 0 < pitch <= size / 3:
            return size * 1e-3, pitch * 1e-3, False
    elif found := _INCH.fullmatch(text.strip()):
        number, over, under, plain, count = found.groups()
        size = 0.060 + 0.013 * int(number) if number else int(over) / max(int(under), 1) if over else float(plain)
        if 0 < size < 4 and int(count) * size >= 3:
            return size * 0.0254, 0.0254 / int(count), True
    raise BadInput(f"thread: {text!r} is not read; write M10x1.25, or 3/8-24")


def places_of(pattern: str) -> tuple[tuple[float, float], ...]:
    """Where the fasteners of a pattern stand, numbered row by row from the front, or clockwise round a circle."""
    text = " ".join(pattern.lower().split())
    if found := re.fullmatch(r"(\d+) rows of (\d+)", text):
        rows, each = int(found[1]), int(found[2])
        made = [(float(k), float(r)) for r in range(rows) for k in range(each)]
    elif found := re.fullmatch(r"circle of (\d+)", text):
        n = int(found[1])
        radius = max(n / 6.0, 0.7)
        made = [(-radius * cos(2 * pi * k / n), radius * sin(2 * pi * k / n)) for k in range(n)]
    elif found := re.fullmatch(r"line of (\d+)", text):
        made = [(float(k), 0.0) for k in range(int(found[1]))]
    elif found := re.fullmatch(r"(\d+)", text):
        made = [(0.0, float(k)) for k in range(int(found[1]))]
    else:
        raise BadInput(f"pattern: {pattern!r} is not read; write 2, line of 5, 2 rows of 5, or circle of 8")
    if not 1 <= len(made) <= MOST_FASTENERS:
        raise BadInput(f"pattern: {pattern!r} has {len(made)} fasteners; 1 to {MOST_FASTENERS} are taken")
    return tuple(made)


def _number(text: str, quantity: Quantity, system: System, field: str) -> float:
    return parse(text, quantity, default_unit=unit_for(quantity, system), field=field.replace("_", " ")).si


def _segment(text: str, system: System) -> tuple[float, float]:
    length, cross, diameter = text.replace("×", "x").partition("x")
    if not cross:
        raise BadInput(f"segments: {text!r} is not read; write length x diameter, like 12 mm x 8.5 mm")
    both = tuple(_number(part, Quantity.LENGTH, system, "segments") for part in (length, diameter))
    if min(both) <= 0:
        raise BadInput(f"segments: {text!r}: length and diameter are above 0")
    return both[0], both[1]


def _step(text: str, system: System) -> tuple[float, bool]:
    """A share of the last torque (``50 %``), or a torque."""
    if text.strip().endswith("%"):
        share = _number(text, Quantity.RATIO, system, "steps")
        if not 0 < share <= 1:
            raise BadInput(f"steps: {text!r}: above 0 and up to 100 % is taken")
        return share, False
    return _number(text, Quantity.TORQUE, system, "steps"), True


def tick_of(mark: Mark, body: FastenerTicked, joint: Joint, system: System) -> Tick:
    """A deed understood; raises BadInput naming the field that cannot be."""
    if body.what not in DEEDS:
        raise BadInput(f"what: {body.what!r} is not taken; give one of {', '.join(DEEDS)}")
    if not 1 <= body.number <= joint.count:
        raise BadInput(f"number: {body.number} is no fastener of {body.joint}; it has 1 to {joint.count}")
    if body.round < 0 or body.round > max(len(joint.steps), 9):
        raise BadInput(f"round: {body.round} is not taken; 0 for the last, else 1 to {max(len(joint.steps), 9)}")
    lengths = [_number(text, Quantity.LENGTH, system, name) if text else None
               for text, name in ((body.free_length, "free length"), (body.tight_length, "tight length"))]
    if body.what == "measured" and lengths == [None, None]:
        raise BadInput("free length: a fastener that was measured has a free length, a tight length, or both")
    if body.what == "tightened" and body.value and joint.body.method == "torque":
        _number(body.value, Quantity.TORQUE, system, "value")
    return Tick(mark, body, *lengths)


def outline_of(mark: Mark, body: OutlineDrawn, system: System) -> Drawn:
    """An outline understood; raises BadInput naming the field that cannot be."""
    if body.moves_with not in BODIES_OF_OUTLINES:
        raise BadInput(f"moves with: {body.moves_with!r} is not taken; give one of {', '.join(BODIES_OF_OUTLINES)}")
    points = tuple(_point(text, system) for text in body.points)
    radius = _number(body.radius, Quantity.LENGTH, system, "radius") if body.radius else 0.0
    least = _number(body.least, Quantity.LENGTH, system, "least") if body.least else None
    if radius < 0:
        raise BadInput(f"radius: {body.radius!r} is below 0")
    return Drawn(mark, body, points, radius, least)


def _point(text: str, system: System) -> tuple[float, float]:
    parts = [part for part in re.split(r"[;/]", text) if part.strip()]
    if len(parts) != 2:
        raise BadInput(f"points: {text!r} is not read; write along / across, like 62.5 / -14")
    along, across = (_number(part, Quantity.LENGTH, system, "points") for part in parts)
    return along, across


