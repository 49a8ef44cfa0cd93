"""The table of the second calculation: every characteristic, where it is found, and how it is worked out."""

import math
from collections.abc import Callable, Iterable

import numpy as np
from scipy.optimize import linprog, minimize_scalar
from scipy.stats import norm
from uncertainties import UFloat, ufloat, umath

from second_opinion import CC_PER_IN3, MM, Engine, Found, Judged, SecondOpinion, join

Work = Callable[[SecondOpinion, str], Iterable[Found]]
TAKEN_AS_NOTHING = Found(0.0 * ufloat(0.0, 1.0), frozenset(), False)


def worked(formula: Callable[..., UFloat], *inputs: Found | None) -> tuple[Found, ...]:
    """The formula, or nothing when an input is missing."""
    known = [i for i in inputs if i is not None]
    return () if len(known) < len(inputs) else (join(formula(*(i.value for i in known)), *known),)


def direct(feature: str) -> Work:
    """As read or stated at the station itself."""
    return lambda o, s: worked(lambda v: v, o.size(s, feature))


def worst(feature: str, held: int) -> Work:
    """Largest difference between places that share a word of their names; every pair that ties for it."""
    def work(o: SecondOpinion, station: str) -> Iterable[Found]:
        read, _ = o.places(station, feature)
        pairs = [(read[a], read[b]) for a in read for b in read
                 if a != b and " " in a and " " in b and a.split()[held] == b.split()[held]]
        return ties([join(a.value - b.value, a, b) for a, b in pairs])
    return work


def ties(found: list[Found]) -> tuple[Found, ...]:
    """Those that are as large as the largest, give or take what double precision loses."""
    top = max((f.value.n for f in found), default=0.0)
    return tuple(f for f in found if f.value.n > top - 1e-9)


def spread(name: str, stations: Callable[[Engine], list[str]] | None = None) -> Work:
    """Largest less smallest over the stations (of the bank, at a deck), from at least two."""
    def work(o: SecondOpinion, station: str) -> Iterable[Found]:
        where = TABLE[name][0](o.engine) if stations is None else stations(o.engine)
        if station.startswith("deck."):
            where = [s for s in where if o.engine.bank_of[s.split(".")[1]] == station[-1]]
        rows = [(s, ways[0]) for s in where if (ways := o.results.get((name, s)))]
        rows = [(s, f) for s, f in rows if f.read or name in PLANNING]
        found = [Found(a.value - b.value, frozenset().union(*(f.entries for _, f in rows)), any(f.read for _, f in rows),
                       any(f.stale for _, f in rows)) for s, a in rows for t, b in rows if s != t]
        return ties(found)
    return work


def clearance_measured(kind: str) -> Work:
    """Inside diameter less journal."""
    return lambda o, s: worked(lambda b, j: b - j, o.size(s, "installed-bore"), o.size(journal_at(o, kind, s), "journal"))


def journal_at(o: SecondOpinion, kind: str, station: str) -> str:
    """Where the journal of a main or a rod is read."""
    return station if kind == "main" else f"pin.{o.engine.pin_of(station.split('.')[1])}"


def learned_crush(o: SecondOpinion, kind: str) -> tuple[UFloat, frozenset[str]]:
    """Crush as weighed between what was known before (0, two tenths) and the places that are read both ways."""
    tenth = MM / 1e4 if o.metric else 1e-4
    stations = TABLE[f"{kind}-oil-clearance"][0](o.engine)
    both = [(o.size(s, "installed-bore"), o.size(s, "housing-bore", "B"), o.size(f"{s}.shell.upper", "shell-wall"),
             o.size(f"{s}.shell.lower", "shell-wall")) for s in stations]
    both = [row for row in both if all(f and not f.stale for f in row) and row[0].read and row[1].read]
    before = 2 * tenth * o.cause(f"crush of {kind}s before")
    if not both:
        return before, frozenset()
    read = sum(i.value - (h.value - u.value - w.value) for i, h, u, w in both) / len(both)
    read += tenth / math.sqrt(len(both)) * o.cause(f"crush of the {kind}s read")
    weight = (2 * tenth) ** 2 / ((2 * tenth) ** 2 + read.s**2)
    return weight * read + (1 - weight) * before, frozenset().union(*(f.entries for row in both for f in row))


def clearance_predicted(kind: str) -> Work:
    """Housing less walls less journal, and crush."""
    def work(o: SecondOpinion, s: str) -> Iterable[Found]:
        crush, taught = learned_crush(o, kind)
        own = (MM / 1e4 if o.metric else 1e-4) * o.cause(f"crush at {s}")
        inputs = (o.size(s, "housing-bore", "B"), o.size(f"{s}.shell.upper", "shell-wall"),
                  o.size(f"{s}.shell.lower", "shell-wall"), o.size(journal_at(o, kind, s), "journal"))
        return worked(lambda h, u, w, j, c: h - u - w - j + c, *inputs, Found(crush + own, taught, False))
    return work


def side_clearance(o: SecondOpinion, s: str) -> Iterable[Found]:
    """By feeler, else width of the pin less the big ends on it."""
    feeler = o.size(s, "side-clearance")
    if feeler:
        return (feeler,)
    rods = o.engine.rods_on[int(s.split(".")[1]) - 1]
    return worked(lambda w, *ends: w - sum(ends), o.size(s, "journal-width"),
                  *(o.size(f"rod.{r}", "big-end-width") for r in rods))


# -- geometry ---------------------------------------------------------------------------------------------------------

def sizes_of(o: SecondOpinion, label: str) -> dict[str, Found | None]:
    """What the geometry of a cylinder takes."""
    pin, bank = o.engine.pin_of(label), o.engine.bank_of[label]
    piston = f"cyl.{label}.piston"
    needed = {
        "bore": o.size(f"cyl.{label}", "bore", "middle", "gauge"), "stroke": o.size(f"pin.{pin}", "stroke"),
        "rod": o.size(f"rod.{label}", "rod-length"), "chamber": o.size(f"chamber.{label}", "chamber-volume"),
        "gasket_bore": o.size(f"gasket.{bank}", "gasket-bore"), "gasket": o.size(f"gasket.{bank}", "gasket-thickness"),
        "deck": o.size(f"cyl.{label}", "deck-clearance"), "redline": o.size("engine", "redline"),
        "closes": o.size("engine", "intake-closes"), "fuel": o.size("engine", "fuel-octane"),
    }
    spare = {"offset": o.size("engine", "pin-offset")} | {
        name: o.size(piston, feature) for name, feature in (
            ("dish", "dish-volume"), ("dome", "dome-volume"), ("pockets", "pocket-volume"),
            ("land", "top-land-diameter"), ("land_height", "top-land-height"))}
    return needed | {name: f or TAKEN_AS_NOTHING for name, f in spare.items()}


def geometry(formula: Callable[..., UFloat], *names: str) -> Work:
    """A formula over sizes of a cylinder; it is given what one cc is in the engine's cubic unit."""
    def work(o: SecondOpinion, station: str) -> Iterable[Found]:
        found = sizes_of(o, station.split(".")[1])
        cc = 1000.0 if o.metric else 1 / CC_PER_IN3
        return worked(lambda *values: formula(cc, dict(zip(names, values, strict=True))), *(found[n] for n in names))
    return work


ROOM = ("bore", "chamber", "gasket_bore", "gasket", "dish", "dome", "pockets", "land", "land_height", "deck")
Sizes = dict[str, UFloat]


def swept(cc: float, z: Sizes) -> UFloat:
    """[cc]"""
    return math.pi / 4 * z["bore"] ** 2 * z["stroke"] / cc


def room(cc: float, z: Sizes) -> UFloat:
    """Clearance volume [cc]."""
    ring = z["land_height"] * (z["bore"] ** 2 - z["land"] ** 2) if z["land"].n and z["land_height"].n else 0.0
    plates = math.pi / 4 * (z["gasket_bore"] ** 2 * z["gasket"] + z["bore"] ** 2 * z["deck"] + ring)
    return z["chamber"] + z["dish"] - z["dome"] + z["pockets"] + plates / cc


def ratio(cc: float, z: Sizes) -> UFloat:
    """Static compression ratio."""
    return 1 + swept(cc, z) / room(cc, z)


def height(angle: UFloat | float, z: Sizes) -> UFloat:
    """Of the piston pin over the crank centre."""
    crank = z["stroke"] / 2
    return crank * umath.cos(angle) + umath.sqrt(z["rod"] ** 2 - (crank * umath.sin(angle) + z["offset"]) ** 2)


def effective(cc: float, z: Sizes) -> UFloat:
    """Volume where the intake closes, counted from half a turn after top, over the smallest."""
    longest = z["rod"] + z["stroke"] / 2
    top = -umath.asin(z["offset"] / longest)
    depth = umath.sqrt(longest**2 - z["offset"] ** 2) - height(top + math.pi + z["closes"], z)
    return 1 + math.pi / 4 * z["bore"] ** 2 * depth / cc / room(cc, z)


def angle_of_most(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a function is largest; an error in the angle costs its square in the value."""
    return float(minimize_scalar(lambda a: -function(a), bounds=(low, high), method="bounded", options={"xatol": 1e-9}).x)


def slope(angle: float, z: Sizes) -> UFloat:
    """Way of the piston per radian, downwards, from the chain of the rod: across over along."""
    crank = z["stroke"] / 2
    across, along = crank * math.sin(angle) + z["offset"], height(angle, z) - crank * math.cos(angle)
    return crank * math.sin(angle) + across / along * crank * math.cos(angle)


def bend(angle: float, z: Sizes) -> UFloat:
    """Change of that slope per radian."""
    crank = z["stroke"] / 2
    across, along = crank * math.sin(angle) + z["offset"], height(angle, z) - crank * math.cos(angle)
    lean, moving = across / along, crank * math.cos(angle) / along
    return crank * math.cos(angle) - lean * crank * math.sin(angle) + moving * crank * math.cos(angle) * (1 + lean**2)


def peak_speed(_: float, z: Sizes) -> UFloat:
    """Largest speed over a turn, at an angle that small changes of the sizes do not move the speed through."""
    angle = angle_of_most(lambda a: slope(a, z).n, 0.1, math.pi - 0.1)
    return slope(angle, z) * z["redline"]


def peak_acceleration(_: float, z: Sizes) -> UFloat:
    """Largest acceleration over a turn."""
    angle = angle_of_most(lambda a: bend(a, z).n, -0.3, 0.3)
    return bend(angle, z) * z["redline"] ** 2


def per_second(o: SecondOpinion, found: Iterable[Found], *, squared: bool = False) -> tuple[Found, ...]:
    """Engine units per second to what the findings are written in: m/s and m/s2, or ft/min and ft/s2."""
    factor = 1e-3 if o.metric else (1 / 12 if squared else 5.0)
    return tuple(join(f.value * factor, f) for f in found)


def moving(formula: Callable[..., UFloat], *names: str, squared: bool = False) -> Work:
    """A speed or an acceleration."""
    work = geometry(formula, *names)
    return lambda o, s: per_second(o, work(o, s), squared=squared)


# -- knock ------------------------------------------------------------------------------------------------------------

def octane(ratio_: float, rod_ratio: float, closes: float, speed: float) -> float:
    """The estimate as calc/knock.py states it in words, integrated on a fine grid instead of stepped by two degrees.

    Wiebe burn 1 - exp(-5 x^3) from 22 degrees before top over 60, heat at once to the whole charge, k = 1.31 throughout,
    0.95 atm and 350 K when the intake closes, until 0.9 is burned; induction time of Douaud and Eyzat at 100 octane.
    """
    k, atm, start, last = 1.31, 101325.0, math.radians(-22), math.radians(60)
    begin, end = closes - math.pi, start + last * (math.log(10) / 5) ** (1 / 3)
    angle = np.linspace(begin, end, 40001)
    volume = 1 + (ratio_ - 1) / 2 * (1 + 2 * rod_ratio - np.cos(angle) - np.sqrt((2 * rod_ratio) ** 2 - np.sin(angle) ** 2))
    burned = 1 - np.exp(-5 * np.clip((angle - start) / last, 0, None) ** 3)
    p0, t0 = 0.95 * atm, 350.0
    heat = 44e6 / 14 * 0.72 * p0 * volume[0] / (287.05 * t0)
    lift = (volume[1:] ** (k - 1) + volume[:-1] ** (k - 1)) / 2 * np.diff(burned)
    work = p0 * volume[0] ** k + (k - 1) * heat * np.concatenate(([0.0], np.cumsum(lift)))
    pressure = work / volume**k
    temperature = t0 * (pressure / p0) ** ((k - 1) / k)
    induction = 17.68e-3 * (pressure / atm) ** -1.7 * np.exp(3800 / temperature)
    return float(100 * np.trapezoid(1 / induction, angle / speed) ** (1 / 3.402))


def octane_needed(o: SecondOpinion, station: str) -> Iterable[Found]:
    """Octane of the combination at its lowest pull, with what the model is off by, as stated or not known to four numbers."""
    model = o.size("engine", "octane-model") or Found(4.0 * o.cause("octane model"), frozenset(), False)
    slowest = o.size("engine", "lowest-pull") or Found(2000 * math.pi / 30 + TAKEN_AS_NOTHING.value, frozenset(), False)
    inputs = (o.results["compression-ratio", station][0], o.results["rod-ratio", station][0],
              o.size("engine", "intake-closes"), slowest)
    values = [i.value for i in inputs]
    at = [v.n for v in values]
    result = octane(*at) + model.value
    for place, value in enumerate(values):
        step = max(value.s, 1e-9)
        up, down = ([*at[:place], at[place] + sign * step, *at[place + 1:]] for sign in (1, -1))
        result += (octane(*up) - octane(*down)) / (2 * step) * (value - value.n)
    return (join(result, *inputs, model),)


def knock_margin(o: SecondOpinion, station: str) -> Iterable[Found]:
    """Octane of the fuel over it."""
    return worked(lambda f, n: f - n, o.size("engine", "fuel-octane"), o.results["octane-needed", station][0])


# -- weights ----------------------------------------------------------------------------------------------------------

def weights_of(o: SecondOpinion, label: str) -> dict[str, Found | None]:
    """What is weighed of a cylinder [g]; rings, locks and shells are guessed where nobody says."""
    def guessed(station: str, feature: str, grams: float, doubt: float) -> Found:
        return o.size(station, feature) or Found(grams + doubt * o.cause(f"guess of {feature}"), frozenset(), False)
    return {
        "piston": o.size(f"cyl.{label}.piston", "weight"), "pin": o.size(f"cyl.{label}.pin", "weight"),
        "rings": guessed(f"cyl.{label}.piston", "ring-set-weight", 35.0, 15.0),
        "locks": guessed(f"cyl.{label}.pin", "locks-weight", 2.0, 1.0),
        "small": o.size(f"rod.{label}", "rod-small-end-weight"), "big": o.size(f"rod.{label}", "rod-big-end-weight"),
        "shells": guessed(f"rod.{label}", "shell-pair-weight", 45.0, 20.0),
    }


UP_AND_DOWN, AROUND = ("piston", "pin", "rings", "locks", "small"), ("big", "shells")


def heavy(*names: str) -> Work:
    """Weights of a cylinder or rod added up."""
    def work(o: SecondOpinion, station: str) -> Iterable[Found]:
        found = weights_of(o, station.split(".")[1])
        return worked(lambda *values: sum(values), *(found[n] for n in names))
    return work


def bobweight(o: SecondOpinion, station: str) -> Iterable[Found]:
    """All that turns on the pin, half of what goes up and down with it, oil: a cross-plane eight takes half."""
    rods = o.engine.rods_on[int(station.split(".")[1]) - 1]
    if len(rods) == 1:
        return ()  # the six in line balances itself and has no bobweights here
    rows = [weights_of(o, label) for label in rods]
    oil = o.size(station, "oil-weight") or Found(4.0 + 2.0 * o.cause("guess of oil"), frozenset(), False)
    return worked(lambda oil, *w: oil + sum(v * (0.5 if n % 7 < 5 else 1.0) for n, v in enumerate(w)), oil,
                  *(row[n] for row in rows for n in (*UP_AND_DOWN, *AROUND)))


def rod_pull(o: SecondOpinion, station: str) -> Iterable[Found]:
    """[N], from g and mm: what the split must hold at the top of the overlap."""
    label = station.split(".")[1]
    sizes, w = sizes_of(o, label), weights_of(o, label)
    cap = o.size(station, "cap-weight") or TAKEN_AS_NOTHING
    return worked(
        lambda s, rod, n, cap, *w: 1e-6 * n**2 * s / 2 * (sum(w[:5]) * (1 + s / 2 / rod) + w[5] + w[6] - cap),
        sizes["stroke"], sizes["rod"], sizes["redline"], cap, *(w[n] for n in (*UP_AND_DOWN, *AROUND)))


def allowed(o: SecondOpinion) -> Found | None:
    """[ISO21940-11]: eccentricity grade over speed, times mass; grams and mm."""
    grade, weight, speed = o.size("crank", "balance-grade"), o.size("crank", "weight"), o.size("engine", "redline")
    found = worked(lambda g, m, w: g * m / w, grade, weight, speed)
    return found[0] if found else None


def unbalance_margin(plane: str) -> Work:
    """Half of what is allowed less what is left."""
    return lambda o, s: worked(lambda a, left: a / 2 - left, allowed(o), o.size(s, f"unbalance-{plane}"))


# -- which characteristic, where, how ---------------------------------------------------------------------------------

def _cylinders(pattern: str) -> Callable[[Engine], list[str]]:
    return lambda e: [pattern.format(c) for c in e.cylinders]


CYL, ROD = _cylinders("cyl.{}"), _cylinders("rod.{}")
WRIST_PIN = _cylinders("cyl.{}.pin")


def MAIN(e: Engine) -> list[str]:  # noqa: N802
    return [f"main.{n}" for n in range(1, e.mains + 1)]


def PIN(e: Engine) -> list[str]:  # noqa: N802
    return [f"pin.{n}" for n in range(1, len(e.rods_on) + 1)]


def RING(e: Engine) -> list[str]:  # noqa: N802
    return [f"cyl.{c}.ring.{r}" for c in e.cylinders for r in ("top", "second", "oil")]


def one(station: str) -> Callable[[Engine], list[str]]:
    return lambda _: [station]


def total_swept(o: SecondOpinion, _: str) -> Iterable[Found]:
    """All cylinders together."""
    rows = [o.results["swept-volume", s][0] for s in CYL(o.engine)]
    return (join(sum(r.value for r in rows), *rows),)


def _form(name: str, stations: Callable[[Engine], list[str]], feature: str, *, held_for_taper: int,
          ) -> dict[str, tuple[Callable[[Engine], list[str]], Work]]:
    return {f"{name}-size": (stations, direct(feature)), f"{name}-taper": (stations, worst(feature, held_for_taper)),
            f"{name}-out-of-round": (stations, worst(feature, 1 - held_for_taper))}


def zone(rows: list[tuple[list[float], Found]]) -> tuple[Found, ...]:
    """Narrowest zone about a shape that is linear in its parameters, by linear programming; the multipliers are its slopes."""
    table = np.array([row for row, _ in rows])
    heights = np.array([f.value.n for _, f in rows])
    scale = np.ptp(heights) or 1.0
    ones = np.ones((len(rows), 1))
    found = linprog(np.r_[np.zeros(table.shape[1]), 1.0], A_ub=np.block([[table, -ones], [-table, -ones]]),
                    b_ub=np.r_[heights, -heights] / scale, bounds=[(None, None)] * (table.shape[1] + 1))
    slopes = 2 * (found.ineqlin.marginals[:len(rows)] - found.ineqlin.marginals[len(rows):])
    return (join(sum(w * f.value for w, (_, f) in zip(slopes, rows, strict=True)), *(f for _, f in rows)),)


def line_of(feature: str) -> Work:
    """How straight the mains stand; both demo engines have a main after every throw or every pair of rods, so evenly."""
    def work(o: SecondOpinion, _: str) -> Iterable[Found]:
        rows = [([1.0, float(n)], f) for n in range(1, o.engine.mains + 1) if (f := o.size(f"main.{n}", feature))]
        return zone(rows) if len(rows) > 2 else ()
    return work


def flat(o: SecondOpinion, station: str) -> Iterable[Found]:
    """Flatness of a face that was read at places along and across."""
    read, _ = o.places(station, "face-height")
    along, across = ("front", "middle", "rear"), ("inner", "centre", "outer")
    rows = [([1.0, float(along.index(a)), float(across.index(b))], f) for (a, b), f in ((p.split(), f) for p, f in read.items())]
    return zone(rows) if len(rows) > 3 else ()


def valve_lift(o: SecondOpinion, s: str) -> Found | None:
    """As the card says for the valves of a side; nobody read it on the demo engines."""
    return o.stated("engine", f"{'intake' if s.endswith('in') else 'exhaust'}-valve-lift") if awake(o) else None


def awake(o: SecondOpinion) -> bool:
    """Whether anything of springs or of piston to valve was read or stated: before, nothing of them is said."""
    asked = {"installed-height", "bind-height", "spring-rate", "clay-thickness", "valve-drop", "pocket-depth", "rocker-arm"}
    return any(body["feature"] in asked for kind in ("reading.taken", "size.stated") for body in o.bodies(kind))


def spring_load(o: SecondOpinion, s: str, *, opened: bool) -> Iterable[Found]:
    """Rate times how much shorter than free it is."""
    height, rate, free = (o.size(s, name) for name in ("installed-height", "spring-rate", "spring-free-height"))
    if not opened:
        return worked(lambda h, k, f: k * (f - h), height, rate, free)
    return worked(lambda h, k, f, lift: k * (f - h + lift), height, rate, free, valve_lift(o, s))


VALVES = lambda e: [f"valve.{label}.{valve}" for label in e.cylinders for valve in ("in", "ex")]  # noqa: E731
GEAR: dict[str, tuple[Callable[[Engine], list[str]], Work]] = {
    "valve-lift": (VALVES, lambda o, s: worked(lambda v: v, valve_lift(o, s))),
    "valve-lash": (VALVES, direct("lash")),
    "spring-installed-height": (VALVES, direct("installed-height")),
    "spring-height-spread": (one("engine"), spread("spring-installed-height")),
    "spring-rate": (VALVES, direct("spring-rate")),
    "spring-seat-load": (VALVES, lambda o, s: spring_load(o, s, opened=False)),
    "spring-seat-load-spread": (one("engine"), spread("spring-seat-load")),
    "spring-open-load": (VALVES, lambda o, s: spring_load(o, s, opened=True)),
    "spring-bind-margin": (VALVES, lambda o, s: worked(
        lambda h, b, lift: h - lift - b, o.size(s, "installed-height"), o.size(s, "bind-height"), valve_lift(o, s))),
    "piston-to-valve": (VALVES, lambda o, s: worked(  # clay is good to 0.1 mm, the same for all
        lambda v: v - 0.1 * o.cause("taken clay"), o.size(s, "clay-thickness"))),
}
TABLE: dict[str, tuple[Callable[[Engine], list[str]], Work]] = {
    "chamber-volume": (_cylinders("chamber.{}"), direct("chamber-volume")), "chamber-spread": (one("engine"), spread("chamber-volume")),
    "swept-volume": (CYL, geometry(swept, "bore", "stroke")),
    "displacement": (one("engine"), total_swept),
    "deck-clearance": (CYL, direct("deck-clearance")),
    "deck-flatness": (lambda e: [f"deck.{b}" for b in dict.fromkeys(e.bank_of.values())], flat),
    "head-flatness": (lambda e: [f"head.{b}" for b in dict.fromkeys(e.bank_of.values())], flat),
    "main-line-height": (MAIN, direct("line-height")), "main-line-side": (MAIN, direct("line-side")),
    "main-line-straightness": (one("block"), line_of("line-height")),
    "main-line-sideways": (one("block"), line_of("line-side")),
    "deck-spread": (lambda e: [f"deck.{b}" for b in dict.fromkeys(e.bank_of.values())], spread("deck-clearance")),
    "squish-clearance": (CYL, geometry(lambda _, z: z["deck"] + z["gasket"], "deck", "gasket")),
    "clearance-volume": (CYL, geometry(room, *ROOM)),
    "compression-ratio": (CYL, geometry(ratio, "stroke", *ROOM)),
    "compression-spread": (one("engine"), spread("compression-ratio")),
    "effective-ratio": (CYL, geometry(effective, "closes", "rod", "offset", "stroke", *ROOM)),
    "rod-ratio": (CYL, geometry(lambda _, z: z["rod"] / z["stroke"], "rod", "stroke")),
    "octane-needed": (CYL, octane_needed),
    "knock-margin": (CYL, knock_margin),
    "rod-angle": (CYL, geometry(lambda _, z: umath.degrees(umath.asin((z["stroke"] / 2 + z["offset"]) / z["rod"])),
                                "stroke", "rod", "offset")),
    "mean-piston-speed": (CYL, moving(lambda _, z: z["stroke"] * z["redline"] / math.pi, "stroke", "redline")),
    "peak-piston-speed": (CYL, moving(peak_speed, "stroke", "rod", "offset", "redline")),
    "peak-acceleration": (CYL, moving(peak_acceleration, "stroke", "rod", "offset", "redline", squared=True)),
    "main-oil-clearance": (MAIN, clearance_measured("main")),
    "main-oil-clearance-predicted": (MAIN, clearance_predicted("main")),
    "main-oil-clearance-spread": (one("engine"), spread("main-oil-clearance")),
    "rod-oil-clearance": (ROD, clearance_measured("rod")),
    "rod-oil-clearance-predicted": (ROD, clearance_predicted("rod")),
    "rod-oil-clearance-spread": (one("engine"), spread("rod-oil-clearance")),
    # a place is named row, then column: "A front", "1 rear", "top thrust"; taper runs along the axis of the part
    **_form("main-housing", MAIN, "housing-bore", held_for_taper=0),
    **_form("main-journal", MAIN, "journal", held_for_taper=0),
    **_form("rod-housing", ROD, "housing-bore", held_for_taper=0),
    **_form("crankpin", PIN, "journal", held_for_taper=0),
    **_form("bore", CYL, "bore", held_for_taper=1),
    "crank-run-out": (one("crank"), direct("run-out")),
    "end-play-upper": (one("thrust"), direct("end-play-upper")),
    "stroke": (PIN, direct("stroke")),
    "rod-side-clearance": (PIN, side_clearance),
    "pin-bush-clearance": (ROD, lambda o, s: worked(
        lambda b, p: b - p, o.size(s, "bush-bore"), o.size(f"cyl.{s.split('.')[1]}.pin", "diameter"))),
    "rod-length": (ROD, direct("rod-length")),
    "cam-bearing-clearance": (lambda e: [f"cam.1.bearing.{n}" for n in range(1, e.cam_bearings + 1)], lambda o, s: worked(
        lambda b, j: b - j, o.size(s, "bearing-bore"), o.size(s, "cam-journal"))),
    "cam-end-play": (one("cam.1"), direct("end-play")),
    "piston-to-wall": (CYL, lambda o, s: worked(
        lambda b, p: b - p, o.size(s, "bore", "gauge", "middle"), o.size(f"{s}.piston", "skirt"))),
    "ring-end-gap": (RING, direct("end-gap")),
    "ring-side-clearance": (RING, direct("side-clearance")),
    "pin-to-piston": (WRIST_PIN, lambda o, s: worked(
        lambda b, p: b - p, o.size(f"cyl.{s.split('.')[1]}.piston", "pin-bore"), o.size(s, "diameter"))),
    "piston-weight": (CYL, heavy("piston")), "piston-weight-spread": (one("engine"), spread("piston-weight")),
    "piston-pin-weight": (CYL, heavy("pin")), "piston-pin-weight-spread": (one("engine"), spread("piston-pin-weight")),
    "big-end-weight": (ROD, heavy("big")), "big-end-weight-spread": (one("engine"), spread("big-end-weight")),
    "small-end-weight": (ROD, heavy("small")), "small-end-weight-spread": (one("engine"), spread("small-end-weight")),
    "reciprocating-weight": (CYL, heavy(*UP_AND_DOWN)),
    "reciprocating-weight-spread": (one("engine"), spread("reciprocating-weight")),
    "rotating-weight": (ROD, heavy(*AROUND)), "bobweight": (PIN, bobweight), "rod-pull": (ROD, rod_pull),
    "unbalance-allowed": (one("crank"), lambda o, _: () if allowed(o) is None else (allowed(o),)),
    "unbalance-front-margin": (one("crank"), unbalance_margin("front")),
    "unbalance-rear-margin": (one("crank"), unbalance_margin("rear")),
    **GEAR,
}
PLANNING = {
    "swept-volume", "displacement", "deck-clearance", "squish-clearance", "clearance-volume", "compression-ratio",
    "compression-spread", "effective-ratio", "rod-ratio", "octane-needed", "knock-margin", "rod-angle",
    "mean-piston-speed", "peak-piston-speed", "peak-acceleration", "reciprocating-weight", "rotating-weight", "bobweight",
    "rod-pull", "unbalance-allowed", *(GEAR.keys() - {"valve-lash"}),
}


def probability(value: UFloat, lower: float | None, upper: float | None) -> float:
    """That the true value lies within the limits."""
    if value.s == 0:
        return float((lower is None or value.n >= lower) and (upper is None or value.n <= upper))
    below = norm.cdf(lower, value.n, value.s) if lower is not None else 0.0
    above = norm.sf(upper, value.n, value.s) if upper is not None else 0.0
    return float(1.0 - below - above)


def verdict(judged: Judged, found: Found) -> str:
    """By the house's rule: fits from 0.95 up, out from 0.05 down."""
    lower, upper, _ = judged.limits
    if not (found.read or judged.planning):
        return "not measured"
    if found.stale:
        return "stale"
    if lower is None and upper is None:
        return "no limit"
    chance = probability(found.value, lower, upper)
    return "fits" if chance >= 0.95 else "out" if chance <= 0.05 else "too close to call"


def judge(o: SecondOpinion) -> dict[tuple[str, str], Judged]:
    """Every finding that can be worked out, by characteristic and station."""
    done: dict[tuple[str, str], Judged] = {}
    for name, (stations, work) in TABLE.items():
        if name in o.house["skip"]:
            continue
        for station in stations(o.engine):
            ways = tuple(work(o, station))
            if ways:
                o.results[name, station] = ways
                limits, authority = o.limits(name.removesuffix("-predicted"), station)
                done[name, station] = Judged(ways, limits, authority, name in PLANNING)
    return done
