"""The head on the bench: guides, stems, seats, valves, throats, and chambers filled from a burette."""

from collections.abc import Callable, Mapping

from tenths.calc.valves import burette
from tenths.engine.feature_head import BURETTE, LIQUIDS
from tenths.engine.quantity import Quantity
from tenths.errors import TenthsError
from tenths.findings.carrying import carried
from tenths.findings.declare import Characteristic, Need, Over, Uneven, Way
from tenths.findings.resolve import Input, Resolver
from tenths.metrology.estimate import single

LENGTH, VOLUME = Quantity.LENGTH, Quantity.VOLUME
CHAMBER = "chamber-volume"
STANDS_FOR: Mapping[str, str] = dict.fromkeys(BURETTE, CHAMBER)  # a reading of these tells that
ROOM, ROOM_DOUBT = burette.REFERENCE, 2.0  # K, where nobody read a temperature
FULL_DOUBT = 0.05e-6  # m3: a burette that was filled to nought and not read
PLATE = ("plate-hole", "plate-thickness", "plate-rim", "plate-dish")


def _same(value: float) -> float:
    return value


def _less(larger: float, smaller: float) -> float:
    return larger - smaller


def _over(part: float, whole: float) -> float:
    return part / whole


def _read(name: str, words: str, how: str = "as read", feature: str = "") -> Characteristic:
    return Characteristic(name, "valves", ("valve",), LENGTH, words, (Way(_same, (Need("value", feature or name),), how),), when_begun=True)


CHARACTERISTICS: tuple[Characteristic, ...] = (
    Characteristic(CHAMBER, "valves", ("chamber",), VOLUME, "chamber volume",
                   (Way(_same, (Need("value", CHAMBER),), "as read; from a burette: what was poured, less the plate, at 20 °C"),),
                   when_begun=True),
    Characteristic("chamber-spread", "valves", ("engine",), VOLUME, "chamber volume, spread",
                   (Over(CHAMBER, "spread", "largest less smallest chamber"),), silent=True),
    Characteristic("stem-clearance", "valves", ("valve",), LENGTH, "stem in its guide",
                   (Way(_less, (Need("guide", "guide-bore"), Need("stem", "stem")), "bore of the guide - stem, means of all places"),),
                   when_begun=True),
    Characteristic("guide-bell-mouth", "valves", ("valve",), LENGTH, "guide out of straight",
                   (Uneven("guide-bore", "row", "largest difference along the guide"),), when_begun=True, silent=True),
    Characteristic("guide-out-of-round", "valves", ("valve",), LENGTH, "guide out of round",
                   (Uneven("guide-bore", "column", "largest difference across the guide"),), when_begun=True, silent=True),
    _read("seat-width", "width of the seat", "along the seat, mean of all places"),
    _read("seat-run-out", "run-out of the seat"),
    _read("face-run-out", "run-out of the valve's face"),
    _read("valve-margin", "margin of the valve", feature="margin"),
    Characteristic("throat-share", "valves", ("valve",), Quantity.RATIO, "throat over the valve's head",
                   (Way(_over, (Need("throat", "throat-diameter"), Need("head", "head-diameter")), "throat / head of the valve"),),
                   when_begun=True),
)


def chamber_said(resolver: Resolver, station: str) -> Input:
    """The volume of a chamber that was filled from a burette, where nobody wrote it down as one number."""
    ends, starts = resolver.places(station, "burette-end"), resolver.places(station, "burette-start")
    if not ends.estimates:
        return Input(CHAMBER, station, CHAMBER, "missing")
    fills = [(starts.estimates.get(place, single(0.0, FULL_DOUBT, f"taken:burette full at {station}")), end)
             for place, end in ends.estimates.items()]
    beside = [_beside(resolver, station, name) for name in ("liquid-temperature", "chamber-temperature", *PLATE)]
    liquid = resolver.input("liquid", station, "burette-liquid", (), None)
    name = LIQUIDS[round(liquid.estimate.value)] if liquid.estimate is not None else "water"
    try:
        found, _ = carried(_volume(name), [*(e.estimate for e in beside if e.estimate), *(e for pair in fills for e in pair)],
                           f"burette at {station}")
    except TenthsError as error:  # readings that cannot be are said beside the finding, and no other finding suffers
        return Input(CHAMBER, station, CHAMBER, "missing", warnings=(str(error),))
    rows = (*starts.entries.values(), *ends.entries.values(), *(b.entries for b in (*beside, liquid)))
    entries = dict.fromkeys(entry for row in rows for entry in row)
    stale = dict.fromkeys((*starts.stale, *ends.stale))
    warnings = dict.fromkeys((*starts.warnings, *ends.warnings, *(w for b in beside for w in b.warnings)))
    return Input(CHAMBER, station, CHAMBER, "read", found, tuple(entries), tuple(stale), tuple(warnings),
                 tuple(dict.fromkeys((*starts.instruments, *ends.instruments))))


def _beside(resolver: Resolver, station: str, name: str) -> Input:
    """A temperature, which is that of a room where nobody read it, or a size of the plate, which is nought."""
    warm = name in BURETTE
    return resolver.input(name, station, name, (), ROOM if warm else 0.0, ROOM_DOUBT if warm else 0.0)


def _volume(liquid: str) -> Callable[..., float]:
    def volume(poured: float, part: float, hole: float, thickness: float, rim: float, dish: float, *levels: float) -> float:
        fills = [burette.Fill(start=start, end=end) for start, end in zip(levels[::2], levels[1::2], strict=True)]
        plate = burette.plate_volume(hole=hole, thickness=thickness, rim=rim, dish=dish)
        return burette.filled_volume(fills, plate=plate, liquid=liquid, poured=poured, part=part)

    return volume
