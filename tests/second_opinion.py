"""A second calculation of every finding of the demo engines, from the raw entries of the log.

It shares no code with the product: JSON read with the standard library, numbers and layouts by what is written here,
doubt carried by the general library `uncertainties` (one variable for each cause, so that what is shared is shared),
probabilities from scipy. Lengths are in the engine's own unit, inch or mm; volumes in cc.
"""

import json
import math
import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

from uncertainties import UFloat, ufloat

PLAIN_NUMBERS = {"rod-ratio", "compression-spread", "knock-margin"}
PRACTICE = tomllib.loads((Path(__file__).parents[1] / "src/tenths/data/common_practice.toml").read_text("utf-8"))

# kind of instrument: last figure, limit of error (half-width), repeatability, setting; tenths of a thou, and µm.
# Common practice, no source; the limit of a ring is U with k = 2.
INCH_KINDS = {
    "outside-micrometer": (1, 1.5, 0.4, 0), "inside-micrometer": (1, 2, 1, 0), "ball-micrometer": (1, 1, 0.6, 0),
    "bore-gauge": (1, 0.5, 0.5, 0.3), "dial-indicator": (5, 5, 2, 0), "test-indicator": (1, 1, 0.5, 0),
    "feeler": (10, 2, 3, 0), "ring-gap-feeler": (10, 2, 2, 0),
}
METRIC_KINDS = {
    "outside-micrometer": (1, 4, 1, 0), "inside-micrometer": (5, 5, 2.5, 0), "ball-micrometer": (1, 2.5, 1.5, 0),
    "bore-gauge": (1, 1.5, 1.2, 0.8), "ring": (0, 1.3, 0, 0), "dial-indicator": (10, 12, 4, 0),
    "test-indicator": (2, 3, 1, 0), "ring-gap-feeler": (20, 5, 5, 0),
}
PLAIN_KINDS = {"burette": (0.1, 0.1, 0.1, 0), "scale": (0.1, 0.2, 0.1, 0), "balancer": (1, 20, 5, 0)}  # cc, g, g mm
USUAL = {"unbalance-front": "balancer", "unbalance-rear": "balancer"}  # kind, where no instrument was named

# the part slots that a reading holds for; {s} its station, {c} its cylinder
RESTS = {
    ("main", "line-height"): ("block",), ("main", "line-side"): ("block",), ("deck", "face-height"): ("block",),
    ("head", "face-height"): ("{s}",),
    ("main", "housing-bore"): ("block", "{s}.cap"), ("rod", "housing-bore"): ("{s}",),
    ("main", "installed-bore"): ("block", "{s}.cap", "{s}.shell.upper", "{s}.shell.lower"),
    ("rod", "installed-bore"): ("{s}", "{s}.shell.upper", "{s}.shell.lower"),
    ("main", "journal"): ("crank",), ("pin", "journal"): ("crank",), ("pin", "journal-width"): ("crank",),
    ("pin", "side-clearance"): ("crank",), ("crank", "run-out"): ("crank",),
    ("thrust", "end-play-upper"): ("crank", "block", "thrust.upper"), ("shell", "shell-wall"): ("{s}",),
    ("rod", "big-end-width"): ("{s}",), ("rod", "bush-bore"): ("{s}",), ("rod", "rod-big-end-weight"): ("{s}",),
    ("rod", "rod-small-end-weight"): ("{s}",), ("cam-bearing", "bearing-bore"): ("block", "{s}"),
    ("cam-bearing", "cam-journal"): ("cam.1",), ("cam", "end-play"): ("{s}", "block"),
    ("cyl", "bore"): ("block", "{s}.sleeve"), ("piston", "skirt"): ("{s}",), ("piston", "weight"): ("{s}",),
    ("wrist-pin", "weight"): ("{s}",), ("crank", "unbalance-front"): ("crank",),
    ("crank", "unbalance-rear"): ("crank",), ("crank", "unbalance-front-angle"): ("crank",),
    ("crank", "unbalance-rear-angle"): ("crank",),
    ("piston", "compression-height"): ("{s}",), ("piston", "dome-volume"): ("{s}",),
    ("piston", "pin-bore"): ("{s}",), ("wrist-pin", "diameter"): ("{s}",), ("chamber", "chamber-volume"): ("head.{b}",),
    ("cyl", "deck-clearance"): ("block", "crank", "rod.{c}", "cyl.{c}.piston", "rod.{c}.shell.upper", "rod.{c}.shell.lower"),
    ("ring", "end-gap"): ("{s}", "block", "cyl.{c}.sleeve"), ("ring", "side-clearance"): ("{s}", "cyl.{c}.piston"),
    ("valve", "clay-thickness"): ("{s}", "head.{b}", "gasket.{b}", "block", "crank", "rod.{c}", "cyl.{c}.piston"),
    ("valve", "installed-height"): ("{s}", "head.{b}", "{s}.spring"), ("valve", "valve-drop"): ("{s}", "head.{b}"),
    ("valve", "pocket-depth"): ("cyl.{c}.piston",), ("valve", "pocket-diameter"): ("cyl.{c}.piston",),
}
SIGNED = {"deck-clearance"}
NUMBER = re.compile(r"([+-]?)(\d+)(?:\.(\d+))?\s*([^\d\s].*)?")
MM = 25.4
CC_PER_IN3 = 16.387064


@dataclass(frozen=True)
class Engine:
    """What the layout text of a demo engine means, written out by hand."""

    mains: int
    rods_on: tuple[tuple[str, ...], ...]  # crankpin by crankpin
    bank_of: dict[str, str]
    cam_bearings: int

    @property
    def cylinders(self) -> list[str]:
        """Labels, pin by pin."""
        return [label for rods in self.rods_on for label in rods]

    def pin_of(self, label: str) -> int:
        """The crankpin of a cylinder."""
        return next(n for n, rods in enumerate(self.rods_on, 1) if label in rods)


ENGINES = {
    "inline-6, cams block 7": Engine(7, tuple((str(n),) for n in range(1, 7)), {str(n): "A" for n in range(1, 7)}, 7),
    "v8-90-cross-plane, cams block 5": Engine(
        5, (("1", "2"), ("3", "4"), ("5", "6"), ("7", "8")), {str(n): "AB"[(n + 1) % 2] for n in range(1, 9)}, 5),
}


@dataclass(frozen=True)
class Found:
    """A value with its doubt, the entries under it, whether anything of it was read, whether it still holds."""

    value: UFloat
    entries: frozenset[str]
    read: bool
    stale: bool = False


@dataclass(frozen=True)
class Judged:
    """What a finding should say. A tie between places leaves several ways, each as good as the other."""

    ways: tuple[Found, ...]
    limits: tuple[float | None, float | None, float | None]
    authority: str
    planning: bool


@dataclass
class Reading:
    """A reading as it stands in the log."""

    entry: str
    position: int
    station: str
    feature: str
    place: str
    value: UFloat


def kind_of(station: str) -> str:
    """The kind of a station, from its address."""
    parts = station.split(".")
    if "shell" in parts:
        return "shell"
    if parts[0] == "cyl" and len(parts) > 2:
        return {"piston": "piston", "pin": "wrist-pin", "ring": "ring"}[parts[2]]
    return "cam-bearing" if "bearing" in parts else parts[0]


def covers(pattern: str, station: str) -> bool:
    """Whether a pattern with stars, one for each part of an address, covers a station."""
    ours, theirs = pattern.split("."), station.split(".")
    return len(ours) == len(theirs) and all(a == b or (a.endswith("*") and b.startswith(a[:-1])) for a, b in zip(ours, theirs, strict=True))


@dataclass(eq=False)
class SecondOpinion:
    """The log of one engine, understood a second time."""

    rows: list[tuple[str, int, str, dict[str, Any]]]
    at: dict[str, str] = field(default_factory=dict)
    causes: dict[str, UFloat] = field(default_factory=dict)
    readings: dict[tuple[str, str], list[Reading]] = field(default_factory=dict)
    results: dict[tuple[str, str], tuple[Found, ...]] = field(default_factory=dict)  # kept by second_table as it goes

    def __post_init__(self) -> None:
        struck = {body["entry"] for _, _, kind, body in self.rows if kind == "entry.struck"}
        self.rows = [row for row in self.rows if row[0] not in struck]
        opened = self.bodies("engine.opened")[0]
        self.metric, self.use = opened.get("units") == "metric", opened.get("use", "street")
        self.engine = ENGINES[opened["layout"]]
        self.house = tomllib.loads(self.bodies("house.adopted")[-1]["text"])
        self.cards = {body["instrument"]: body for body in self.bodies("instrument.listed")}
        self._readings()

    def bodies(self, kind: str) -> list[dict[str, Any]]:
        """Bodies of a type, in the order of the log."""
        return [body for _, _, k, body in self.rows if k == kind]

    # -- numbers ---------------------------------------------------------------------------------------------------

    def number(self, text: str, *, metric: bool | None = None) -> tuple[float, float, bool]:
        """Value, step of the last figure, and whether a sign was typed; lengths in the engine's unit, angles in rad."""
        match = NUMBER.fullmatch(text.strip())
        assert match, text
        sign, whole, decimals, unit = match[1], match[2], match[3] or "", match[4] or ""
        size = float(f"{sign}{whole}.{decimals or 0}")
        factor = self._factor(unit, metric=self.metric if metric is None else metric)
        return size * factor, 10.0 ** -len(decimals) * factor, bool(sign)

    def _factor(self, unit: str, *, metric: bool) -> float:
        to_mm = {"in": MM, "mm": 1.0, "tenths": MM / 1e4, "µm": 1e-3}
        if unit in to_mm:
            return to_mm[unit] / (1.0 if self.metric else MM)
        if unit == "":
            return 1.0 if metric == self.metric else (MM if self.metric else 1 / MM)
        return {"cc": 1.0, "g": 1.0, "g mm": 1.0, "kg cm2": 1.0, "N m/rad": 1.0, "rpm": math.pi / 30, "deg": math.pi / 180,
                "N/mm": 1.0, "lbf": 4.4482216152605,
                "m/s": 1.0 if self.metric else 60 / 0.3048}[unit]

    # -- readings --------------------------------------------------------------------------------------------------

    def cause(self, name: str) -> UFloat:
        """The one variable of a cause: mean 0, standard deviation 1."""
        if name not in self.causes:
            self.causes[name] = ufloat(0.0, 1.0)
        return self.causes[name]

    def _amounts(self, name: str) -> tuple[float, float, float, float]:
        """Standard uncertainties of scale, last figure, repeat and setting of an instrument."""
        card = self.cards.get(name, {"kind": name})
        kind = card["kind"]
        assert not {"resolution", "repeatability", "repeats"} & set(card)
        if kind in PLAIN_KINDS:
            step, limit, repeat, setting = PLAIN_KINDS[kind]
        else:
            unit = 1e-3 if self.metric else 1e-4
            step, limit, repeat, setting = (v * unit for v in (METRIC_KINDS if self.metric else INCH_KINDS)[kind])
        if card.get("limit_of_error"):
            limit = self.number(card["limit_of_error"])[0]
        return limit / (2.0 if kind == "ring" else math.sqrt(3)), step / math.sqrt(12), repeat, setting

    def _readings(self) -> None:
        setting: dict[str, tuple[str, str, float]] = {}
        for entry, position, kind, body in self.rows:
            if kind == "instrument.set":
                setting[body["instrument"]] = (entry, body["master"], self.number(body["size"])[0])
            if kind != "reading.taken":
                continue
            value, _, signed = self.number(body["text"])
            by = body.get("instrument") or USUAL.get(body["feature"], "")
            if not by:
                continue
            scale, figure, repeat, zeroing = self._amounts(by)
            known = value + scale * self.cause(f"of {by}")
            known += figure * self.cause(f"figure {entry}") + repeat * self.cause(f"repeat {entry}")
            if by in setting:
                name, master, size = setting[by]
                known += zeroing * self.cause(f"setting {name}") + self._amounts(master)[0] * self.cause(f"of {master}")
                known += size if signed and body["feature"] not in SIGNED else 0.0
            known = self._at_twenty(known, entry, body)
            row = Reading(entry, position, body["station"], body["feature"], body.get("place", ""), known)
            self.readings.setdefault((row.station, row.feature), []).append(row)

    def _at_twenty(self, known: UFloat, entry: str, body: dict[str, Any]) -> UFloat:
        """A bore of the block read within an hour of a note of the block, brought to 20 °C; the gauge was as warm as the air.

        L (1 - a (t - 20) + s (air - 20)), a = 22(1)e-6 of an aluminium casting, s = 11.5(10)e-6 of gauge steel, handbook
        values; t is doubtful by 0.6 K (thermometer) and 0.5 K (not read at the part), part against gauge by 0.5 K and 0.6 K.
        """
        note = {n["where"]: n for e, _, k, n in self.rows if k == "temperature.noted" and self._near(e, entry)}
        rests = RESTS.get((kind_of(body["station"]), body["feature"]), ("",))
        if "block" not in note or rests[0] != "block" or body["feature"] not in {"housing-bore", "installed-bore"}:
            return known
        part, air = (float(note[where]["text"].removesuffix("°C")) - 20 for where in ("block", "shop air"))
        size, casting, steel = known.n, 22e-6, 11.5e-6
        known += size * (steel * air - casting * part)
        known -= size * part * (1e-6 / math.sqrt(3)) * self.cause("expansion of aluminium")
        known += size * air * (1e-6 / math.sqrt(3)) * self.cause("expansion of steel")
        known -= size * (casting - steel) * math.hypot(0.6, 0.5) * self.cause("temperature of the block")
        return known - size * casting * math.hypot(0.5, 0.6) * self.cause("block against gauge")

    def _near(self, note: str, reading: str) -> bool:
        """Whether two entries are of the same hour."""
        one, other = (datetime.fromisoformat(self.at[e]) for e in (note, reading))
        return abs((one - other).total_seconds()) <= 3600

    def holds(self, row: Reading) -> bool:
        """Whether what a reading rests on is still there and was not machined since."""
        parts = row.station.split(".")
        label = parts[1] if parts[0] in {"cyl", "rod", "chamber"} else ""
        bank = self.engine.bank_of.get(label, "")
        slots = [s.format(s=row.station, c=label, b=bank) for s in RESTS[kind_of(row.station), row.feature]]
        return all(self._fitted(slot, row.position) == self._fitted(slot, 10**9) for slot in slots) and not any(
            body["slot"] in slots and position > row.position and self._ends(body, row)
            for _, position, kind, body in self.rows if kind == "part.machined")

    def _ends(self, body: dict[str, Any], row: Reading) -> bool:
        where = body.get("stations", [])
        return row.feature in body.get("features", [row.feature]) and (
            not where or any(row.station == s or row.station.startswith(s + ".") for s in where))

    def _fitted(self, slot: str, position: int) -> str:
        part = ""
        for _, at, kind, body in self.rows:
            if kind == "part.fitted" and body["slot"] == slot and (at <= position or body.get("all_along")):
                part = body["part"]
        return part

    @cache  # noqa: B019 - lives as long as a test
    def places(self, station: str, feature: str) -> tuple[dict[str, Found], bool]:
        """What holds, place by place; what no longer does, when nothing holds."""
        rows = self.readings.get((station, feature), [])
        good = [row for row in rows if self.holds(row)]
        grouped: dict[str, list[Reading]] = {}
        for row in good or rows:
            grouped.setdefault(row.place, []).append(row)
        stale = bool(rows) and not good
        return {place: Found(sum(r.value for r in same) / len(same), frozenset(r.entry for r in same), True, stale)
                for place, same in grouped.items()}, stale

    def stated(self, station: str, feature: str) -> Found | None:
        """A size on the sheet: anywhere within its tolerance, or within the last figure written."""
        found = [(entry, body) for entry, _, kind, body in self.rows if kind == "size.stated"
                 and body["feature"] == feature and covers(body["station"], station)]
        assert len(found) < 2
        for entry, body in found:
            value, step, _ = self.number(body["text"])
            half = self.number(body["tolerance"])[0] if body.get("tolerance") else step / 2
            if feature == "redline" and not body.get("tolerance"):
                half = math.pi / 30 / 2
            doubt = half / math.sqrt(3) * self.cause(f"stated {entry} {station}")
            return Found(value + doubt, frozenset({entry}), False)
        return None

    def size(self, station: str, feature: str, *begin: str) -> Found | None:
        """A size: the mean of the places read (of those that begin with a word, when there are any), else as stated."""
        read, _ = self.places(station, feature)
        for word in begin:
            some = {place: f for place, f in read.items() if place.startswith(word)}
            if some:
                read = some
                break
        return mean(read.values()) if read else self.stated(station, feature)

    # -- limits ----------------------------------------------------------------------------------------------------

    def limits(self, name: str, station: str) -> tuple[tuple[float | None, float | None, float | None], str]:
        """Lower, upper, target and whose: the sheet's before the house's before common practice."""
        sheet = [body for body in self.bodies("limit.stated")
                 if body["characteristic"] == name and covers(body["station"], station)]
        if sheet:
            texts = (sheet[-1].get(k, "") for k in ("lower", "upper", "target"))
            lower, upper, target = (self.number(t)[0] if t else None for t in texts)
            return (lower, upper, target), "maker's sheet"
        for rows, whose in ((self.house["limit"], "house rule"), (PRACTICE["limit"], "common practice")):
            if found := self._rule(rows, name, station):
                return found, whose
        return (None, None, None), ""

    def _rule(self, rows: list[dict[str, Any]], name: str, station: str,
              ) -> tuple[float | None, float | None, float | None] | None:
        some = [r for r in rows if r["characteristic"] == name and self.use in r.get("use", [self.use])
                and covers(r.get("station", station), station)]
        if not some:
            return None
        named = [r for r in some if "station" in r] or some
        row = ([r for r in named if "use" in r] or named)[0]
        if name in PLAIN_NUMBERS:
            return tuple(float(row[k]) if k in row else None for k in ("lower", "upper", "target"))
        size = self._per(row, station)
        lower, upper, target = (self._bound(row.get(k), size) for k in ("lower", "upper", "target"))
        return lower, upper, target

    def _per(self, row: dict[str, Any], station: str) -> float:
        if "per" not in row:
            return 1.0
        label = station.split(".")[1]
        where = {"main-oil-clearance": f"main.{label}", "ring-end-gap": f"cyl.{label}"}.get(row["characteristic"], "")
        found = self.size(where, row["per"]) if where else self.size(f"pin.{self.engine.pin_of(label)}", row["per"])
        assert found
        return found.value.n

    def _bound(self, value: str | float | None, size: float) -> float | None:
        if value is None:
            return None
        return self.number(value, metric=False)[0] if isinstance(value, str) else value * size


def mean(found: Iterable[Found]) -> Found:
    """The mean of several."""
    rows = list(found)
    return join(sum(r.value for r in rows) / len(rows), *rows)


def join(value: UFloat, *from_: Found) -> Found:
    """A value worked out from others."""
    return Found(value, frozenset().union(*(f.entries for f in from_)), any(f.read for f in from_),
                 any(f.stale for f in from_))


def raw(entries: Iterable[Any]) -> SecondOpinion:
    """From the entries of a log: only id, position, time, type and the text of the body are looked at."""
    rows = list(entries)
    return SecondOpinion([(e.id, e.position, e.type, json.loads(e.body)) for e in rows], {e.id: e.at for e in rows})
