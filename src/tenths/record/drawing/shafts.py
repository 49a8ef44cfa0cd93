"""Camshafts seen from the side: on the head, or drawn out below the crank when they lie in the block."""

from tenths.engine.layout import Bank, Camshaft
from tenths.record.drawing.along import shaft_along
from tenths.record.drawing.sheet import SMALL, Sheet, Spot
from tenths.record.drawing.sizes import Dimensions, in_block


def below_the_crank(sheet: Sheet, foot: float) -> None:
    """Camshafts in the block, drawn out under the section, front to front."""
    d = sheet.d
    for shaft in sheet.layout.camshafts:
        if in_block(sheet.layout, shaft):
            _shaft(sheet, shaft, foot - below(d) / 2, 1.0)


def below(d: Dimensions) -> float:
    """Height that a camshaft drawn out below the crank takes [m]."""
    return 1.15 * d["cam-journal"] + 0.20 * d["bore"]


def overhead_line(d: Dimensions) -> float:
    """Height of the axis of a camshaft on the head, over the crank [m]."""
    return d["deck-height"] + d["gasket-thickness"] + d["chamber-depth"] + d["valve-length"] + 0.19 * d["bore"]


def on_the_head(sheet: Sheet, bank: Bank, way: float) -> None:
    """The camshaft of a bank that shows in the long section: the one nearer to the viewer."""
    own = [s for s in sheet.layout.camshafts if not in_block(sheet.layout, s)
           and s.drives and sheet.layout.cylinder(s.drives[0][0]).bank == bank.name]
    if own:
        _shaft(sheet, own[-1], overhead_line(sheet.d), way)


def _shaft(sheet: Sheet, shaft: Camshaft, y: float, way: float) -> None:
    pen, d, b, there = sheet.pen, sheet.d, sheet.d["bore"], shaft_along(shaft, sheet.places, sheet.d)
    r = d["cam-journal"] / 2
    core, base = r * 0.52, min(r * 0.74, 0.155 * b)
    lift = base + 0.62 * d["valve-lift"]
    pen.rect("steel", there.span, (y - core, y + core))
    for span in there.bearings:
        pen.rect("shell", span, (y - r - 0.022 * b, y + r + 0.022 * b))
        pen.rect("steel", span, (y - r, y + r))
    for (label, valve), span in there.lobes.items():
        from_top = sheet.turn.cam_angle(label, valve) / 2
        high, low = _lobe(base, lift, from_top)
        pen.rect("steel-deep", span, (y + high, y - low), 0.008 * b)
    pen.line("centre", (there.span[0] - 0.10 * b, y), (there.span[1] + 0.10 * b, y))
    _spots(sheet, shaft, y * way, r)


def _lobe(base: float, tip: float, angle: float) -> tuple[float, float]:
    """How far a lobe reaches up and down from its axis when its tip stands at an angle [deg] from downwards."""
    part = abs((angle + 180.0) % 360.0 - 180.0) / 180.0  # 0: the tip points down, at the valve
    reach = max(0.0, 1.0 - part / 0.38)
    back = max(0.0, 1.0 - (1.0 - part) / 0.38)
    return base + (tip - base) * back, base + (tip - base) * reach


def _spots(sheet: Sheet, shaft: Camshaft, y: float, r: float) -> None:
    pen, there = sheet.pen, shaft_along(shaft, sheet.places, sheet.d)
    for k, span in enumerate(there.bearings, 1):
        middle = (span[0] + span[1]) / 2
        sheet.mark(f"cam.{shaft.name}.bearing.{k}", Spot((middle, y), pen.box(span, (y - r, y + r)), r=SMALL))
    for (label, valve), span in there.lobes.items():
        middle = (span[0] + span[1]) / 2
        sheet.mark(f"lobe.{label}.{valve}", Spot((middle, y), pen.box(span, (y - r, y + r)), r=SMALL))
    at = (there.span[0] - 0.10 * sheet.d["bore"] - 12.0 / pen.k, y)
    name = f"cam {shaft.name}" if len(sheet.layout.camshafts) > 1 else "cam"
    sheet.mark(f"cam.{shaft.name}", Spot(at, pen.disc(at, 11.0 / pen.k), name, (at[0] - 13.0 / pen.k, y),
                                         anchor="end"))
