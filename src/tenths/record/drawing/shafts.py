"""Camshafts seen from the side: on the head, or drawn out beside the engine with their lifters on them."""

import itertools

from tenths.engine.layout import Bank, Camshaft, Layout
from tenths.record.drawing.along import Span, shaft_along
from tenths.record.drawing.pen import Pen
from tenths.record.drawing.seats import face
from tenths.record.drawing.sheet import SMALL, Sheet, Spot
from tenths.record.drawing.sizes import Dimensions, in_block


def strip_height(d: Dimensions) -> float:
    """Height that a camshaft drawn out with its lifters takes [m]."""
    return d["cam-journal"] + 0.42 * d["bore"]


def drawn_out(sheet: Sheet, shaft: Camshaft, middle: float) -> None:
    """A camshaft with its lifters standing on it, in a strip round a height."""
    d = sheet.d
    y = middle - 0.15 * d["bore"]
    _lifters(sheet, shaft, y, dict.fromkeys(sheet.layout.labels, 1.0))
    shaft_seen(sheet, shaft, y, 1.0)


def in_the_valley(sheet: Sheet, shaft: Camshaft, ways: dict[str, float]) -> None:
    """A camshaft between banks, the lifters of each bank on its side (+1 up on the paper)."""
    _lifters(sheet, shaft, 0.0, ways)
    shaft_seen(sheet, shaft, 0.0, 1.0)


def overhead(layout: Layout, bank: Bank) -> list[Camshaft]:
    """The camshafts on the head of a bank."""
    return [s for s in layout.camshafts if not in_block(layout, s) and s.drives
            and layout.cylinder(s.drives[0][0]).bank == bank.name]


def on_the_head(sheet: Sheet, bank: Bank, way: float) -> None:
    """The camshaft of a bank that shows in the long section: the one nearer to the viewer."""
    own = overhead(sheet.layout, bank)
    if own:
        d = sheet.d
        line = face(d) + d["chamber-depth"] + d["valve-length"] + base_radius(d) + 0.03 * d["bore"]
        shaft_seen(sheet, own[-1], line, way)


def base_radius(d: Dimensions) -> float:
    """Radius of a lobe's base circle [m]."""
    return min(d["cam-journal"] * 0.37, 0.155 * d["bore"])


def lift_of_lobe(d: Dimensions) -> float:
    """How far a lobe reaches over its base circle [m]; a rocker makes up the rest of the valve's lift."""
    return 0.62 * d["valve-lift"]


def _lifters(sheet: Sheet, shaft: Camshaft, y: float, ways: dict[str, float]) -> None:
    pen, d, b = sheet.pen, sheet.d, sheet.d["bore"]
    half = min(0.105 * b, 0.5 * _pitch(shaft_along(sheet.layout, shaft, sheet.places, d).lobes) - 0.012 * b)
    for (label, valve), span in shaft_along(sheet.layout, shaft, sheet.places, d).lobes.items():
        way, x = ways[label], (span[0] + span[1]) / 2
        low, high = base_radius(d), base_radius(d) + 0.30 * b
        ride = sheet.rides.lifter(label, valve, way * lift_of_lobe(d))
        pen.begin(f'class="dr-lifter"{ride}')
        pen.rect("alloy", (x - half, x + half), (y + way * low, y + way * high), 0.012 * b)
        pen.line("thin", (x - half, y + way * (high - 0.08 * b)), (x + half, y + way * (high - 0.08 * b)))
        pen.end()
        at = (x, y + way * (d["cam-journal"] / 2 + 0.13 * b))
        sheet.mark(f"lifter.{label}.{valve}", Spot(at, pen.box((x - half, x + half), (y + way * low, y + way * high)),
                                                   r=SMALL, ride=ride))


def _pitch(lobes: dict[tuple[str, str], Span]) -> float:
    places = sorted(a for a, _ in lobes.values())
    return min((b - a for a, b in itertools.pairwise(places)), default=1.0)


def shaft_seen(sheet: Sheet, shaft: Camshaft, y: float, way: float) -> None:
    """A camshaft at a height of its bank, lobes as they stand; `way` -1 where the bank hangs down."""
    pen, d, b = sheet.pen, sheet.d, sheet.d["bore"]
    there = shaft_along(sheet.layout, shaft, sheet.places, d)
    r, base = d["cam-journal"] / 2, base_radius(d)
    core = base * 0.72
    pen.rect("steel", there.span, (y - core, y + core))
    for span in there.bearings:
        pen.rect("shell", span, (y - r - 0.022 * b, y + r + 0.022 * b))
        pen.rect("steel", span, (y - r, y + r))
    for (label, valve), span in there.lobes.items():
        hangs = not in_block(sheet.layout, shaft)
        towards, back = _reach(base, base + lift_of_lobe(d), sheet.turn.cam_angle(label, valve) / 2)
        up, down = (back, towards) if hangs else (towards, back)
        pen.begin(f'class="dr-cam"{sheet.rides.lobe_side(label, valve, y, base, base + lift_of_lobe(d), down=hangs)}')
        pen.rect("steel-deep", span, (y + up, y - down), 0.008 * b)
        pen.end()
    pen.line("centre", (there.span[0] - 0.10 * b, y), (there.span[1] + 0.10 * b, y))
    _spots(sheet, pen, shaft, y * way)


def _reach(base: float, tip: float, angle: float) -> tuple[float, float]:
    """How far a lobe reaches towards its follower and away from it, when its tip stands at an angle from it [deg]."""
    part = abs((angle + 180.0) % 360.0 - 180.0) / 180.0  # 0: the tip points at the follower
    towards, away = max(0.0, 1.0 - part / 0.38), max(0.0, 1.0 - (1.0 - part) / 0.38)
    return base + (tip - base) * towards, base + (tip - base) * away


def _spots(sheet: Sheet, pen: Pen, shaft: Camshaft, y: float) -> None:
    there, r = shaft_along(sheet.layout, shaft, sheet.places, sheet.d), sheet.d["cam-journal"] / 2
    for k, span in enumerate(there.bearings, 1):
        sheet.mark(f"cam.{shaft.name}.bearing.{k}", Spot(((span[0] + span[1]) / 2, y), pen.box(span, (y - r, y + r)),
                                                         r=SMALL))
    for (label, valve), span in there.lobes.items():
        sheet.mark(f"lobe.{label}.{valve}", Spot(((span[0] + span[1]) / 2, y), pen.box(span, (y - r, y + r)), r=SMALL))
    at = (there.span[0] - 0.10 * sheet.d["bore"] - 12.0 / pen.k, y)
    name = f"cam {shaft.name}" if len(sheet.layout.camshafts) > 1 else "cam"
    sheet.mark(f"cam.{shaft.name}", Spot(at, pen.disc(at, 11.0 / pen.k), name, (at[0] - 13.0 / pen.k, y), anchor="end"))
