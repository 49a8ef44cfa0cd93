"""Stations: the places on an engine that readings, findings, parts and choices hang on, with stable addresses."""

from collections.abc import Iterator
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import lru_cache

from tenths.engine.layout import Layout


@dataclass(frozen=True, slots=True)
class Station:
    """A place: address such as ``main.3``, kind such as ``main``, the words for a person, place in walking order."""

    address: str
    kind: str
    words: str
    order: int


def _engine_wide(layout: Layout) -> Iterator[tuple[str, str, str]]:
    yield "engine", "engine", "engine"
    yield "block", "block", "block"
    yield "crank", "crank", "crankshaft"
    yield "thrust", "thrust", f"thrust bearing, main {layout.thrust_main}"


def _bottom(layout: Layout) -> Iterator[tuple[str, str, str]]:
    for kind, number in layout.along_the_crank():
        if kind == "main":
            yield f"main.{number}", "main", f"main {number}"
            continue
        yield f"pin.{number}", "pin", f"crankpin {number}"
        for cylinder in layout.on_pin(number):
            yield f"rod.{cylinder.label}", "rod", f"rod {cylinder.label}"


def _top(layout: Layout) -> Iterator[tuple[str, str, str]]:
    for bank in layout.banks:
        name = f" {bank.name}" if len(layout.banks) > 1 else ""
        yield f"deck.{bank.name}", "deck", f"deck{name}"
        yield f"head.{bank.name}", "head", f"head{name}"
        yield f"gasket.{bank.name}", "gasket", f"head gasket{name}"
    for label in layout.labels:
        yield f"cyl.{label}", "cyl", f"cylinder {label}"
        yield f"cyl.{label}.piston", "piston", f"piston {label}"
        yield f"cyl.{label}.pin", "wrist-pin", f"piston pin {label}"
        for ring in layout.rings:
            yield f"cyl.{label}.ring.{ring}", "ring", f"{ring} ring {label}"
        yield f"chamber.{label}", "chamber", f"chamber {label}"


def _valve_gear(layout: Layout) -> Iterator[tuple[str, str, str]]:
    for shaft in layout.camshafts:
        name = f" {shaft.name}" if len(layout.camshafts) > 1 else ""
        yield f"cam.{shaft.name}", "cam", f"camshaft{name}"
        for number in range(1, shaft.bearings + 1):
            yield f"cam.{shaft.name}.bearing.{number}", "cam-bearing", f"cam bearing{name} {number}"
        for label, valve in shaft.drives:
            yield f"lobe.{label}.{valve}", "lobe", f"lobe {label} {valve}"
            yield f"lifter.{label}.{valve}", "lifter", f"lifter {label} {valve}"
    for label in layout.labels:
        for valve in layout.valves:
            yield f"valve.{label}.{valve}", "valve", f"valve {label} {valve}"


def _outside(layout: Layout) -> Iterator[tuple[str, str, str]]:
    yield "pump", "pump", "oil pump"
    yield "pan", "pan", "oil pan"
    if layout.camshafts:
        yield "timing", "timing", "drive of the camshaft" if len(layout.camshafts) == 1 else "drive of the camshafts"
    for end in ("front", "rear"):
        yield f"seal.{end}", "seal", f"{end} seal"


@lru_cache(maxsize=64)
def stations(layout: Layout) -> tuple[Station, ...]:
    """All stations of a layout in walking order: bottom end, cylinders, camshafts and valves, each front to back; oil, drive and seals."""
    rows = [*_engine_wide(layout), *_bottom(layout), *_top(layout), *_valve_gear(layout), *_outside(layout)]
    return tuple(Station(address, kind, words, order) for order, (address, kind, words) in enumerate(rows))


@lru_cache(maxsize=64)
def station_map(layout: Layout) -> dict[str, Station]:
    """Address to station."""
    return {s.address: s for s in stations(layout)}


def slots(layout: Layout) -> tuple[str, ...]:
    """The places that hold a part, such as ``crank``, ``main.3.shell.upper``, ``rod.5``, ``cyl.5.ring.top``."""
    found: list[str] = []
    for station in stations(layout):
        match station.kind:
            case "main":
                found += [f"{station.address}.{end}" for end in ("cap", "shell.upper", "shell.lower")]
            case "rod":
                found += [station.address, *(f"{station.address}.shell.{end}" for end in ("upper", "lower"))]
            case "cyl":
                found.append(f"{station.address}.sleeve")
            case "thrust":
                found += ["thrust.upper", "thrust.lower"]
            case "block" | "crank" | "piston" | "wrist-pin" | "ring" | "head" | "gasket" | "cam" | "cam-bearing":
                found.append(station.address)
            case "valve":
                found += [station.address, f"{station.address}.spring"]
            case "lifter" | "pump" | "pan" | "timing" | "seal":
                found.append(station.address)
            case _:
                pass
    return tuple(found)


def pattern_matches(pattern: str, address: str) -> bool:
    """Whether ``main.*`` or ``cyl.*.ring.top`` covers an address; a star stands for one part of the address."""
    ours, theirs = pattern.split("."), address.split(".")
    return len(ours) == len(theirs) and all(fnmatchcase(b, a) for a, b in zip(ours, theirs, strict=True))


def cylinder_of(address: str) -> str | None:
    """The cylinder label that an address belongs to, or None: ``rod.5``, ``cyl.5.ring.top``, ``lobe.5.in`` give 5."""
    parts = address.split(".")
    return parts[1] if parts[0] in {"cyl", "rod", "chamber", "lobe", "lifter", "valve"} and len(parts) > 1 else None
