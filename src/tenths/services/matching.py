"""Which piston, rod and pin in which hole: from the log to the question, and the answer as data for a drawing."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tenths.choose.answer import Predicted
from tenths.choose.match_parts import NOUGHT, Cylinder, Piston, Placed, Rod, Window, WristPin
from tenths.choose.matching import HOUSE_MATCH_GOALS, Goal, MatchGoals, Matching, match_parts
from tenths.choose.words import System, worked
from tenths.engine.quantity import Quantity
from tenths.findings.check import check
from tenths.findings.cylinders import BORE_AT_GAUGE
from tenths.findings.finding import Finding
from tenths.findings.geometry import CHAMBER, GASKET_BORE, GASKET_THICKNESS, ROD, STROKE
from tenths.logbook.build import Build
from tenths.metrology.decide import Verdict
from tenths.metrology.estimate import Estimate, combine, exact, linear
from tenths.services.asked import Asked
from tenths.services.gathered import Gathered, in_house
from tenths.services.hollows import crevice_of, hollow_of
from tenths.services.knobs import Knob, Knobs, weights
from tenths.services.questions import system_of
from tenths.services.told import told

NAME = "matching"
TITLE = "Pistons, rods and pins to holes"
HOLDS = (Verdict.FITS, Verdict.OUT, Verdict.TOO_CLOSE)
KNOBS = Knobs(NAME, (
    *weights((
        ("compression-weight", "weight of equal compression; a spread of 0.1 counts as one", "1"),
        ("mass-weight", "weight of equal weights; a spread of 1 g counts as one", "1"),
        ("wall-weight", "weight of piston to wall on its target; 0.001 in (0.0254 mm) off counts as one", "1"),
        ("honing-weight", "weight of least honing; 0.001 in (0.0254 mm) taken out counts as one", "0.5"),
    )),
    Knob("most-honing", "most that a hole may be honed, on the diameter", Quantity.LENGTH, "0.005 in", "0.12 mm"),
))
SEED = 8  # of the chance that the expected true spread is drawn with: the same log, the same words


@dataclass(frozen=True, slots=True)
class Parts:
    """What can be placed, and what lies where now."""

    cylinders: tuple[Cylinder, ...]
    pistons: tuple[Piston, ...]
    rods: tuple[Rod, ...]
    pins: tuple[WristPin, ...]
    now: tuple[tuple[int, int], ...]


def matching(build: Build) -> Asked | None:
    """The question which piston, rod and pin goes in which hole; None before two holes and their pistons are read."""
    if build.layout is None:
        return None
    gathered, notes = Gathered(build, build.layout), list[str]()
    parts = _parts(gathered, notes)
    if parts is None:
        return None
    system = system_of(build)
    found = match_parts(parts.cylinders, parts.pistons, parts.rods, parts.pins, np.random.default_rng(SEED),
                        goals=_goals(build), now=parts.now, system=system)
    if any(p.rod.id != q.id for p, q in zip(found.places, (parts.rods[j] for _, j in parts.now), strict=False)):
        notes.append("A rod takes its shells and its clearance along to another crankpin: read the big end again there.")
    return Asked(NAME, TITLE, found.answer, tuple(gathered.entries), tuple(notes), settings=KNOBS.settings(build),
                 drawing=_drawing(build, parts, found, system))


def _goals(build: Build) -> MatchGoals:
    house = HOUSE_MATCH_GOALS

    def weighed(goal: Goal, name: str) -> Goal:
        return replace(goal, weight=KNOBS.number(build, name))

    return MatchGoals(weighed(house.compression, "compression-weight"), weighed(house.weight, "mass-weight"),
                      weighed(house.clearance, "wall-weight"), weighed(house.honing, "honing-weight"))


def _parts(gathered: Gathered, notes: list[str]) -> Parts | None:
    build = gathered.build
    rows = {(f.characteristic.name, f.station): f for f in check(
        build, ("piston-to-wall", "compression-ratio", "squish-clearance"))}
    holes = [s for s in (f"cyl.{label}" for label in gathered.layout.labels) if _fit_to_place(rows, s, notes)]
    if len(holes) < 2:
        return None
    labels = [hole.partition(".")[2] for hole in holes]
    pistons = [f"{hole}.piston" for hole in holes] + [f"part.{p}" for p in in_house(build, "piston")]
    pistons = [p for p in pistons if gathered.there(p, "skirt")]
    rods = [f"rod.{label}" for label in labels] + [f"part.{r}" for r in in_house(build, "rod")]
    if len(pistons) < len(holes):
        return None
    space = _space(gathered, holes, pistons, rods, notes)
    most = KNOBS.number(build, "most-honing")
    cylinders = tuple(_cylinder(gathered, rows, hole, space, most) for hole in holes)
    own = {hole: n for n, hole in enumerate(holes)}
    masses = {"piston": _masses(gathered, pistons, "weight", "pistons", notes),
              "rod": _masses(gathered, rods, "rod-small-end-weight", "small ends of the rods", notes)}
    pins = _masses(gathered, [f"{hole}.pin" for hole in holes], "weight", "", notes)
    return Parts(
        cylinders,
        tuple(Piston(_called(build, p), gathered.at(p, "skirt") or NOUGHT, space.height.get(p, NOUGHT), space.hollow.get(p, NOUGHT), mass)
              for p, mass in zip(pistons, masses["piston"], strict=True)),
        tuple(Rod(_called(build, r), space.length.get(r, NOUGHT), mass) for r, mass in zip(rods, masses["rod"], strict=True)),
        tuple(WristPin(_called(build, f"{hole}.pin"), mass) for hole, mass in zip(holes, pins, strict=True)) if any(
            p.value for p in pins) else (),
        tuple((pistons.index(f"{hole}.piston"), own[hole]) for hole in holes) if all(f"{h}.piston" in pistons for h in holes) else ())


def _fit_to_place(rows: dict[tuple[str, str], Finding], hole: str, notes: list[str]) -> bool:
    found = rows["piston-to-wall", hole]
    if found.verdict in HOLDS and found.limits.lower is not None and found.limits.upper is not None:
        return True
    if found.estimate is not None:
        notes.append(f"{hole} is left out: its piston to wall is {found.verdict}, or has no two limits")
    return False


@dataclass(frozen=True, slots=True)
class Space:
    """What volumes are made of, by station or part; empty where anything of it is not known."""

    deck: dict[str, Estimate]
    chamber: dict[str, Estimate]
    stroke: dict[str, Estimate]
    gasket: dict[str, Estimate]
    height: dict[str, Estimate]
    hollow: dict[str, Estimate]
    length: dict[str, Estimate]


def _space(gathered: Gathered, holes: Sequence[str], pistons: Sequence[str], rods: Sequence[str], notes: list[str]) -> Space:
    gathered.missing.clear()
    height = {p: e for p in pistons if (e := gathered.at(p, "compression-height")) is not None}
    length_ = {r: e for r in rods if (e := gathered.at(r, "rod-length")) is not None}
    stroke = {h: e for h in holes if (e := gathered.of(STROKE, h)) is not None}
    gasket = {h: e for h in holes if (e := gathered.of(GASKET_THICKNESS, h)) is not None}
    bore = {h: e for h in holes if (e := gathered.of(GASKET_BORE, h)) is not None}
    head = {h: e for h in holes if (e := gathered.of(CHAMBER, h)) is not None}
    deck = {h: e for h in holes if stroke.get(h) and (e := _room(gathered, h, stroke[h])) is not None}
    if gathered.missing:
        notes.append(f"Compression is left out: {next(iter(gathered.missing))}.")
        return Space({}, {}, {}, {}, {}, {}, {})
    chamber = {h: combine((1.0, 1.0), (head[h], linear(_disc, bore[h], gasket[h]))) for h in holes}
    hollow = {p: combine((1.0, 1.0), (hollow_of(gathered, p), crevice_of(gathered, p, holes[0]))) for p in pistons}
    return Space(deck, chamber, stroke, gasket, height, hollow, length_)


def _disc(diameter: float, thickness: float) -> float:
    return np.pi / 4 * diameter**2 * thickness


def _room(gathered: Gathered, hole: str, stroke: Estimate) -> Estimate | None:
    """How high rod and piston together may stand: by the deck clearance as read with its own ones, else by the deck height."""
    label = hole.partition(".")[2]
    read = gathered.read(hole, "deck-clearance")
    if read is None:
        bank = gathered.layout.cylinder(label).bank
        height = gathered.at(f"deck.{bank}", "deck-height")
        return None if height is None else combine((1.0, -0.5), (height, stroke))
    rod, piston = gathered.of(ROD, hole), gathered.at(f"{hole}.piston", "compression-height")
    return None if rod is None or piston is None else combine((1.0, 1.0, 1.0), (read, rod, piston))


def _cylinder(gathered: Gathered, rows: dict[tuple[str, str], Finding], hole: str, space: Space, most: float) -> Cylinder:
    wall = rows["piston-to-wall", hole].limits
    lower, upper = wall.lower or 0.0, wall.upper or 0.0
    return Cylinder(
        hole, gathered.of(BORE_AT_GAUGE, hole) or NOUGHT, space.stroke.get(hole, exact(1.0)), space.deck.get(hole, NOUGHT),
        space.chamber.get(hole), lower, (lower + upper) / 2 if wall.target is None else wall.target, upper, most,
        space.gasket.get(hole), _window(rows["compression-ratio", hole]), _window(rows["squish-clearance", hole]))


def _window(found: Finding) -> Window:
    return Window(found.limits.lower, found.limits.target, found.limits.upper)


def _masses(gathered: Gathered, stations: Sequence[str], feature: str, words: str, notes: list[str]) -> list[Estimate]:
    """Masses of all, or nought where not every one was weighed."""
    found = [gathered.at(s, feature) if gathered.there(s, feature) else None for s in stations]
    known = [e for e in found if e is not None]
    if len(known) == len(stations):
        return known
    if words and known:
        notes.append(f"Weights of the {words} are left out: {len(stations) - len(known)} of {len(stations)} are not weighed.")
    return [NOUGHT] * len(stations)


def _called(build: Build, station: str) -> str:
    """The part's own name, or what it is while it has none: ``piston 3``."""
    part = build.part_in(station) or (station.removeprefix("part.") if station.startswith("part.") else "")
    if part:
        return part
    steps = station.split(".")
    return f"rod {steps[1]}" if steps[0] == "rod" else f"{steps[2]} {steps[1]}"


# -- as data for a drawing --------------------------------------------------------------------------------------------

def _drawing(build: Build, parts: Parts, found: Matching, system: System) -> dict[str, Any]:
    if not found.places:
        return {}
    told_of = (found.answer.predicted, *(a.predicted for a in found.answer.alternatives))
    return {"kind": "matching", "options": [_option(build, parts, places, predicted, system) for places, predicted in zip(
        (found.places, *found.others), told_of, strict=True)]}


def _option(build: Build, parts: Parts, places: Sequence[Placed], predicted: Sequence[Predicted], system: System) -> dict[str, Any]:
    homes = {p.id: "" for p in parts.pistons} | {r.id: "" for r in parts.rods}
    for cylinder, (i, j) in zip(parts.cylinders, parts.now, strict=False):
        homes[parts.pistons[i].id] = homes[parts.rods[j].id] = cylinder.station.partition(".")[2]
    homes |= {pin.id: c.station.partition(".")[2] for pin, c in zip(parts.pins, parts.cylinders, strict=False)}
    fits = {p.cylinder.station: [told(row, system) for row in predicted if row.station == p.cylinder.station] for p in places}
    return {"places": [_place(build, place, homes, system) | {"fits": fits[place.cylinder.station]} for place in places]}


def _place(build: Build, place: Placed, homes: dict[str, str], system: System) -> dict[str, Any]:
    label = place.cylinder.station.partition(".")[2]

    def part(name: str) -> dict[str, str]:
        home = homes.get(name, "")
        return {"id": name, "from": "" if home == label else home or "stock"}

    assert build.layout is not None  # noqa: S101 - there are cylinders
    return {"station": place.cylinder.station, "label": label, "bank": build.layout.cylinder(label).bank,
            "piston": part(place.piston.id), "rod": part(place.rod.id), "pin": part(place.pin.id) if place.pin else None,
            "honed": place.hone, "hone": worked(place.hone, system) if place.hone > 1e-9 else ""}

