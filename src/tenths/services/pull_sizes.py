"""The gas side of an engine in numbers: what is stated, what a comparison tries, and what is guessed where nobody says."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import radians, tau

from tenths.calc.gas import flame, fuel, pull
from tenths.calc.gas.ends import end_correction
from tenths.engine.feature_gas import FUELS, GAS, HEADERS, VALVE_GEARS
from tenths.engine.quantity import Quantity, parse
from tenths.engine.units import unit_for
from tenths.errors import BadInput
from tenths.services.pull_rubbing import gear_of, rubbing_of
from tenths.services.pull_valves import head_read, lobe_sizes, valves_of
from tenths.services.running_model import Model

WIDE_OPEN = 0.9  # flow of an open throttle over that of its full bore: common practice, no source
L, A, R = Quantity.LENGTH, Quantity.ANGLE, Quantity.RATIO
MIXED = ("ethanol", "methanol", "toluene", "benzene")
FEATURES_NAMED = {feature.name: feature for feature in GAS if feature.names}
NAMED: Mapping[str, tuple[str, ...]] = {name: feature.names for name, feature in FEATURES_NAMED.items()}
# Guesses where nobody says: common practice, no source. Of the bore B: factor and power of B, or a fixed number.
GUESSES: Mapping[str, tuple[float, float]] = {
    "intake-valves": (1.0, 0), "exhaust-valves": (1.0, 0), "intake-valve-head": (0.50, 1), "exhaust-valve-head": (0.40, 1),
    "intake-valve-lift": (0.120, 1), "exhaust-valve-lift": (0.115, 1), "intake-duration": (radians(268), 0),
    "exhaust-duration": (radians(272), 0), "intake-centre": (radians(108), 0), "exhaust-centre": (radians(112), 0),
    "runner-length": (0.33, 0), "runner-mouth": (0.48, 1), "runner-port": (0.45, 1), "plenum-volume": (6.0e-3, 0),
    "throttle-bore": (0.80, 1), "primary-length": (0.80, 0), "primary-diameter": (0.42, 1), "secondary-length": (0.45, 0),
    "secondary-diameter": (0.62, 1), "richness": (1.12, 0), "burn-duration": (radians(24), 0),
    "burn-middle": (radians(8), 0), "burn-shape": (2.0, 0),
    "heat-correlation": (0.0, 0), "heat-share": (1.0, 0),
    "inlet-pressure": (99e3, 0), "inlet-temperature": (298.15, 0), "outlet-pressure": (101325.0, 0), "pumps-share": (1.0, 0),
    "fuel-kind": (0.0, 0), "fuel-ethanol": (0.0, 0), "fuel-methanol": (0.0, 0), "fuel-toluene": (0.0, 0), "fuel-benzene": (0.0, 0),
    "valve-gear": (0.0, 0), "followers": (0.0, 0), "header-kind": (0.0, 0), "tail-length": (0.0, 0), "tail-diameter": (0.70, 1),
    "silencer-volume": (0.0, 0), "silencer-flow": (0.7, 0), "filter-flow": (3.0, 0),
}
FLAMES = {"ethanol": "ethanol", "methanol": "methanol", "E85": "ethanol", "iso-octane": "iso-octane", "propane": "propane"}
# What a comparison may change besides, each with what it is now and the least and most that is taken.
KNOBS: Mapping[str, tuple[str, Quantity, float, float]] = {
    "compression-ratio": ("compression ratio", R, 5.0, 20.0), "cam-advance": ("cams advanced by", A, -0.5, 0.5),
    "lift-share": ("valve lift over that of now", R, 0.5, 1.6), "throttle-open": ("share of the throttle that is open", R, 0.01, 1.0),
}
WORDS = ({name: name.replace("-", " ") for name in GUESSES} | {name: row[0] for name, row in KNOBS.items()}
         | {"burn-middle": "half burned after top dead centre", "inlet-pressure": "pressure at the inlet",
            "inlet-temperature": "temperature at the inlet", "outlet-pressure": "pressure behind the outlet",
            "fuel-kind": "kind of fuel",
            "heat-correlation": "heat to the walls after",
            "heat-share": "heat to the walls over that of the formula", "header-kind": "which primaries meet",
            "valve-gear": "kind of valve gear",
            "pumps-share": "pumps over the usual"})
QUANTITIES: Mapping[str, Quantity] = (
    dict.fromkeys(GUESSES, L)
    | dict.fromkeys(("intake-valves", "exhaust-valves", "richness", "pumps-share", "silencer-flow", "filter-flow", "burn-shape",
                     "heat-share",
                     *(f"fuel-{liquid}" for liquid in MIXED)), R)
    | dict.fromkeys(("intake-duration", "exhaust-duration", "intake-centre", "exhaust-centre", "burn-duration", "burn-middle"), A)
    | dict.fromkeys(("inlet-pressure", "outlet-pressure"), Quantity.PRESSURE)
    | dict.fromkeys(NAMED, Quantity.COUNT)
    | {"plenum-volume": Quantity.VOLUME, "silencer-volume": Quantity.VOLUME, "inlet-temperature": Quantity.TEMPERATURE}
    | {name: row[1] for name, row in KNOBS.items()}
)
# Of what is typed [SI]: the least and the most that is taken.
RANGES: Mapping[str, tuple[float, float]] = (
    {name: row[2:] for name, row in KNOBS.items()} | {"secondary-length": (0.0, 10.0), "tail-length": (0.0, 10.0),
    "silencer-flow": (0.05, 1.0), "filter-flow": (0.1, 100.0)}
    | {f"fuel-{liquid}": (0.0, 0.95) for liquid in MIXED}
    | {"inlet-pressure": (30e3, 500e3), "outlet-pressure": (50e3, 500e3), "inlet-temperature": (230.0, 450.0), "richness": (0.7, 1.6),
       "intake-valves": (1.0, 3.0), "exhaust-valves": (1.0, 3.0), "pumps-share": (0.0, 5.0), "burn-shape": (0.3, 6.0),
       "heat-share": (0.2, 3.0),
       "burn-middle": (radians(-10), radians(60))}
)

WIDE: Mapping[Quantity, tuple[float, float]] = {L: (1e-3, 10.0), A: (radians(-720), radians(720)), Quantity.VOLUME: (0.0, 1.0)}


@dataclass(frozen=True, slots=True)
class Stated:
    """A size of the gas side [SI], and whether it was stated, guessed (taken), worked out (found) or tried."""

    value: float
    origin: str


def sizes_of(model: Model, given: Mapping[str, str] | None = None) -> dict[str, Stated]:
    """The sizes of the gas side: what a comparison gives goes before what is stated, and that before a guess.

    Args:
        model: the engine as it runs.
        given: other sizes, as typed, by name.

    Raises:
        BadInput: for a name that is none, or a text that is no number of its kind or out of its range.
    """
    bore = model.value("bore")
    found: dict[str, Stated] = {}
    for name, (factor, power) in GUESSES.items():
        said = model.inputs(name, "engine")
        found[name] = Stated(said.value, "stated") if said is not None else Stated(factor * bore**power, "taken")
    found |= _of_layout(model, found)
    if found["fuel-kind"].origin == "taken" and (kind := fuel_named(model.build.fuel)) is not None:
        found["fuel-kind"] = Stated(float(FUELS.index(kind)), "found")
    if found["valve-gear"].origin == "taken":
        found["valve-gear"] = Stated(float(VALVE_GEARS.index(gear_of(model))), "found")
    found |= {name: Stated(read, "read") for side in ("intake", "exhaust") if found[name := f"{side}-valve-head"].origin == "taken"
              and (read := head_read(model, side)) is not None}
    found |= {name: Stated(value, "read") for side in ("intake", "exhaust") for name, value in lobe_sizes(model, side).items()}
    found |= {"compression-ratio": Stated(model.value("ratio"), "found"), "cam-advance": Stated(0.0, "found"),
              "lift-share": Stated(1.0, "found"), "throttle-open": Stated(1.0, "found")}
    return found | {name: _tried(model, name, text, found) for name, text in (given or {}).items()}


def _of_layout(model: Model, found: Mapping[str, Stated]) -> dict[str, Stated]:
    """How many valves the layout says, and heads to suit, where nobody stated them."""
    many = {"intake": sum(name.startswith("in") for name in model.layout.valves),
            "exhaust": sum(name.startswith("ex") for name in model.layout.valves)}
    more: dict[str, Stated] = {}
    for side, count in many.items():
        said, head = found[f"{side}-valves"], found[f"{side}-valve-head"]
        if count and said.origin == "taken":
            said = more[f"{side}-valves"] = Stated(float(count), "found")
        if round(said.value) > 1 and head.origin == "taken":
            more[f"{side}-valve-head"] = Stated(head.value / 1.25, "taken")
    return more


def _tried(model: Model, name: str, text: str, found: Mapping[str, Stated]) -> Stated:
    if name not in found:
        raise BadInput(f"with: {name!r} is no size of the gas side; there are {', '.join(found)}")
    quantity = QUANTITIES[name]
    if name in NAMED:
        place = FEATURES_NAMED[name].named(text)
        if place is None:
            raise BadInput(f"{name}: {text!r} is not known; taken are {', '.join(NAMED[name])}")
        return Stated(float(place), "tried")
    typed = parse(text, quantity, default_unit=unit_for(quantity, model.system), field=name)
    value = float(typed.si)
    least, most = RANGES.get(name) or WIDE[quantity]
    if not least <= value <= most:
        write = model.amounts
        raise BadInput(f"{name}: {text!r} is not from {write(least, quantity)['text']} to {write(most, quantity)['text']}")
    return Stated(value, "tried")


def tried_in(sizes: Mapping[str, Stated]) -> frozenset[str]:
    """Names of the sizes that a comparison changes."""
    return frozenset(name for name, one in sizes.items() if one.origin == "tried")


def engine_of(model: Model, sizes: Mapping[str, Stated]) -> pull.Engine:
    """The gas side of an engine as `calc.gas.pull` takes it."""
    size = {name: one.value for name, one in sizes.items()}
    tried = tried_in(sizes)
    mouth = end_correction(diameter=size["runner-mouth"], flanged=size["plenum-volume"] > 0.0)
    return pull.Engine(
        bore=model.value("bore"), stroke=model.value("stroke"), rod=model.value("rod_length"), offset=model.value("pin_offset"),
        compression=size["compression-ratio"], fires=model.along().fires,
        intake=valves_of(model, size, "intake", tried), exhaust=valves_of(model, size, "exhaust", tried),
        induction=pull.Induction(runner=size["runner-length"] + mouth, mouth=size["runner-mouth"], port=size["runner-port"],
                                 plenum=size["plenum-volume"], throttle=size["throttle-bore"],
                                 throttle_flow=_in_a_row(WIDE_OPEN * size["throttle-open"], size["filter-flow"])),
        outlet=outlet_of(model, size),
        fuel=fuel_of(model, size), richness=size["richness"], burning=burning_of(size, sizes["burn-duration"].origin),
        crevice=0.4e-6 * (model.value("bore") / 0.09) ** 2, leak=leak_of(model),
        air=(size["inlet-pressure"], size["inlet-temperature"], 0.006), back=size["outlet-pressure"], friction=rubbing_of(model, size))


def fuel_of(model: Model, size: Mapping[str, float]) -> fuel.Fuel:
    """What burns: the kind of fuel with what is mixed into it, by volume; the octane number as stated, else as usual for its parts.

    A stated number is by the research method, which lies some 5 above the mean of both that knock goes by (*common practice*).
    """
    kind = FUELS[round(size["fuel-kind"])]
    said = model.inputs("fuel-octane", "engine")
    octane = said.value - 5.0 if said is not None else None
    added = {liquid: size[f"fuel-{liquid}"] for liquid in MIXED if size[f"fuel-{liquid}"] > 0.0}
    return fuel.mixed(kind, added, octane=octane) if added else fuel.fuel(kind, octane=octane)


def fuel_named(words: str) -> str | None:
    """The kind of fuel that somebody's words name, as "Pump petrol, 98 octane" names petrol 98; None for none."""
    said = "".join(c for c in words.lower() if c.isalnum())
    named = [kind for kind in FUELS if "".join(c for c in kind.lower() if c.isalnum()) in said]
    return max(named, key=len) if named else None


def burning_of(size: Mapping[str, float], origin: str) -> pull.Burning:
    """How it burns: as long as stated or tried; else as a flame of its fuel and richness burns beside a petrol engine's usual one."""
    usual = pull.Burning(duration=size["burn-duration"], middle=size["burn-middle"], shape=size["burn-shape"], heat=size["heat-share"],
                         correlation=round(size["heat-correlation"]))
    if origin != "taken":
        return usual
    state = {"temperature": 700.0, "pressure": 15e5, "burned": 0.05}  # of the charge when it is lit, about
    burns = FLAMES.get(FUELS[round(size["fuel-kind"])], "petrol")
    share = flame.burn_share(
        speed=1.0, usual_speed=1.0, usual_flame=flame.laminar_speed("petrol", richness=GUESSES["richness"][0], **state),
        flame=flame.laminar_speed(burns, richness=size["richness"], **state))
    return replace(usual, duration=size["burn-duration"] * min(max(share, 0.6), 2.0), growth=1.0 / 3.0)


# Radial clearance of a warm piston's land over the bore, and flow of a ring's gap: common practice, no source.
LAND, GAP_FLOW = 0.0025, 0.86


def leak_of(model: Model) -> float:
    """Effective area past the rings of a cylinder [m2]: the gaps of top and second ring in a row; 0 where no gap was read or stated."""
    areas = [said.value * LAND * model.value("bore") * GAP_FLOW
             for ring in ("top", "second") if (said := model.inputs("end-gap", f"cyl.{{c}}.ring.{ring}")) is not None and said.value > 0.0]
    return sum(area**-2 for area in areas) ** -0.5 if areas else 0.0


def _in_a_row(*flows: float) -> float:
    """Flow of what the air passes one after the other, each over the same full area."""
    return sum(flow**-2 for flow in flows) ** -0.5


def outlet_of(model: Model, size: Mapping[str, float]) -> pull.Outlet:
    """The way out: which primaries meet, the pipes after that, and what may stand at their end."""
    kind, tail = HEADERS[round(size["header-kind"])], size["tail-length"]
    banks = bank_rows(model)
    groups = {"each by itself": [(n,) for bank in banks for n in bank], "all of the engine together": [tuple(sorted(sum(banks, ())))],
              "pairs, then their bank": [pair for bank in banks for pair in pairs(model, bank)]}.get(kind) or [
                  part for bank in banks for part in ([bank] if len(bank) < 6 else [bank[:len(bank) // 2], bank[len(bank) // 2:]])]
    lengths = {"primary": size["primary-length"], "secondary": 0.0 if kind == "each by itself" else size["secondary-length"], "tail": tail}
    last = "tail" if tail > 0.0 else "secondary" if lengths["secondary"] > 0.0 else "primary"
    if last != "tail" or not size["silencer-volume"]:
        lengths[last] += end_correction(diameter=size[f"{last}-diameter"])
    return pull.Outlet(
        primary=lengths["primary"], diameter=size["primary-diameter"], groups=tuple(groups),
        secondary=lengths["secondary"], secondary_diameter=size["secondary-diameter"],
        merged=tail > 0.0, tail=lengths["tail"], tail_diameter=size["tail-diameter"],
        silencer=size["silencer-volume"] if tail > 0.0 else 0.0, silencer_flow=size["silencer-flow"])


def bank_rows(model: Model) -> list[tuple[int, ...]]:
    """The cylinders of each bank from the front, counted from 0."""
    cylinders = model.layout.cylinders
    return [tuple(sorted((n for n, one in enumerate(cylinders) if one.bank == bank), key=lambda n: cylinders[n].place))
            for bank in dict.fromkeys(one.bank for one in cylinders)]


def pairs(model: Model, bank: tuple[int, ...]) -> list[tuple[int, ...]]:
    """The cylinders of a bank two by two, so that those of a pair fire as far apart as can be; an odd one stays alone."""
    fires = model.along().fires

    def apart(pair: tuple[int, ...]) -> float:
        return min((fires[pair[-1]] - fires[pair[0]]) % (2 * tau), (fires[pair[0]] - fires[pair[-1]]) % (2 * tau)) if pair[1:] else tau

    return max(_pairings(bank), key=lambda way: sorted(round(apart(pair), 6) for pair in way))


def _pairings(left: tuple[int, ...]) -> list[list[tuple[int, ...]]]:
    if len(left) < 2:
        return [[left]] if left else [[]]
    first, rest = left[0], left[1:]
    ways = [[(first, other), *way] for n, other in enumerate(rest) for way in _pairings(rest[:n] + rest[n + 1:])]
    return ways if len(left) % 2 == 0 else [*ways, *([(first,), *way] for way in _pairings(rest))]
