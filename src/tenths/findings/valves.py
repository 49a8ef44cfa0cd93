"""The valve gear: springs, piston to valve, rocker and lifter, each valve for itself."""

from collections.abc import Callable
from functools import lru_cache
from math import asin
from typing import TYPE_CHECKING

from tenths.calc import volumes
from tenths.calc.valves import rocker, springs
from tenths.engine.quantity import Quantity
from tenths.errors import OutOfRange
from tenths.findings.declare import Characteristic, Found, Need, Over, Uneven, Way
from tenths.findings.geometry import DECK_READ, DECK_STACK, GASKET_THICKNESS, PIN_OFFSET, ROD, STROKE

if TYPE_CHECKING:
    from tenths.calc.valves.lobes import Lobe
    from tenths.calc.valves.piston_to_valve import Place
    from tenths.calc.valves.tdc import Slider

LENGTH, FORCE = Quantity.LENGTH, Quantity.FORCE
VALVE = ("valve",)
# Silent, and not asked for, until one of these is read or stated.
SPRINGS = ("installed-height", "bind-height", "tested-load-closed", "spring-rate", "spring-wire", "retainer-gap")
PISTON = ("clay-thickness", "touch-travel", "valve-drop", "pocket-depth")
ROCKER = ("rocker-arm", "nose-height")
LIFT = Found("valve-lift")
GROWTH = Need("growth", "rod-growth", "engine")
BACK = Need("back", "clay-spring-back", "engine", otherwise=0.0, doubt=0.1e-3)  # common practice, no source
USUAL_HEAD = (0.040, 0.005)  # m, of a valve whose head nobody measured; counts only where the pocket is out of line
SHAPE_DOUBT = 0.4e-3  # m, of the lift at the overlap by a card's curve: common practice, no source


def _same(value: float) -> float:
    return value


def _left(room: float, lift: float) -> float:
    return room - lift


# -- springs -----------------------------------------------------------------------------------------------------------

INSTALLED = Need("installed", "installed-height")
TWO = tuple(Need(f"{what}_{name}", f"tested-{what}-{name}") for name in ("open", "closed") for what in ("height", "load"))
THREE = (*TWO[:2], Need("height_middle", "tested-height-middle"), Need("load_middle", "tested-load-middle"), *TWO[2:])
STATED = (Need("rate", "spring-rate"), Need("free", "spring-free-height"))
WIRE = tuple(Need(name, f"spring-{name}") for name in ("wire", "coil", "coils"))
INNER = tuple(Need(f"inner_{name}", f"inner-spring-{name}", otherwise=0.0) for name in ("wire", "coil", "coils"))


def _curve(points: tuple[float, ...]) -> springs.Curve:
    return springs.Curve(points[::2], points[1::2])


def _of_tester(height: float, *points: float) -> float:
    return springs.curve_load(_curve(points), height)


def _of_rate(height: float, rate: float, free: float) -> float:
    return springs.load_at(rate=rate, free=free, height=height)


def _wire_rate(wire: float, coil: float, coils: float, inner_wire: float = 0.0, inner_coil: float = 0.0, inner_coils: float = 0.0) -> float:
    rate = springs.rate(springs.Coil(wire=wire, mean_diameter=coil, active=coils))
    return rate + (springs.rate(springs.Coil(wire=inner_wire, mean_diameter=inner_coil, active=inner_coils)) if inner_wire else 0.0)


def _of_wire(height: float, free: float, *wires: float) -> float:
    return springs.load_at(rate=_wire_rate(*wires), free=free, height=height)


def _tester_rate(*points: float) -> float:
    ends = _curve((*points[:2], *points[-2:]))
    return springs.curve_rate(ends, points[0])


def _loads(opened: bool) -> tuple[Way, ...]:  # noqa: FBT001 - one of two places
    """The load with the valve closed or open: from three tester readings, from two, from a stated rate, from the wire."""
    needs: tuple[Need | Found, ...] = (INSTALLED, LIFT) if opened else (INSTALLED,)
    where = "installed height - lift" if opened else "installed height"

    def at(formula: Callable[..., float]) -> Callable[..., float]:
        def with_lift(installed: float, lift: float, *rest: float) -> float:
            return formula(installed - lift, *rest)

        return with_lift if opened else formula

    return (Way(at(_of_tester), (*needs, *THREE), f"three readings of the tester, straight between them, at {where}"),
            Way(at(_of_tester), (*needs, *TWO), f"two readings of the tester, in a straight line, at {where}"),
            Way(at(_of_rate), (*needs, *STATED), f"rate x (free height - height), at {where}"),
            Way(at(_of_wire), (*needs, STATED[1], *WIRE, *INNER), f"rate from the wire x (free height - height), at {where}"))


def _bind(installed: float, lift: float, bound: float) -> float:
    return springs.bind_margin(installed=installed, lift=lift, bound=bound)


def _bind_of_wire(installed: float, lift: float, wire: float, total: float) -> float:
    return _bind(installed, lift, (total + 1.0) * wire)


# -- piston to valve -----------------------------------------------------------------------------------------------------

HEAD = Need("head", "head-diameter", otherwise=USUAL_HEAD[0], doubt=USUAL_HEAD[1])
ABOVE = (Need("drop", "valve-drop"), Need("lean", "valve-lean", otherwise=0.0), Need("pocket", "pocket-depth"),
         Need("out_of_line", "pocket-out-of-line", otherwise=0.0), Need("across", "pocket-across", otherwise=0.0), GASKET_THICKNESS)
MOVES = (STROKE, ROD, PIN_OFFSET)


def _card(side: str) -> tuple[Need | Found, ...]:
    """What a card says of the lobe; for valves of the other side there is no such place."""
    at = f"{{{side}}}"
    return (Need("duration", f"{side}-duration", at), Need("centre", f"{side}-centre", at), LIFT,
            Need("shape", "lobe-shape", otherwise=0.0, doubt=SHAPE_DOUBT))


@lru_cache(maxsize=64)
def _lobe(duration: float) -> "Lobe":
    """A lobe of that duration from seat to seat, one metre high, about its own centre."""
    from tenths.calc.valves.profiles import profile_lobe  # noqa: PLC0415 - numpy only where valves are stated

    return profile_lobe("3-4-5", lift=1.0, opening=duration / 2, closing=duration / 2, points=181)


def place_of(*, head: float, drop: float, lean: float, pocket: float, out_of_line: float, across: float, gasket: float, deck: float,
             diameter: float = 0.0) -> "Place":
    """A valve over its pocket, or over a flat crown where the pocket has no depth."""
    from tenths.calc.valves.piston_to_valve import Place  # noqa: PLC0415 - as _lobe

    return Place(head=head, drop=drop, lean=lean, pocket_depth=pocket, pocket_lean=lean - out_of_line if pocket else 0.0,
                 pocket_across=across, gasket=gasket, deck=deck, pocket_diameter=diameter)


def _over(sizes: tuple[float, ...], diameter: float = 0.0) -> "tuple[Place, Slider]":
    """What a formula below gets in a row: valve over pocket, then crank, rod and pin, then deck clearance."""
    from tenths.calc.valves.tdc import Slider  # noqa: PLC0415 - as _lobe

    head, drop, lean, pocket, out_of_line, across, gasket, stroke, rod, offset, deck = sizes
    place = place_of(head=head, drop=drop, lean=lean, pocket=pocket, out_of_line=out_of_line, across=across, gasket=gasket, deck=deck,
                     diameter=diameter)
    return place, Slider(stroke=stroke, rod_length=rod, pin_offset=offset)


@lru_cache(maxsize=512)
def _near(sign: float, duration: float, centre: float, lift: float, *sizes: float) -> float:
    """About where a valve comes closest, from sizes written with few digits: the angle moves little with them."""
    from tenths.calc.valves.piston_to_valve import closest  # noqa: PLC0415 - as _lobe

    place, slider = _over(sizes)
    return closest(_lobe(duration).scaled(lift).placed(sign * centre), place=place, slider=slider)[0]


def _few(value: float) -> float:
    return float(f"{value:.2g}")


def _room(sign: float, duration: float, centre: float, lift: float, shape: float, *sizes: float) -> float:
    from tenths.calc.valves.piston_to_valve import refined  # noqa: PLC0415 - as _lobe

    half, middle = duration / 2, sign * centre

    def lifted(angle: float) -> float:
        x = 1.0 - abs(angle - middle) / half
        return lift * x**3 * (10.0 - 15.0 * x + 6.0 * x * x) if x > 0.0 else 0.0

    place, slider = _over(sizes)
    near = _near(sign, *map(_few, (duration, centre, lift, *sizes)))
    return refined(lifted, near=near, place=place, slider=slider)[1] - shape


def _beside(sign: float, diameter: float, duration: float, centre: float, lift: float, shape: float, *sizes: float) -> float:
    from tenths.calc.valves.piston_to_valve import least_sideways  # noqa: PLC0415 - as _lobe

    place, slider = _over(sizes, diameter)
    found = least_sideways(_lobe(duration).scaled(lift + shape).placed(sign * centre), place=place, slider=slider)
    if found is None:
        raise OutOfRange("the valve stays above its pocket")
    return found[0]


def _reckoned(formula: Callable[..., float], first: tuple[Need, ...], words: str) -> tuple[Way, ...]:
    """For intake and exhaust, each with the deck clearance as read and as it follows from the stack of sizes."""
    ways: list[Way] = []
    for side, sign in (("intake", 1.0), ("exhaust", -1.0)):
        needs = (*first, *_card(side), HEAD, *ABOVE, *MOVES)
        split = len(needs)

        def read(*values: float, sign: float = sign) -> float:
            return formula(sign, *values)

        def stacked(*values: float, sign: float = sign, split: int = split) -> float:
            height, stroke, rod, compression = values[split:]
            deck = volumes.deck_clearance(deck_height=height, stroke=stroke, rod_length=rod, compression_height=compression)
            return formula(sign, *values[:split], deck)

        ways += [Way(read, (*needs, *DECK_READ), words, costly=True),
                 Way(stacked, (*needs, *DECK_STACK), f"{words}; deck clearance from the stack of sizes", costly=True)]
    return tuple(ways)


# -- rocker and lifter ---------------------------------------------------------------------------------------------------

def _sweep(arm: float, height: float, lift: float) -> float:
    if not -arm < height < arm:
        raise OutOfRange(f"nose-height is {height * 1e3:.2f} mm: less than the rocker's arm is accepted")
    return rocker.tip_sweep(valve_arm=arm, start=asin(height / arm), lift=lift)


def _preload(turns: float, pitch: float, ratio: float) -> float:
    return rocker.preload(turns=turns, pitch=pitch, ratio=ratio)


def _gear(name: str, quantity: Quantity, words: str, ways: tuple[Way | Over | Uneven, ...], awake: tuple[str, ...], *,
          kinds: tuple[str, ...] = VALVE, added: Need | None = None) -> Characteristic:
    return Characteristic(name, "valves", kinds, quantity, words, ways, planning=True, awake_by=awake, added=added)


def _spread(name: str, of: str, quantity: Quantity, words: str) -> Characteristic:
    return _gear(name, quantity, words, (Over(of, "spread", "largest less smallest"),), SPRINGS, kinds=("engine",))


OVERLAP = "least room square to the pocket about the overlap dead centre, exact piston motion, lobe as its card says; stiff parts, cold"
CHARACTERISTICS: tuple[Characteristic, ...] = (
    _gear("valve-lift", LENGTH, "greatest lift of the valve",
          (Way(_same, (Need("value", "valve-lift"),), "as read at the retainer"),
           *(Way(_same, (Need("value", f"{side}-valve-lift", f"{{{side}}}"),), "as the card says")
             for side in ("intake", "exhaust"))), (*SPRINGS, *PISTON, *ROCKER, "valve-lift")),
    _gear("spring-installed-height", LENGTH, "installed height of the spring",
          (Way(_same, (INSTALLED,), "as read, shims in place"),), SPRINGS),
    _spread("spring-height-spread", "spring-installed-height", LENGTH, "installed height of the springs, spread"),
    _gear("spring-rate", Quantity.STIFFNESS, "rate of the spring",
          (Way(_tester_rate, TWO, "difference of two tester loads / difference of their heights"),
           Way(_same, STATED[:1], "as stated"), Way(_wire_rate, (*WIRE, *INNER), "from the wire [Shigley]")), SPRINGS),
    _gear("spring-seat-load", FORCE, "load of the spring, valve closed", _loads(opened=False), SPRINGS),
    _spread("spring-seat-load-spread", "spring-seat-load", FORCE, "load of the springs, valve closed, spread"),
    _gear("spring-open-load", FORCE, "load of the spring, valve open", _loads(opened=True), SPRINGS),
    _gear("spring-bind-margin", LENGTH, "room before the coils bind",
          (Way(_bind, (INSTALLED, LIFT, Need("bound", "bind-height")), "installed height - lift - height with the coils bound"),
           Way(_bind_of_wire, (INSTALLED, LIFT, WIRE[0], Need("total", "spring-coils-total")),
               "installed height - lift - (coils + 1) x wire")), SPRINGS),
    _gear("spring-retainer-room", LENGTH, "retainer to seal at full lift",
          (Way(_left, (Need("gap", "retainer-gap"), LIFT), "gap with the valve closed - lift"),), SPRINGS),
    _gear("piston-to-valve", LENGTH, "piston to valve",
          (Way(_left, (Need("clay", "clay-thickness"), BACK), "clay, at its thinnest, less what it springs back"),
           Uneven("touch-travel", "least", "least travel of the valve to the piston, over the angles tried"),
           *_reckoned(_room, (), OVERLAP)), PISTON, added=GROWTH),
    _gear("valve-radial-room", LENGTH, "edge of the valve to the wall of its pocket",
          _reckoned(_beside, (Need("diameter", "pocket-diameter"),),
                    "(pocket - valve) / 2 less how far the valve stands aside in its pocket, the least over the overlap"),
          ("pocket-diameter",)),
    Characteristic("valve-lash", "valves", VALVE, LENGTH, "valve lash", (Way(_same, (Need("value", "lash"),), "as read"),),
                   when_begun=True),
    _gear("rocker-sweep", LENGTH, "track of the rocker on the valve's tip",
          (Way(_sweep, (Need("arm", "rocker-arm"), Need("height", "nose-height"), LIFT), "way of the nose across over the lift"),), ROCKER),
    _gear("lifter-preload", LENGTH, "preload of the lifter",
          (Way(_preload, (Need("turns", "preload-turns"), Need("pitch", "adjuster-pitch", "engine"), Need("ratio", "rocker-ratio")),
               "turns x pitch x (1 + 1 / ratio), nut on a stud"),), ("preload-turns",)),
)
