# ruff: noqa: INP001 - a script beside the pages, not a package
"""Pulls an engine that others have measured, nothing fitted, and draws both: docs/pictures/pull-measured.svg, and the table of pull.md.

The measured points are the full-load torque of a 2.0 litre, 13:1, four-cylinder engine by the US EPA, in the public domain. Bore, stroke,
ratio and valve timing are the maker's; all else is assumed here, and each assumption is run over a range for the band.
"""

import csv
import math
import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import partial
from pathlib import Path

from tenths.calc.gas.fuel import fuel
from tenths.calc.gas.pull import Burning, Engine, Induction, Outlet, changed, pull
from tenths.calc.gas.rubbing import Rubbing
from tenths.calc.gas.valves import Valves, assumed_lobe
from tenths.record.plots import PRINT, Spec, framed, plot_svg

HERE = Path(__file__).parent
DATA = HERE.parent / "tests" / "validation" / "data" / "full_load_torque.csv"
DEGREES, RPM = math.pi / 180, math.tau / 60
OPENS = (-10, 5, 20, 35)  # before top dead centre: the intake cam may stand from 42 before to 32 after
# What nobody published, as assumed, and how far it is run either way; "both" are all lengths or heads of a side.
RANGES = {
    "runner, 400 mm": ("induction__runner", 0.25), "primary, 450 mm": ("outlet__primary", 0.25),
    "length of the burn, 22 deg": ("burning__duration", 0.2), "heat to the walls": ("burning__heat", 0.2),
    "flow of the intake valves, 32.5 mm": ("intake", 0.08), "flow of the exhaust valves, 27.5 mm": ("exhaust", 0.08),
    "richness, 1.08": ("richness", 0.05), "friction": ("friction", 0.2), "octane number, 93": ("octane", 0.03),
}


def measured() -> list[tuple[float, float]]:
    """Speed [rpm] and torque [N m] as measured."""
    rows = csv.reader(DATA.read_text("utf-8").splitlines())
    return [(float(row[0]), float(row[1])) for row in rows if row[0][:1].isdigit()]


def assumed(opens: float) -> Engine:
    """The engine with its intake cam opening so many degrees before top dead centre."""
    intake = assumed_lobe(duration=258 * DEGREES, lift=0.0095)
    exhaust = assumed_lobe(duration=241 * DEGREES, lift=0.0088)
    rubs = Rubbing(bore=0.0835, stroke=0.0912, cylinders=4, compression=13.0, mains=5, main_journal=0.047, main_width=0.019, pins=4,
                   pin_journal=0.047, pin_width=0.020, cam_bearings=10, valves=16, lift=0.0095, gear="finger", roller=True, webs=8,
                   web_area=0.0012, web_radius=0.055)
    return Engine(
        bore=0.0835, stroke=0.0912, rod=0.155, compression=13.0, fires=tuple(x * DEGREES for x in (0, 540, 180, 360)),
        intake=Valves(count=2, diameter=0.0325, angles=intake[0], lifts=intake[1], centre=(-360 + 129 - opens) * DEGREES),
        exhaust=Valves(count=2, diameter=0.0275, angles=exhaust[0], lifts=exhaust[1], centre=(360 - 120.5 + 20) * DEGREES),
        induction=Induction(runner=0.40, mouth=0.042, port=0.038, plenum=0.004, throttle=0.06, inlet=0.5),
        outlet=Outlet(primary=0.45, diameter=0.036, groups=((0, 3), (1, 2)), secondary=0.5, secondary_diameter=0.042, merged=True, tail=1.5,
                      tail_diameter=0.052, silencer=0.008, silencer_flow=0.6),
        fuel=fuel("petrol 95", octane=93.0), richness=1.08, burning=Burning(duration=22 * DEGREES), crevice=0.4e-6, leak=3.0e-8,
        friction=rubs)


def moved(engine: Engine, *, what: str, share: float) -> Engine:
    """The same with one assumption moved by a share of itself."""
    if what in ("intake", "exhaust"):
        side = getattr(engine, what)
        flows = {name: tuple(v * (1 + share) for v in getattr(side, name)) for name in ("out_of", "into")}
        return replace(engine, **{what: replace(side, **flows)})
    if what == "friction" and isinstance(engine.friction, Rubbing):
        return replace(engine, friction=replace(engine.friction, scale=1 + share))
    if what == "octane":
        return replace(engine, fuel=fuel("petrol 95", octane=93.0 * (1 + share)))
    outer, _, inner = what.partition("__")
    return changed(engine, **{what: (getattr(getattr(engine, outer), inner) if inner else getattr(engine, outer)) * (1 + share)})


def best(speeds: Sequence[float], change: Callable[[Engine], Engine] = lambda engine: engine) -> list[float]:
    """Torque at each speed with the intake cam where it is largest [N m]."""
    with ThreadPoolExecutor(2) as pool:
        rows = list(pool.map(lambda opens: [p.torque for p in pull(change(assumed(opens)), speeds)], OPENS))
    return [max(each) for each in zip(*rows, strict=True)]


def band(speeds: Sequence[float], middle: Sequence[float]) -> list[float]:
    """Standard deviations of the torque, each assumption taken as even over its range [N m]."""
    total = [0.0] * len(speeds)
    for words, (what, reach) in RANGES.items():
        other = best(speeds, partial(moved, what=what, share=reach))
        shifts = [(b - a) / 3**0.5 for a, b in zip(middle, other, strict=True)]
        total = [t + s * s for t, s in zip(total, shifts, strict=True)]
        sys.stdout.write(f"{words:36} {reach:4.0%}: {max(map(abs, shifts)) * 3**0.5:5.1f} N m at most\n")
    return [t**0.5 for t in total]


def drawn(points: Sequence[tuple[float, float]], middle: Sequence[float], spread: Sequence[float]) -> Spec:
    """Measured points over the predicted band."""
    rows = [{"speed": rpm, "measured": torque, "value": m, "low": m - 2 * s, "high": m + 2 * s}
            for (rpm, torque), m, s in zip(points, middle, spread, strict=True)]
    y = {"type": "quantitative"}
    layers = [
        {"mark": {"type": "area", "fill": PRINT.accent, "opacity": 0.15},
         "encoding": {"y": {"field": "low", **y}, "y2": {"field": "high"}}},
        {"mark": {"type": "line", "stroke": PRINT.accent, "strokeWidth": 1.8}},
        {"mark": {"type": "point", "fill": PRINT.ink, "stroke": PRINT.ink, "size": 36}, "encoding": {"y": {"field": "measured", **y}}}]
    return framed(rows, layers, PRINT, width=640, height=320,
                  x={"field": "speed", "type": "quantitative", "title": "crank speed [rpm]", "scale": {"zero": False}},
                  y={"field": "value", "type": "quantitative", "title": "torque [N m]", "scale": {"domain": [0, 240]}},
                  words="Measured torque (points) over the predicted one (line) and its 95 % band")


def main() -> None:
    """Writes picture and table."""
    points = measured()
    speeds = [rpm * RPM for rpm, _ in points]
    middle = best(speeds)
    for (rpm, torque), found in zip(points, middle, strict=True):
        sys.stdout.write(f"| {rpm:,.0f} rpm | {torque:.0f} N m | {found:.0f} N m | {100 * (found / torque - 1):+.1f} % |\n")
    if "--table" in sys.argv:
        return
    spread = band(speeds, middle)
    inside = sum(abs(m - t) <= 2 * s for (_, t), m, s in zip(points, middle, spread, strict=True))
    sys.stdout.write(f"{inside} of {len(points)} points lie in the band\n")
    (HERE / "pictures" / "pull-measured.svg").write_text(plot_svg(drawn(points, middle, spread), width=720), "utf-8")


if __name__ == "__main__":
    main()
