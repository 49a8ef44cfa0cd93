"""Form of an engine's parts from the readings that hold: the line of the mains, decks and heads, journals and bores."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from math import erf, isfinite, radians, sqrt
from typing import Any, Literal

from tenths.engine.features import feature_at
from tenths.engine.quantity import Quantity, from_si, write
from tenths.engine.stations import station_map
from tenths.errors import BadInput
from tenths.findings.check import catalogue
from tenths.findings.form import main_place, place_of
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Places, Resolver
from tenths.logbook.build import Build
from tenths.metrology import form as metrology
from tenths.metrology.coverage import coverage_factor, effective_freedom
from tenths.metrology.estimate import Estimate, combine, difference, mean
from tenths.metrology.zones import held_by, narrowest
from tenths.services.questions import Answer, system_of
from tenths.services.shop import Shop

Kind = Literal["line", "plane", "round"]
# Where the axes of a round reading lie, from the split or from the side, as the drawing turns them [deg]; B and thrust upright.
AXES: dict[str, float] = {"A": 45.0, "B": 90.0, "C": 135.0, "1": 0.0, "2": 45.0, "3": 90.0, "4": 135.0, "thrust": 90.0, "pin": 0.0}
SQUARE: dict[str, float] = {"A": 0.0, "B": 90.0}  # where a bore has two axes only, at right angles
ALONG: Mapping[str, float] = {"front": 0.0, "middle": 0.5, "rear": 1.0, "top": 0.0, "gauge": 1 / 3, "bottom": 1.0}
ROUND = ("housing-bore", "journal", "bore", "bush-bore")
LINES = (("line-height", "main-line-straightness"), ("line-side", "main-line-sideways"))
JUDGED = {"housing-bore": ("main-housing", "rod-housing"), "journal": ("main-journal", "crankpin"), "bore": ("bore",)}


@dataclass(frozen=True, slots=True)
class _Shown:
    """How lengths of an engine are shown: sizes, and what is small beside them."""

    unit: str
    fine: str

    def small(self, si: float) -> float:
        return from_si(si, Quantity.LENGTH, self.fine, difference=True)

    def text(self, si: float) -> str:
        decimals = 0 if abs(self.small(si)) >= 100 else 1
        return write(si, Quantity.LENGTH, unit=self.fine, decimals=decimals)

    def size(self, si: float) -> str:
        return write(si, Quantity.LENGTH, unit=self.unit)

    def amount(self, estimate: Estimate) -> Answer:
        """A length with its doubt, in the fine unit."""
        freedom = effective_freedom(estimate)
        reach = coverage_factor(max(1.0, freedom)) * estimate.u
        return {"value": self.small(estimate.value), "standard_uncertainty": self.small(estimate.u), "interval": self.small(reach),
                "text": self.text(estimate.value), "interval_text": self.text(reach)}


def forms(shop: Shop, engine: str, *, station: str = "", units: str = "") -> list[Answer]:
    """Every form that can be told from the readings, in walking order; of one station where it is named.

    Returns:
        For each: ``form`` (line, plane or round), where, what is read, the zone by least squares and the narrowest with
        its doubt, what the scatter of the readings alone would make of a perfect part, and the points for a drawing. All
        lengths are numbers in ``unit``, with texts beside.
    """
    build = shop.build(engine)
    if build.layout is None:
        return []
    known = station_map(build.layout)
    if station and station not in known:
        raise BadInput(f"station: {station!r} is not on this engine")
    resolver = Resolver(build, InstrumentBook(build))
    system = system_of(build, units)
    shown = _Shown("mm", "µm") if system == "metric" else _Shown("in", "tenths")
    found: list[Answer] = []
    for where in [station] if station else known:
        found += _at(build, resolver, shown, where)
    judged = {(f.station, f.characteristic.name): str(f.verdict) for f in shop.checked(build)}
    for row in found:
        row["station_words"] = known[row["station"]].words
        row["verdicts"] = {name: judged[row["station"], name] for name in row.pop("judged") if (row["station"], name) in judged}
    return found


def _at(build: Build, resolver: Resolver, shown: _Shown, station: str) -> list[Answer]:
    if station == "block":
        return [row for feature, name in LINES if (row := _line(build, resolver, shown, feature, name))]
    rows: list[Answer] = []
    for name, work in (*((feature, _round) for feature in ROUND), ("face-height", _plane)):
        if (station, name) in build.readings:
            places = resolver.places(station, name)
            row = work(build, shown, station, name, places)
            rows += [row] if row else []
    return rows


# -- along a line, over a face -----------------------------------------------------------------------------------------

def _line(build: Build, resolver: Resolver, shown: _Shown, feature: str, name: str) -> Answer | None:
    assert build.layout is not None  # noqa: S101 - the caller has looked
    found: dict[str, Estimate] = {}
    stale: list[str] = []
    for where in (s for s in station_map(build.layout) if s.startswith("main.")):
        given = resolver.input("height", where, feature, (), None)
        if given.estimate is not None and given.origin == "read":
            found[where] = given.estimate
            stale += given.stale
    if len(found) < 3:
        return None
    places = [main_place(build.layout, where) for where in found]
    heights = list(found.values())
    zone = metrology.straightness([x for x, _ in places], [h.value for h in heights])
    held = held_by("line", places, [h.value for h in heights])
    points = [{"place": where, "label": where.split(".")[1], "along": x, "across": 0.0, "deviation": shown.small(away),
               "holds": k in {n for n, _ in held}}
              for k, (where, (x, _), away) in enumerate(zip(found, places, zone.deviations, strict=True))]
    return _zone("line", "block", feature, catalogue()[name].words, shown, zone, narrowest("line", places, heights), heights, points,
                 (name,), stale, 2) | {"band": _band(places, zone, held, shown)}


def _band(places: list[tuple[float, float]], zone: metrology.Zone, held: tuple[tuple[int, float], ...], shown: _Shown) -> list[list[float]]:
    """Lower and upper edge of the narrowest zone at the first and last place, from the least squares line, in the fine unit."""
    pair = [k for k, w in held if w < 0] if sum(w < 0 for _, w in held) > 1 else [k for k, w in held if w > 0]
    other = next((k for k, _ in held if k not in pair), pair[0])
    if len(pair) < 2:
        return []
    (x0, y0), (x1, y1) = ((places[k][0], zone.deviations[k]) for k in pair[:2])
    slope = (y1 - y0) / (x1 - x0)
    edges = [(y0, x0), (zone.deviations[other], places[other][0])]
    ends = (min(x for x, _ in places), max(x for x, _ in places))
    rows = [[shown.small(y + slope * (end - x)) for end in ends] for y, x in edges]
    return sorted(rows)


def _plane(_build: Build, shown: _Shown, station: str, feature: str, read: Places) -> Answer | None:
    known = {place: where for place in read.estimates if " " in place and (where := place_of(place)) is not None}
    if len(known) < 4:
        return None
    heights = [read.estimates[place] for place in known]
    places = list(known.values())
    try:
        zone = metrology.flatness([x for x, _ in places], [y for _, y in places], [h.value for h in heights])
        width = narrowest("plane", places, heights)
    except BadInput:
        return None
    held = {k for k, _ in held_by("plane", places, [h.value for h in heights])}
    points = [{"place": place, "label": place, "along": x, "across": y, "deviation": shown.small(away), "holds": k in held}
              for k, (place, (x, y), away) in enumerate(zip(known, places, zone.deviations, strict=True))]
    name = "head-flatness" if station.startswith("head.") else "deck-flatness"
    tilts = {"tilt_along": shown.small(zone.shape[1]), "tilt_across": shown.small(zone.shape[2])}
    return _zone("plane", station, feature, catalogue()[name].words, shown, zone, width, heights, points, (name,), read.stale, 3) | tilts


def _zone(kind: Kind, station: str, feature: str, words: str, shown: _Shown, zone: metrology.Zone, width: Estimate,
          heights: list[Estimate], points: list[Answer], judged: tuple[str, ...], stale: Any, parameters: int) -> Answer:
    scatter = scatter_zone(own_deviation(heights), len(heights), parameters)
    return {
        "form": kind, "station": station, "feature": feature, "words": words, "unit": shown.fine,
        "least_squares": shown.small(zone.least_squares), "least_squares_text": shown.text(zone.least_squares),
        "minimum": shown.amount(width), "scatter": shown.small(scatter), "scatter_text": shown.text(scatter), "points": points,
        "stale": bool(stale), "judged": judged, "sections": [], "taper": None, "barrel": None, "band": [], "tilt_along": None,
        "tilt_across": None, "size_text": "", "statement": _said(shown, width, scatter),
    }


def _said(shown: _Shown, width: Estimate, scatter: float) -> str:
    if width.value <= 1.5 * scatter:
        return (f"All points lie within {shown.text(width.value)}; the scatter of the readings alone would make about "
                f"{shown.text(scatter)} of a perfect part, so that nothing is shown to be wrong with it.")
    return f"All points lie within {shown.text(width.value)}; the scatter of the readings alone would make about {shown.text(scatter)}."


def own_deviation(heights: list[Estimate]) -> float:
    """Standard deviation of one reading by what is its own alone, on average [m]: what all share does not bend a line."""
    shared = {cause for cause in heights[0].parts if all(cause in h.parts for h in heights)}
    squares = [sum(part**2 for cause, part in h.parts.items() if cause not in shared) for h in heights]
    return sqrt(sum(squares) / len(squares))


def scatter_zone(deviation: float, count: int, parameters: int) -> float:
    """Zone that scatter alone makes of a perfect part, on average: range of normal values about a fitted shape [m]."""
    return mean_range(count) * deviation * sqrt(max(count - parameters, 0) / count)


@cache
def mean_range(count: int) -> float:
    """Mean range of so many values of a normal distribution, in standard deviations (d2 of [ISO7870-2])."""
    step = 0.01
    total = 0.0
    for k in range(-800, 801):
        below = 0.5 * (1 + erf(k * step / sqrt(2)))
        total += 1 - below**count - (1 - below) ** count
    return total * step


# -- round things ------------------------------------------------------------------------------------------------------

def _round(_build: Build, shown: _Shown, station: str, feature: str, read: Places) -> Answer | None:
    """Sections of a journal or bore, its taper, and how far its sides are from straight."""
    rows = _sections_of(read)
    if not any(len(axes) > 1 for axes in rows.values()) and len(rows) < 2:
        return None
    all_read = [e for axes in rows.values() for e in axes.values()]
    middle = mean(all_read)
    angles = AXES | SQUARE if feature == "bush-bore" else AXES
    sections = [_section(shown, height, axes, middle.value, angles) for height, axes in rows.items()]
    taper, barrel = _taper(rows), _barrel(rows)
    unround = max((difference(max(a.values(), key=_value), min(a.values(), key=_value)) for a in rows.values() if len(a) > 1),
                  key=_value, default=None)
    judged = tuple(f"{stem}-{what}" for stem in JUDGED.get(feature, ()) for what in ("taper", "out-of-round"))
    scatter = scatter_zone(own_deviation(all_read), max(len(a) for a in rows.values()), 1)
    return {
        "form": "round", "station": station, "feature": feature, "words": feature_at(feature, station).words, "unit": shown.fine,
        "least_squares": None, "least_squares_text": "", "minimum": shown.amount(unround) if unround else None,
        "scatter": shown.small(scatter), "scatter_text": shown.text(scatter), "points": [], "stale": bool(read.stale), "judged": judged,
        "sections": sections, "taper": None if taper is None else shown.amount(taper),
        "barrel": None if barrel is None else shown.amount(barrel),
        "band": [], "tilt_along": None, "tilt_across": None, "size_text": shown.size(middle.value),
        "statement": _said_round(shown, unround, taper, scatter, list(rows)),
    }


def _value(estimate: Estimate) -> float:
    return estimate.value


def _sections_of(read: Places) -> dict[str, dict[str, Estimate]]:
    """Estimates by height and axis, heights in their order along the part."""
    rows: dict[str, dict[str, Estimate]] = {}
    for place, estimate in read.estimates.items():
        words = place.split(" ")
        height = next((w for w in words if w in ALONG), "")
        axis = next((w for w in words if w in AXES), "")
        if len(words) == 2 and height and axis:
            rows.setdefault(height, {})[axis] = estimate
    return dict(sorted(rows.items(), key=lambda row: ALONG[row[0]]))


def _section(shown: _Shown, height: str, axes: Mapping[str, Estimate], middle: float, angles: Mapping[str, float]) -> Answer:
    """A section: every diameter from the mean of all, and the radial zone of least squares and of least width."""
    largest, smallest = max(axes.values(), key=_value), min(axes.values(), key=_value)
    round_ = metrology.roundness(*_turn(axes, angles)) if len(axes) > 1 else None
    return {"height": height, "along": ALONG[height],
            "diameters": [{"axis": axis, "angle": angles[axis], "deviation": shown.small(e.value - middle),
                           "text": shown.text(e.value - middle)} for axis, e in sorted(axes.items(), key=lambda row: angles[row[0]])],
            "out_of_round": shown.amount(difference(largest, smallest)) if len(axes) > 1 else None,
            "radial_least_squares": shown.small(round_.least_squares) if round_ else None,
            "radial_minimum": shown.small(round_.minimum) if round_ else None}


def _turn(axes: Mapping[str, Estimate], where: Mapping[str, float]) -> tuple[list[float], list[float]]:
    """A turn of radii from diameters: either end of a diameter at half of it, so that only even lobes are seen."""
    angles = [radians(where[axis] + half) for half in (0.0, 180.0) for axis in axes]
    return angles, [e.value / 2 for _ in (0, 1) for e in axes.values()]


def _taper(rows: Mapping[str, Mapping[str, Estimate]]) -> Estimate | None:
    """First height less last, average over the axes that both have; None where there is no such pair."""
    if len(rows) < 2:
        return None
    first, *_, last = rows.values()
    axes = [axis for axis in first if axis in last]
    if not axes:
        return None
    pairs = [difference(first[axis], last[axis]) for axis in axes]
    taper = combine([1 / len(pairs)] * len(pairs), pairs)
    known = metrology.taper([first[a].value for a in axes], [last[a].value for a in axes])
    return taper if isfinite(known) else None


def _barrel(rows: Mapping[str, Mapping[str, Estimate]]) -> Estimate | None:
    """How far the mean diameters lie from a straight side: barrel or waist, narrowest zone; None under three heights."""
    if len(rows) < 3:
        return None
    return narrowest("line", [(ALONG[h], 0.0) for h in rows], [mean(list(axes.values())) for axes in rows.values()])


def _said_round(shown: _Shown, unround: Estimate | None, taper: Estimate | None, scatter: float, heights: list[str]) -> str:
    said: list[str] = []
    if unround is not None:
        said.append(f"Out of round by {shown.text(unround.value)}; the scatter of the readings alone would make about "
                    f"{shown.text(scatter)}.")
    if taper is not None:
        end = f", larger at the {heights[0] if taper.value > 0 else heights[-1]}" if shown.text(taper.value)[:3] != "0.0" else ""
        said.append(f"Taper {shown.text(abs(taper.value))} ±{shown.amount(taper)['interval_text']}{end}.")
    return " ".join(said)


Work = Callable[[Build, _Shown, str, str, Places], Answer | None]
