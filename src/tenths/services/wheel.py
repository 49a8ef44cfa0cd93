"""Zero of the degree wheel: where top dead centre lies on it, how sure that is, and whether readings still hang on it."""

from dataclasses import dataclass
from math import degrees, hypot, pi, radians, sqrt

from tenths.calc.valves import tdc
from tenths.engine.layout import Layout
from tenths.engine.quantity import Quantity, System, parse
from tenths.errors import BadInput, OutOfRange
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Resolver
from tenths.logbook.build import Build
from tenths.logbook.cams import Zero
from tenths.services.amounts import Amounts, Answer
from tenths.services.questions import system_of

# Common practice, no source: what a reading of the wheel, its division and a dial or stop are good to where nobody says.
READ_TO, EYE, WHEEL_GOOD_TO = radians(0.25), radians(0.09), radians(0.15)
HEIGHT_GOOD_TO = {"stop": 10e-6, "heights": 7.5e-6, "dwell": 5e-6}
GUESSED = tdc.Slider(stroke=0.090, rod_length=0.150)
WORDS = {"stop": "positive stop", "heights": "equal heights", "dwell": "dwell"}


@dataclass(frozen=True, slots=True)
class Timed:
    """What timing is told from: the log, its layout, units for the answers, crank and rod, whether these are guessed."""

    build: Build
    layout: Layout
    system: System
    slider: tdc.Slider
    guessed: bool

    @property
    def amounts(self) -> Amounts:
        """Writes numbers in the system asked for."""
        return Amounts(self.system)


def timed(build: Build, units: str = "") -> Timed:
    """What timing is told from; with a usual crank and rod where the engine's own are not known, which only an offset pin shows.

    Raises:
        BadInput: when the engine has no layout.
    """
    if build.layout is None:
        raise BadInput(f"engine: {build.stream!r} has no layout yet")
    look, first = Resolver(build, InstrumentBook(build)), build.layout.cylinders[0]
    places = {"stroke": f"pin.{first.pin}", "rod-length": f"rod.{first.label}", "pin-offset": "engine"}
    found = {name: look.input(name, station, name, (), None).estimate for name, station in places.items()}
    stroke, rod, offset = (e.value if (e := found[name]) else None for name in places)
    if stroke is None or rod is None:
        return Timed(build, build.layout, system_of(build, units), GUESSED, guessed=True)
    return Timed(build, build.layout, system_of(build, units),
                 tdc.Slider(stroke=stroke, rod_length=rod, pin_offset=offset or 0.0), guessed=False)


@dataclass(frozen=True, slots=True)
class Zeroed:
    """A zero of the wheel worked out: what it reads at top dead centre from then on [rad], and the error of that [rad]."""

    zero: Zero
    found: tdc.DeadCentre
    reads: float
    guessed: bool

    @property
    def error(self) -> float:
        """Standard error of top dead centre [rad]; play counts half where it was come to from both sides."""
        return self.found.standard_error


def angle_error(read_to: float | None) -> float:
    """Standard error of one reading of the wheel [rad]: its last step, and pointer and eye."""
    return hypot((READ_TO if read_to is None else read_to) / sqrt(12.0), EYE)


def zeroed(model: Timed, zero: Zero) -> Zeroed:
    """A zero worked out."""
    limits = {"height_error": zero.sizes.get("height_good_to", HEIGHT_GOOD_TO[zero.body.way]) / sqrt(3.0),
              "wheel_error": zero.sizes.get("wheel_good_to", WHEEL_GOOD_TO) / sqrt(3.0)}
    try:
        found = tdc.equal_heights(zero.before, zero.after, slider=model.slider, reading_error=angle_error(zero.sizes.get("read_to")),
                                  **limits)
    except OutOfRange as error:
        raise BadInput(f"wheel: what was read on either side of top dead centre cannot be: {error}") from None
    return Zeroed(zero, found, 0.0 if zero.body.moved else found.angle, model.guessed)


def zeros(model: Timed) -> dict[str, Zeroed]:
    """Every zero of the log, by entry."""
    return {zero.mark.entry: zeroed(model, zero) for zero in model.build.cams.zeros}


def zero_stale(build: Build, entry: str) -> str:
    """Why readings that hang on a zero do not hold any more; empty where they do."""
    zero = next((z for z in build.cams.zeros if z.mark.entry == entry), None)
    if zero is None:
        return "the zero of the wheel that they hang on was struck"
    history = build.slots.get("crank")
    if history and history.at(zero.mark.position) != history.parts[-1]:
        return "the crank was changed since the wheel was zeroed"
    if any(m.mark.position > zero.mark.position for m in build.machining.get("crank", ()) if not m.features):
        return "the crank was machined since the wheel was zeroed"
    return ""


def zero_answer(build: Build, write: Amounts, found: Zeroed) -> Answer:
    """A zero as JSON: what was read, where top dead centre lies, and what makes its error."""
    dead, body = found.found, found.zero.body
    rows = (("reading the wheel", dead.from_reading), ("stop or dial", dead.from_height),
            ("division and seat of the wheel", dead.from_wheel))
    said = list[str]()
    if found.guessed:
        said.append("Stroke or rod length is not known: a usual crank is taken, which matters with an offset pin only.")
    if body.approach != "one side":
        said.append("Come to from both sides: play of the wheel shifts top dead centre by half of it, and no number of readings shows it.")
    if len(body.before) > 2 and dead.scatter > 3.0 * angle_error(found.zero.sizes.get("read_to")):
        said.append(f"The pairs scatter by {degrees(dead.scatter):.2f} degrees, more than the wheel is read to: look for a loose pointer.")
    return {
        "entry": found.zero.mark.entry, "at": found.zero.mark.at, "cylinder": body.cylinder, "way": body.way, "words": WORDS[body.way],
        "pairs": [{"before": low, "after": high} for low, high in zip(body.before, body.after, strict=True)],
        "angle": write(dead.angle, Quantity.ANGLE, dead.standard_error), "moved": body.moved,
        "error": write(dead.standard_error, Quantity.ANGLE), "interval": write(1.96 * dead.standard_error, Quantity.ANGLE, figures=2),
        "parts": [{"words": words, **write(part, Quantity.ANGLE, figures=2)} for words, part in rows],
        "stale": zero_stale(build, found.zero.mark.entry), "notes": said}


def backlash(forwards: str, backwards: str) -> Answer:
    """Play of the wheel from readings of one place come to forwards and backwards, as typed with spaces between.

    Raises:
        BadInput: when fewer than two of a kind are given, or one is no angle.
    """
    rows = [[parse(text, Quantity.ANGLE, default_unit="deg", field=name).si for text in said.split()]
            for name, said in (("forwards", forwards), ("backwards", backwards))]
    found = tdc.backlash(*rows)
    write = Amounts("metric")
    return {"play": write(found.play, Quantity.ANGLE, found.standard_error), "shift": write(found.shift, Quantity.ANGLE, figures=2),
            "clear": found.clear}


def near(angle: float, to: float) -> float:
    """The same place on the wheel, within half a turn of an angle [rad]."""
    return to + (angle - to + pi) % (2 * pi) - pi
