"""Small drawings of readings on what hangs outside the engine: oil pump and pan, drive, dowels, gaskets."""

from math import cos, pi, sin

from tenths.record.drawing import gauges as g
from tenths.record.drawing.pen import Pen, Point


def _gear(pen: Pen, at: Point, r: float, teeth: int = 10) -> None:
    points: list[Point] = []
    for k in range(teeth):
        for step, reach in ((-0.3, r - 8), (-0.16, r), (0.16, r), (0.3, r - 8)):
            a = 2 * pi * (k + step) / teeth
            points.append((at[0] + reach * sin(a), at[1] + reach * cos(a)))
    pen.shape("steel", points)
    pen.circle("paper-hole", at, 7)


def feeler_gear(pen: Pen) -> None:
    """Two gears of an oil pump in their body, a feeler between tooth and wall."""
    pen.path("alloy", f"M{pen.at((10, 14))}L{pen.at((10, 146))}L{pen.at((160, 146))}L{pen.at((160, 14))}Z")
    pen.path("paper-hole", f"M{pen.at((26, 80))}{pen.arc(34, (94, 80))}{pen.arc(34, (26, 80))}Z")
    pen.path("paper-hole", f"M{pen.at((82, 80))}{pen.arc(34, (150, 80))}{pen.arc(34, (82, 80))}Z")
    pen.rect("paper", (70, 106), (58, 102))
    _gear(pen, (60, 80), 30)
    _gear(pen, (116, 80), 30)
    with g.laid(pen, (122, 110.5), 14):
        g.feeler(pen, 40, 3.0)
    g.reach(pen, (116, 110), (116, 114), outside=True)


def feeler_cover(pen: Pen) -> None:
    """A pump's body in section, a straight-edge over it, a feeler down to the gear."""
    pen.solid(f"{pen.track([(16, 100), (16, 10), (184, 10), (184, 100), (158, 100), (158, 30), (42, 30), (42, 100)])}Z")
    pen.rect("steel", (46, 96), (30, 92), 2)
    pen.rect("steel", (104, 154), (30, 92), 2)
    g.straight_edge(pen, (4, 196), 100)
    with g.laid(pen, (112, 97), -36):
        g.feeler(pen, 44, 3.4)
    g.reach(pen, (70, 92), (70, 100), outside=True)


def _pan(pen: Pen, rail: float, floor: float) -> None:
    pen.path("edge", pen.track([(8, rail), (30, rail), (30, floor), (170, floor), (170, rail), (192, rail)]))
    pen.line("line", (8, rail - 4), (26, rail - 4), (26, floor - 4), (174, floor - 4), (174, rail - 4), (192, rail - 4))


def clay(pen: Pen) -> None:
    """The pan drawn up, a lump of clay between the pick-up's screen and the floor."""
    _pan(pen, 124, 20)
    pen.rect("gauge-deep", (94, 104), (66, 160))
    pen.shape("steel", [(72, 52), (126, 52), (116, 68), (82, 68)])
    lump = f"Q{pen.at((80, 38))} {pen.at((86, 52))}L{pen.at((112, 52))}Q{pen.at((120, 36))} {pen.at((114, 20))}Z"
    pen.path("shell-light", f"M{pen.at((84, 20))}{lump}")
    g.reach(pen, (140, 20), (140, 52))
    pen.line("dim", (126, 52), (150, 52))


def pan_depth(pen: Pen) -> None:
    """A straight-edge over the pan's rail, a depth micrometer down to the floor."""
    _pan(pen, 84, 16)
    g.straight_edge(pen, (0, 200), 84)
    with g.laid(pen, (100, 101)):
        g.depth_micrometer(pen, 85, 26)
    g.reach(pen, (140, 16), (140, 84))


def pick_up_height(pen: Pen) -> None:
    """The block upside down, a straight-edge over the pan rail, up to the screen."""
    pen.solid(f"{pen.track([(6, 46), (6, -4), (194, -4), (194, 46), (168, 46), (168, 16), (32, 16), (32, 46)])}Z")
    g.straight_edge(pen, (0, 200), 46)
    pen.rect("gauge-deep", (72, 82), (16, 112))
    pen.shape("steel", [(54, 130), (100, 130), (90, 112), (64, 112)])
    pen.line("dim", (100, 130), (146, 130))
    g.reach(pen, (138, 46), (138, 130))


def chain_slack(pen: Pen) -> None:
    """A chain round two sprockets; its slack side moved to and fro half way."""
    high, low = (100.0, 122.0), (100.0, 34.0)
    pen.circle("steel", high, 30)
    pen.circle("steel", low, 17)
    for at in (high, low):
        pen.circle("paper-hole", at, 5)
    pen.line("arm", (129, 118), (116.5, 31))
    pen.path("coil", f"M{pen.at((71, 118))}Q{pen.at((62, 74))} {pen.at((83.5, 31))}")
    pen.path("hidden", f"M{pen.at((71, 118))}Q{pen.at((92, 74))} {pen.at((83.5, 31))}")
    pen.path("coil", f"M{pen.at((69, 122))}{pen.arc(31, (131, 122))}")
    pen.path("coil", f"M{pen.at((82, 34))}{pen.arc(18, (118, 34), sweep=False)}")
    g.reach(pen, (69, 76), (83, 76), outside=True)


def depth_hole(pen: Pen) -> None:
    """A hole in section, the rod of a depth micrometer down in it."""
    pen.solid(f"{pen.track([(-4, 84), (84, 84), (84, 24), (116, 24), (116, 84), (204, 84), (204, -4), (-4, -4)])}Z")
    with g.laid(pen, (100, 84)):
        g.depth_micrometer(pen, 60, 48)
    pen.line("dim", (116, 24), (160, 24))
    g.reach(pen, (150, 24), (150, 84))


def gasket_stand_off(pen: Pen) -> None:
    """A dry gasket on its dowels seen from above; its ring and the bore's edge."""
    at = (80.0, 80.0)
    pen.rect("alloy", (-4, 204), (-4, 164))
    pen.circle("paper-hole", at, 60)
    pen.circle("shell-ring", (at[0] + 3, at[1]), 66)
    for y in (16.0, 144.0):
        pen.circle("steel", (168, y), 9)
        pen.circle("line", (168, y), 12)
    g.reach(pen, (140, 80), (149, 80), outside=True)
    pen.line("centre", (0, 80), (200, 80))


def seal_centring(pen: Pen) -> None:
    """An indicator carried by the crank, swept round the seal's bore."""
    at = (92.0, 80.0)
    pen.rect("alloy", (-4, 204), (-4, 164))
    pen.circle("paper-hole", at, 66)
    pen.circle("steel", at, 24)
    pen.circle("line", at, 4)
    pen.line("arm", at, (58, 67.6))
    with g.laid(pen, (30, 57.4), -70):
        g.dial(pen, 6, 13, 20)
    g.moves(pen, at, 54, -40, 60)
    pen.line("centre", (92, 8), (92, 152))
    g.reach(pen, (158, 80), (148, 80), outside=True)
