"""What the valve train of one side of an engine is made of: weighed, stated or guessed, with its doubt, and the train it makes.

What is read goes before what is stated, and that before a guess; guesses are common practice and no source, and said to be.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import radians, sqrt

from tenths.calc.valves.lobes import Lobe
from tenths.calc.valves.train import Coils, Train, direct_acting, finger, push_rod
from tenths.engine.feature_gas import FOLLOWERS, VALVE_GEARS
from tenths.engine.feature_train import TOUCHING
from tenths.engine.features import feature_quantity
from tenths.engine.quantity import Quantity
from tenths.errors import BadInput
from tenths.findings.finding import Finding
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Input, Resolver
from tenths.metrology.estimate import Estimate, mean, single
from tenths.services.pull_rubbing import gear_of
from tenths.services.pull_valves import lobe_known, lobe_sizes
from tenths.services.running_model import Model, running_model
from tenths.services.shop import Shop
from tenths.services.valve_train_lobe import base_of, doubt_of, lobe_of_side, stretched

USUAL_HEAD = {"intake": (0.50, 0.36), "exhaust": (0.40, 0.31)}  # diameter over the bore: one valve, two of a side
GAS: Mapping[str, tuple[float, float]] = {  # where no card is stated: of the bore, or an angle, with its doubt
    "intake-duration": (radians(268), radians(6)), "exhaust-duration": (radians(272), radians(6)), "intake-lift": (0.120, 0.008),
    "exhaust-lift": (0.115, 0.008),
}
HEAD = 0.050  # m: the valve that the guesses are for; weights go with the square of the head's diameter
# Guesses where nobody says: common practice, no source. Value [SI], relative standard uncertainty, whether it goes with the head.
GUESSES: Mapping[str, tuple[float, float, bool]] = {
    "weight": (0.105, 0.12, True), "retainer-weight": (0.030, 0.20, True), "spring-weight": (0.085, 0.20, True),
    "follower-weight": (0.105, 0.25, False), "push-rod-weight": (0.060, 0.25, False), "rocker-weight": (0.110, 0.25, False),
    "train-damping": (0.06, 0.40, False), "spring-damping": (0.03, 0.40, False), "lobe-width": (0.0135, 0.08, False),
    "base-radius": (0.0175, 0.06, False), "follower-crown": (0.0, 0.0, False), "rocker-arm": (0.038, 0.08, False),
    "seat-stiffness": (6.0e7, 0.30, True), "push-rod-stiffness": (3.5e7, 0.25, False),
}
BY_GEAR: Mapping[str, Mapping[str, tuple[float, float]]] = {
    "push-rod": {"lobe-stiffness": (8.0e7, 0.30), "rocker-stiffness": (2.0e7, 0.30), "rocker-ratio": (1.55, 0.03),
                 "follower-radius": (0.0, 0.0)},
    "direct": {"lobe-stiffness": (4.5e7, 0.30), "rocker-stiffness": (6.0e7, 0.30), "rocker-ratio": (1.0, 0.0),
               "follower-radius": (0.0, 0.0)},
    "finger": {"lobe-stiffness": (6.0e7, 0.30), "rocker-stiffness": (3.0e7, 0.30), "rocker-ratio": (1.6, 0.04),
               "follower-radius": (0.0085, 0.05)},
    "rocker": {"lobe-stiffness": (6.0e7, 0.30), "rocker-stiffness": (2.5e7, 0.30), "rocker-ratio": (1.4, 0.04),
               "follower-radius": (0.030, 0.20)},
}
ROLLER = 0.0095  # m, radius of a roller where followers are said to roll; common practice, no source
ARM_SHARE = 0.55  # radius of gyration of a rocker over its valve arm; common practice, no source
ROOM_LEFT = 1.5e-3  # beyond the lift until coils bind, where nobody says: 0.060 in, common practice
WORDS: Mapping[str, str] = {
    "weight": "weight of the valve", "retainer-weight": "weight of retainer and locks", "spring-weight": "weight of the spring",
    "follower-weight": "weight of the follower", "push-rod-weight": "weight of the push-rod", "rocker-weight": "weight of the rocker",
    "rocker-inertia": "inertia of the rocker", "rocker-arm": "rocker's pivot to its nose", "rocker-ratio": "ratio of the rocker",
    "lobe-stiffness": "stiffness of camshaft and lobe", "push-rod-stiffness": "stiffness of the push-rod",
    "rocker-stiffness": "stiffness of rocker and stem", "seat-stiffness": "stiffness of the valve on its seat",
    "train-damping": "damping of the train", "spring-damping": "damping of the spring", "lash": "valve lash",
    "spring-load": "load of the spring, valve closed", "spring-rate": "rate of the spring", "bind-room": "room before the coils bind",
    "valve-lift": "greatest lift of the valve", "duration": "duration of the lobe", "lobe-width": "width of the lobe that bears",
    "base-radius": "radius of the base circle", "follower-radius": "radius of roller or pad", "follower-crown": "radius of the crown",
}
QUANTITIES: Mapping[str, Quantity] = {
    "base-radius": Quantity.LENGTH,
    "follower-weight": Quantity.MASS, "spring-load": Quantity.FORCE, "bind-room": Quantity.LENGTH, "duration": Quantity.ANGLE,
}
MOVING: Mapping[str, tuple[str, ...]] = {  # what the motion of each gear hangs on, besides lobe, spring, lash and seat
    "push-rod": ("weight", "retainer-weight", "follower-weight", "push-rod-weight", "rocker-inertia", "rocker-ratio", "lobe-stiffness",
                 "push-rod-stiffness", "rocker-stiffness"),
    "direct": ("weight", "retainer-weight", "follower-weight", "lobe-stiffness", "rocker-stiffness"),
    **dict.fromkeys(("finger", "rocker"), ("weight", "retainer-weight", "rocker-inertia", "rocker-ratio", "lobe-stiffness",
                                           "rocker-stiffness")),
}
ALWAYS = ("spring-load", "spring-rate", "spring-weight", "bind-room", "seat-stiffness", "train-damping", "spring-damping", "lash")
PIECES = 10


@dataclass(frozen=True, slots=True)
class Known:
    """A size [SI] with its standard uncertainty, where it came from, and the entries behind it."""

    value: float
    u: float
    origin: str
    entries: tuple[str, ...] = ()


@dataclass(slots=True)
class Parts:
    """Everything that is known of one side's valve train.

    Attributes:
        model: the engine as it runs.
        side: intake or exhaust.
        stations: its valves.
        gear: push-rod, bucket or finger.
        gear_origin: stated or taken from the layout.
        sizes: by name.
        lobe: of the follower, from its centre.
        pair: what touches: which of `TOUCHING`.
        pair_origin: stated or taken.
    """

    model: Model
    side: str
    stations: tuple[str, ...]
    gear: str
    gear_origin: str
    sizes: dict[str, Known]
    lobe: Lobe
    pair: int
    pair_origin: str

    def value(self, name: str) -> float:
        """A size [SI]."""
        return self.sizes[name].value

    def moving(self) -> tuple[str, ...]:
        """Names of the sizes that the motion hangs on."""
        return (*MOVING[self.gear], *ALWAYS)


def quantity_of(name: str) -> Quantity:
    """What a size is a number of."""
    return QUANTITIES.get(name) or feature_quantity(name)


def sides_of(model: Model) -> tuple[str, ...]:
    """The sides that the layout has valves for."""
    return tuple(side for side in ("intake", "exhaust") if any(name.startswith(side[:2]) for name in model.layout.valves))


def valves_of(model: Model, side: str, valve: str = "") -> tuple[str, ...]:
    """The valves of a side, or the one that is asked for.

    Raises:
        BadInput: for a valve that the engine does not have.
    """
    every = tuple(f"valve.{label}.{name}" for label in model.layout.labels for name in model.layout.valves if name.startswith(side[:2]))
    if valve and valve not in every:
        raise BadInput(f"valve: {valve!r} is none of this engine's; there are {every[0]} to {every[-1]}" if every else f"valve: {valve!r}")
    return (valve,) if valve else every


# -- looking up ------------------------------------------------------------------------------------------------------------------

class _Look:
    """Looks sizes up over the valves of one side."""

    def __init__(self, shop: Shop, model: Model, stations: Sequence[str]) -> None:
        self.model, self.stations = model, stations
        self.resolver = Resolver(model.build, InstrumentBook(model.build))
        self._findings = {(f.characteristic.name, f.station): f for f in shop.checked(model.build)}

    def read(self, feature: str, stations: Sequence[str]) -> Known | None:
        """The mean of a feature over places where it is read, else stated."""
        rows = [self.resolver.input(feature, station, feature, (), None) for station in stations]
        known = [row for row in rows if row.estimate is not None]
        best = [row for row in known if row.origin == "read"] or known
        return _mean(best) if best else None

    def found(self, characteristic: str) -> Known | None:
        """The mean of a characteristic over the valves, as the check has it."""
        rows = [f for station in self.stations if (f := self._findings.get((characteristic, station))) is not None]
        known = [row for row in rows if row.estimate is not None] or [row for row in rows if row.expected is not None]
        return _of_findings(known) if known else None

    def stated_name(self, feature: str, names: Sequence[str]) -> str:
        """Which of its names was stated, or empty."""
        said = self.resolver.input(feature, "engine", feature, (), None).estimate
        return names[int(said.value)] if said is not None else ""


def _mean(rows: Sequence[Input]) -> Known:
    estimates: list[Estimate] = [row.estimate for row in rows if row.estimate is not None]
    whole = estimates[0] if len(estimates) == 1 else mean(estimates)
    return Known(whole.value, whole.u, rows[0].origin, tuple(dict.fromkeys(e for row in rows for e in row.entries)))


def _of_findings(rows: Sequence[Finding]) -> Known:
    estimates = [row.estimate or single(row.expected or 0.0, 0.0, f"expected:{row.station}") for row in rows]
    whole = estimates[0] if len(estimates) == 1 else mean(estimates)
    origin = "read" if any(i.origin == "read" for row in rows for i in row.inputs) else "stated"
    return Known(whole.value, whole.u, origin, tuple(dict.fromkeys(e for row in rows for e in row.entries)))


def gathered(shop: Shop, model: Model, side: str, valve: str = "") -> Parts:
    """Everything of one side.

    Raises:
        BadInput: where the spring's load or rate is neither read nor stated, or for a valve that is none.
    """
    stations = valves_of(model, side, valve)
    look = _Look(shop, model, stations)
    gear = look.stated_name("valve-gear", VALVE_GEARS)
    origin = "stated" if gear else "taken"
    gear = gear or gear_of(model)
    sizes = _spring(look, side) | _weights(look, side, gear) | _stiffnesses(look, gear)
    sizes |= {name: _size(look, name, ("engine",), gear) for name in ("lobe-width", "follower-radius", "follower-crown")}
    base = base_of(model)
    sizes["base-radius"] = Known(base, 0.0, "stated") if base else _guess("base-radius")
    sizes["lash"] = look.read("lash", stations) or Known(0.0, 0.0, "taken")
    sizes |= _lift(look, side, sizes)
    sizes["bind-room"] = _room(look, sizes)
    rolls = look.stated_name("followers", FOLLOWERS) == "roller"
    sizes |= _follower(sizes, gear, rolls=rolls)
    touching = look.stated_name("touching", TOUCHING)
    pair = TOUCHING.index(touching) if touching else 3 if rolls else 0 if gear == "push-rod" else 1
    lobe = lobe_of_side(model, side, valve, lift=sizes["valve-lift"].value, duration=sizes["duration"].value, lash=sizes["lash"].value,
                        ratio=sizes["rocker-ratio"].value, base_radius=sizes["base-radius"].value)
    return Parts(model, side, stations, gear, origin, sizes, lobe, pair, "stated" if touching else "taken")


def _follower(sizes: Mapping[str, Known], gear: str, *, rolls: bool) -> dict[str, Known]:
    """A roller where followers are said to roll; a flat one of a push-rod gear is ground to a large sphere: common practice."""
    radius, crown = sizes["follower-radius"], sizes["follower-crown"]
    if radius.origin == "taken" and rolls:
        radius = Known(ROLLER, 0.05 * ROLLER, "taken")
    if crown.origin == "taken" and gear == "push-rod" and radius.value == 0.0:
        crown = Known(1.4, 0.3, "taken")
    return {"follower-radius": radius, "follower-crown": crown}


def _guess(name: str) -> Known:
    value, doubt, _ = GUESSES[name]
    return Known(value, doubt * value, "taken")


def _size(look: _Look, name: str, stations: Sequence[str], gear: str, head: float = HEAD) -> Known:
    """A size as read or stated, else guessed."""
    said = look.read(name, stations)
    if said is not None:
        return said
    if name in BY_GEAR[gear]:
        value, doubt = BY_GEAR[gear][name]
        return Known(value, doubt * value, "taken")
    value, doubt, grows = GUESSES[name]
    value *= (head / HEAD) ** 2 if grows and name != "seat-stiffness" else head / HEAD if grows else 1.0
    return Known(value, doubt * value, "taken")


def _head(look: _Look, side: str) -> float:
    """Diameter of the valve's head [m]."""
    said = look.read("head-diameter", look.stations) or look.read(f"{side}-valve-head", ("engine",))
    many = sum(name.startswith(side[:2]) for name in look.model.layout.valves) > 1
    return said.value if said else USUAL_HEAD[side][many] * look.model.value("bore")


def _weights(look: _Look, side: str, gear: str) -> dict[str, Known]:
    head, stations = _head(look, side), look.stations
    found = {name: _size(look, name, stations, gear, head) for name in ("weight", "retainer-weight", "spring-weight", "push-rod-weight",
                                                                        "rocker-weight", "rocker-arm")}
    lifters = [station.replace("valve.", "lifter.", 1) for station in stations]
    value, doubt, _ = GUESSES["follower-weight"]
    if gear == "direct":
        value = found["weight"].value
    found["follower-weight"] = look.read("weight", lifters) or Known(value, doubt * value, "taken")
    arm, weight = found["rocker-arm"], found["rocker-weight"]
    inertia = weight.value * (ARM_SHARE * arm.value) ** 2
    guess = Known(inertia, inertia * sqrt((weight.u / weight.value) ** 2 + 0.25**2), "taken")
    found["rocker-inertia"] = look.read("rocker-inertia", ("engine",)) or guess
    return found


def _stiffnesses(look: _Look, gear: str) -> dict[str, Known]:
    found = {name: _size(look, name, ("engine",), gear)
             for name in ("lobe-stiffness", "push-rod-stiffness", "rocker-stiffness", "seat-stiffness", "train-damping", "spring-damping")}
    found["rocker-ratio"] = Known(1.0, 0.0, "taken") if gear == "direct" else _size(look, "rocker-ratio", look.stations, gear)
    return found


def _spring(look: _Look, side: str) -> dict[str, Known]:
    load, rate = look.found("spring-seat-load"), look.found("spring-rate")
    missing = [words for words, known in ((WORDS["spring-load"], load), (WORDS["spring-rate"], rate)) if known is None]
    if load is None or rate is None or load.value <= 0.0 or rate.value <= 0.0:
        raise BadInput(f"the valve train, {side}: {' and '.join(missing) or 'a spring that presses'} must be known first; read springs on "
                       "the tester with their installed height, or state rate and free height")
    return {"spring-load": load, "spring-rate": rate}


def _lift(look: _Look, side: str, sizes: Mapping[str, Known]) -> dict[str, Known]:
    """Lift and duration: of the valve as read, else of the lobe as read or carded, else as stated or guessed."""
    bore, known = look.model.value("bore"), lobe_known(look.model, side)
    drawn = {name.removeprefix(f"{side}-"): Known(value, 0.0, "read") for name, value in lobe_sizes(look.model, side).items()}
    if known and "guessed" in known.origin:  # of the rocker: this page says its own
        drawn.pop("valve-lift")
    lift = look.found("valve-lift") or drawn.get("valve-lift") or look.read(f"{side}-valve-lift", ("engine",))
    if lift is None:
        share, doubt = GAS[f"{side}-lift"]
        lift = Known(share * bore, doubt * bore, "taken")
    value, doubt = GAS[f"{side}-duration"]
    duration = drawn.get("duration") or look.read(f"{side}-duration", ("engine",)) or Known(value, doubt, "taken")
    return {"valve-lift": lift, "duration": duration, "rocker-ratio": sizes["rocker-ratio"]}


def _room(look: _Look, sizes: Mapping[str, Known]) -> Known:
    """Shortening from the shut valve until the coils bind."""
    lift = sizes["valve-lift"].value
    margin = look.found("spring-bind-margin")
    if margin is not None:
        return Known(max(margin.value + lift, 0.2 * lift), margin.u, margin.origin, margin.entries)
    return Known(lift + ROOM_LEFT, 0.3e-3, "taken")


# -- the train -------------------------------------------------------------------------------------------------------------------

def train_of(parts: Parts, sizes: Mapping[str, float] | None = None) -> Train:
    """The train that the sizes make, some of them changed."""
    size = {name: known.value for name, known in parts.sizes.items()} | dict(sizes or {})
    spring = Coils(load=size["spring-load"], rate=size["spring-rate"], mass=size["spring-weight"], left=size["bind-room"],
                   damping=size["spring-damping"], pieces=PIECES)
    common = {"valve": size["weight"] + size["retainer-weight"], "seat_stiffness": size["seat-stiffness"], "lash": size["lash"],
              "damping": size["train-damping"], "lobe_stiffness": size["lobe-stiffness"]}
    if parts.gear == "direct":
        return direct_acting(**common, follower=size["follower-weight"], stem_stiffness=size["rocker-stiffness"], springs=[spring])
    common |= {"valve_arm": size["rocker-arm"], "ratio": size["rocker-ratio"]}
    if parts.gear in {"finger", "rocker"}:
        return finger(**common, inertia=size["rocker-inertia"], finger_stiffness=size["rocker-stiffness"], springs=[spring])
    return push_rod(**common, follower=size["follower-weight"], rod=size["push-rod-weight"], rocker_inertia=size["rocker-inertia"],
                    rod_stiffness=size["push-rod-stiffness"], rocker_stiffness=size["rocker-stiffness"], springs=[spring])


def ends(parts: Parts, *, least: float = 0.0) -> Iterator[tuple[str, Callable[[float], tuple[Train, Lobe]]]]:
    """For each doubtful size, and the lobe: its words, and what train and lobe would be so many standard uncertainties off.

    Args:
        parts: of the side.
        least: relative standard uncertainty from which a size counts.
    """
    for name in parts.moving():
        known = parts.sizes[name]
        if known.u > least * abs(known.value):
            def moved(by: float, name: str = name, known: Known = known) -> tuple[Train, Lobe]:
                other = max(known.value + by * known.u, 0.05 * known.value)
                # a card tells the valve's lift: with another rocker its lobe is another
                lobe = parts.lobe.scaled(known.value / other) if name == "rocker-ratio" and parts.lobe.origin == "card" else parts.lobe
                return train_of(parts, {name: other}), lobe

            yield WORDS[name], moved
    doubt = doubt_of(parts.lobe)
    if doubt > 0.0:
        yield "shape of the lobe", lambda by: (train_of(parts), stretched(parts.lobe, 1.0 + by * doubt))


def of_engine(shop: Shop, engine: str, units: str = "") -> Model:
    """The engine as it runs; raises BadInput where bore, stroke or rod length are not known."""
    return running_model(shop, engine, units).needed()
