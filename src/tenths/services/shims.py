"""Shims under the valve springs: from the log to the question, one stack for each spring from what is in the house."""

from collections.abc import Mapping

from tenths.choose.shims import Shim, SpringPlace, choose_shims
from tenths.engine.quantity import Quantity, parse, unit_for
from tenths.findings.check import check
from tenths.findings.declare import Need
from tenths.findings.finding import Finding
from tenths.logbook.build import Build
from tenths.metrology.decide import Verdict
from tenths.metrology.estimate import Estimate, combine
from tenths.services.asked import Asked
from tenths.services.gathered import Gathered
from tenths.services.knobs import Knob, Knobs
from tenths.services.questions import system_of
from tenths.services.valve_clearance import valves_of

NAME, TITLE, KIND = "shims", "Shims under the valve springs", "shim"
IN_PLACE = Need("shims", "shims-in-place", otherwise=0.0)
KNOBS = Knobs(NAME, (
    Knob("height", "installed height wanted; empty takes the least that is read, to which shims bring the others", Quantity.LENGTH),
    Knob("load", "load wanted with the valve closed; each spring then gets its own height. Empty goes by height", Quantity.FORCE),
    Knob("most", "most shims under one spring", Quantity.COUNT, "2", least=1, most=4),
))
NAMES = ("spring-installed-height", "spring-seat-load", "spring-rate", "spring-bind-margin")
CAUTION = "Springs are under load: use a compressor that cannot slip, and wear glasses."


def shims(build: Build) -> Asked | None:
    """The question which shims go where; None before an installed height is read and shims are counted."""
    stock = in_stock(build)
    if build.layout is None or not stock:
        return None
    found = {(f.characteristic.name, f.station): f for f in check(build, NAMES)}
    look, notes = Gathered(build, build.layout), [CAUTION]
    bare = {station: height for station in valves_of(build) if (height := _bare(look, found, station, notes)) is not None}
    if not bare:
        return None
    places = _places(build, found, bare, notes)
    system = system_of(build)
    answer = choose_shims(places, stock, most=round(KNOBS.number(build, "most")), system=system)
    entries = dict.fromkeys((*(e for place in places for e in found[NAMES[0], place.station].entries), *look.entries))
    return Asked(NAME, TITLE, answer, tuple(entries), tuple(notes), settings=KNOBS.settings(build))


def in_stock(build: Build) -> list[Shim]:
    """Shims in the house, thinnest first."""
    unit = unit_for(Quantity.LENGTH, system_of(build))
    rows = [Shim(size, parse(body.change, Quantity.LENGTH, default_unit=unit, field="thickness").si, body.sets)
            for (kind, size), (_, body) in build.stock.items() if kind == KIND]
    return sorted(rows, key=lambda shim: shim.thickness)


def _bare(look: Gathered, found: Mapping[tuple[str, str], Finding], station: str, notes: list[str]) -> Estimate | None:
    """Height without shims; None, with a word where it no longer holds, while it is not read."""
    height = found.get((NAMES[0], station))
    if height is None or height.estimate is None:
        return None
    if height.verdict is Verdict.STALE:
        notes.append(f"{station} is left out: its installed height no longer holds.")
        return None
    under = look.of(IN_PLACE, station)
    return combine((1.0, 1.0), (height.estimate, under)) if under is not None else height.estimate


def _places(build: Build, found: Mapping[tuple[str, str], Finding], bare: Mapping[str, Estimate], notes: list[str]) -> list[SpringPlace]:
    load, height = KNOBS.maybe(build, "load"), KNOBS.maybe(build, "height")
    common = min(e.value for e in bare.values()) if height is None else height
    rows: list[SpringPlace] = []
    for station, estimate in bare.items():
        wanted = common
        if load is not None and (own := _for_load(found, station, load)) is not None:
            wanted = own
        elif load is not None:
            notes.append(f"{station}: its load is not known; it goes by height.")
        rows.append(SpringPlace(station, estimate, wanted, _least(found, station)))
    return rows


def _for_load(found: Mapping[tuple[str, str], Finding], station: str, load: float) -> float | None:
    """Height at which the spring of a valve bears a load, by its rate about where it stands."""
    height, seat, rate = (found.get((name, station)) for name in NAMES[:3])
    if height is None or seat is None or rate is None or height.value is None or seat.value is None or not rate.value:
        return None
    return height.value + (seat.value - load) / rate.value


def _least(found: Mapping[tuple[str, str], Finding], station: str) -> float:
    """Height at which the room before the coils bind comes to its limit; 0 where that is not known."""
    height, bind = found.get((NAMES[0], station)), found.get((NAMES[3], station))
    if height is None or bind is None or height.value is None or bind.value is None or bind.limits.lower is None:
        return 0.0
    return height.value - bind.value + bind.limits.lower
