"""How a characteristic is declared: what it needs, the formula, the words, and how it is judged."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from tenths.engine.layout import Layout
from tenths.engine.quantity import Quantity
from tenths.engine.stations import cylinder_of

Section = Literal["geometry", "bearings", "cylinders", "running", "assembly", "valves"]


@dataclass(frozen=True, slots=True)
class Need:
    """An input of a formula: a feature at a station, and which of its places count.

    ``at`` is a template: ``{s}`` the finding's own station, ``{c}`` its cylinder, ``{pin}`` the crankpin of that
    cylinder, ``{bank}`` its bank, ``{cam}`` its camshaft, ``{first}`` and ``{second}`` the rods on its crankpin;
    ``{intake}`` is the engine for an intake valve and nowhere for others, ``{exhaust}`` likewise.
    ``places`` lists prefixes in order of preference; the first with readings counts, none means all.
    ``otherwise`` is taken, and said to be taken, when nothing is known, with standard uncertainty ``doubt``.
    """

    name: str
    feature: str
    at: str = "{s}"
    places: tuple[str, ...] = ()
    otherwise: float | None = None
    doubt: float = 0.0


@dataclass(frozen=True, slots=True)
class Found:
    """An input of a formula that is itself a finding, at the same station, earlier in the catalogue."""

    of: str


@dataclass(frozen=True, slots=True)
class Way:
    """One way to a value: the formula takes the needs in order, as SI floats; ``words`` says it to a person.

    A ``costly`` one is worked out over a whole curve: its bend is estimated from few points and never tried out.
    """

    formula: Callable[..., float]
    needs: tuple[Need | Found, ...]
    words: str
    costly: bool = False


@dataclass(frozen=True, slots=True)
class Over:
    """Another characteristic over all its stations (of the same bank, at a deck): spread, total, or how far from a line."""

    of: str
    how: Literal["spread", "total", "line"]
    words: str


@dataclass(frozen=True, slots=True)
class Uneven:
    """The worst difference between places of one feature: along one part of the place's name, the other held.

    A place reads ``row column``; ``along`` says which of them varies (taper varies the height, out-of-round the axis).
    Over a face the places are taken together: the narrowest zone of a ``plane``, or of a ``level``. ``least`` is no
    difference: the smallest of all places.
    """

    feature: str
    along: Literal["row", "column", "plane", "level", "least"]
    words: str


@dataclass(frozen=True, slots=True)
class Characteristic:
    """A thing that is judged: name, section, kinds of station, quantity, words, ways to it in order of preference."""

    name: str
    section: Section
    kinds: tuple[str, ...]
    quantity: Quantity
    words: str
    ways: tuple[Way | Over | Uneven, ...]
    per: Need | None = None  # the size that limits "per inch of ..." are multiplied by
    planning: bool = False  # worth judging from stated sizes alone, before anything is read
    fine: bool = False  # written in the fine unit (microinch, micrometre)
    when_begun: bool = False  # its readings are asked for once one of them was taken; as read, it is silent until then
    silent: bool = False  # with that, not even named as not measured until something of it was read
    limits_of: str = ""  # judged by the limits of this characteristic
    awake_by: tuple[str, ...] = ()  # features: silent, and not asked for, until one of them was read or stated anywhere
    added: Need | None = None  # what the lower limit of common practice is raised by, where it is known


def is_intake(station: str) -> bool:
    """Whether a valve, lobe or lifter is one of the intake: its name begins with ``in``."""
    return station.split(".")[2].startswith("in")


def address(template: str, layout: Layout, station: str) -> str:
    """The station that a need's template means for a finding at ``station``; empty when there is none."""
    label = cylinder_of(station)
    names = {"s": station, "c": "", "pin": "", "bank": "", "cam": "", "first": "", "second": "", "thrust": ""}
    names |= dict.fromkeys(("intake", "exhaust"), "")
    names["thrust"] = str(layout.thrust_main)
    if label:
        cylinder = layout.cylinder(label)
        names |= {"c": label, "pin": str(cylinder.pin), "bank": cylinder.bank}
        if station.startswith("valve."):
            names["intake" if is_intake(station) else "exhaust"] = "engine"
    elif station.startswith(("deck.", "head.", "gasket.")):
        names["bank"] = station.split(".")[1]
    elif station.startswith("cam."):
        names["cam"] = station.split(".")[1]
    elif station.startswith("pin."):
        rods = [c.label for c in layout.on_pin(int(station.split(".")[1]))]
        names |= dict(zip(("first", "second"), rods, strict=False))
        if "{second}" in template and len(rods) < 2:
            return ""
    return template.format(**names)
