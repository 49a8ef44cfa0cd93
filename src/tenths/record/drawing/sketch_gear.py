"""Small drawings of readings on the valve gear: springs, lift and lash, piston to valve, rocker and push-rod."""

from tenths.record.drawing import gauges as g
from tenths.record.drawing.pen import Pen, Point

# -- parts -------------------------------------------------------------------------------------------------------------


def coils(pen: Pen, x: float, foot: float, top: float, *, half: float = 22.0, turns: int = 5) -> None:
    """A spring in section about a line: its wire cut on either side, what lies in front of it between."""
    step = (top - foot - 6) / turns
    for k in range(turns):
        low = foot + 3 + k * step
        pen.line("line", (x - half, low), (x + half, low + step / 2))
        pen.line("thin", (x + half, low + step / 2), (x - half, low + step))
    for k in range(turns + 1):
        pen.circle("steel", (x - half, foot + 3 + k * step), 3)
        if k < turns:
            pen.circle("steel", (x + half, foot + 3 + (k + 0.5) * step), 3)


def valve(pen: Pen, x: float, face: float, tip: float, *, head: float = 32.0) -> None:
    """A valve, its face below and its tip above."""
    pen.shape("steel", [(x - head, face), (x + head, face), (x + head, face + 4), (x + 6, face + 20), (x + 3.4, face + 28), (x + 3.4, tip),
                        (x - 3.4, tip), (x - 3.4, face + 28), (x - 6, face + 20), (x - head, face + 4)])


def _head_of(pen: Pen, x: float, face: float, seat: float) -> None:
    """A piece of the head in section about a valve: combustion side below, spring seat above."""
    for side in (-1, 1):
        out = [(34, face), (34, face + 8), (14, face + 30), (5, face + 34), (5, seat + 12), (11, seat + 12), (11, seat), (46, seat),
               (46, face)]
        pen.solid(f"{pen.track([(x + side * across, y) for across, y in out])}Z")


def _retainer(pen: Pen, x: float, y: float) -> None:
    pen.shape("steel-deep", [(x - 28, y), (x + 28, y), (x + 28, y + 5), (x + 9, y + 12), (x - 9, y + 12), (x - 28, y + 5)])


def _assembled(pen: Pen, x: float = 88.0, *, drop: float = 0.0) -> None:
    """Head, valve, spring and retainer, the valve open by a drop."""
    _head_of(pen, x, 12, 58)
    valve(pen, x, 12 - drop, 144 - drop)
    coils(pen, x, 58, 122 - drop)
    _retainer(pen, x, 122 - drop)


def _piston(pen: Pen, crown: float, *, pocket: tuple[float, float, float] | None = None) -> None:
    """The top of a piston in section; a pocket is left end, right end and floor."""
    edge: list[Point] = [(14, 2), (14, crown)]
    if pocket:
        left, right, floor = pocket
        edge += [(left, crown), (left, floor), (right, floor), (right, crown)]
    pen.solid(f"{pen.track([*edge, (186, crown), (186, 2)])}Z")
    for y in (crown - 16, crown - 26):
        pen.rect("groove", (14, 22), (y, y - 4))
        pen.rect("groove", (178, 186), (y, y - 4))


# -- springs -------------------------------------------------------------------------------------------------------------


def spring_height(pen: Pen) -> None:
    """Valve closed in its head, from the spring seat up to the retainer."""
    _assembled(pen)
    pen.line("dim", (134, 58), (166, 58))
    pen.line("dim", (116, 122), (166, 122))
    g.reach(pen, (156, 58), (156, 122))


def spring_tester(pen: Pen) -> None:
    """A spring between the plates of a tester with the face of its gauge, its height to be read."""
    pen.rect("gauge-deep", (10, 118), (4, 20), 2)
    pen.rect("gauge", (24, 104), (20, 28))
    coils(pen, 64, 28, 98, half=26)
    pen.rect("gauge", (24, 104), (98, 106))
    pen.rect("gauge-deep", (57, 71), (106, 150))
    g.face(pen, (158, 60), 30, 60)
    pen.line("arm", (118, 12), (150, 12), (156, 30))
    g.reach(pen, (14, 28), (14, 98))
    pen.line("dim", (14, 98), (24, 98))


# -- lift and lash -------------------------------------------------------------------------------------------------------


def valve_lift(pen: Pen) -> None:
    """A dial on the retainer in line with the stem, the valve pushed open."""
    _assembled(pen, 76, drop=10)
    with g.laid(pen, (97, 113)):
        g.dial(pen, 8.0, 12.0)
    g.held(pen, (110, 142), (168, 142), (168, 76))
    pen.line("dim", (38, 112), (20, 112))
    pen.line("dim", (38, 122), (20, 122))
    g.reach(pen, (26, 112), (26, 122), outside=True)


def valve_lash(pen: Pen) -> None:
    """A feeler between the nose of a rocker and the tip of the valve."""
    pen.rect("steel", (52, 60), (4, 66))
    pen.shape("steel-deep", [(28, 40), (84, 40), (84, 46), (66, 54), (46, 54), (28, 46)])
    pen.shape("rod", [(44, 78), (56, 71), (68, 78), (120, 104), (172, 92), (178, 104), (122, 134), (96, 126), (46, 96)])
    pen.circle("paper-hole", (118, 116), 10)
    pen.rect("steel", (166, 176), (10, 92))
    with g.laid(pen, (46, 68.5), 8):
        g.feeler(pen, 30, 3.4)
    g.reach(pen, (56, 66), (56, 71), outside=True)


# -- piston to valve -----------------------------------------------------------------------------------------------------


def valve_clay(pen: Pen) -> None:
    """A strip of clay pressed between the valve and the pocket of the piston."""
    _piston(pen, 62, pocket=(54, 142, 48))
    valve(pen, 98, 66, 154, head=36)
    pen.shape("shell-light", [(56, 48), (140, 48), (140, 62), (134, 66), (62, 66), (56, 62)])
    g.reach(pen, (98, 48), (98, 66), outside=True)


def valve_touch(pen: Pen) -> None:
    """A dial on the retainer; the valve is pushed down until it meets the piston."""
    _piston(pen, 40, pocket=(38, 118, 28))
    valve(pen, 78, 48, 132, head=34)
    _retainer(pen, 78, 112)
    with g.laid(pen, (98, 113)):
        g.dial(pen, 8.0, 12.0)
    g.held(pen, (111, 142), (170, 142), (170, 66))
    g.reach(pen, (78, 28), (78, 48), outside=True)


def valve_drop(pen: Pen) -> None:
    """A depth micrometer across the face of the head, down to the middle of a closed valve."""
    for side in (-1, 1):
        out = [(42, 24), (42, 46), (62, 62), (98, 62), (98, 6), (22, 6)]
        pen.solid(f"{pen.track([(100 + side * across, y) for across, y in out])}Z")
    pen.shape("steel", [(60, 40), (140, 40), (140, 35), (110, 18), (104, 6), (96, 6), (90, 18), (60, 35)])
    with g.laid(pen, (100, 62)):
        g.depth_micrometer(pen, 22, 74)
    pen.line("dim", (150, 40), (120, 40))
    g.reach(pen, (134, 40), (134, 62), outside=True)


def pocket_depth(pen: Pen) -> None:
    """A depth micrometer on the crown of a piston, down to the floor of a pocket."""
    _piston(pen, 66, pocket=(58, 142, 44))
    with g.laid(pen, (92, 66)):
        g.depth_micrometer(pen, 22, 62)
    g.reach(pen, (122, 44), (122, 66), outside=True)


# -- rocker and push-rod -------------------------------------------------------------------------------------------------


def nose_height(pen: Pen) -> None:
    """A rocker from the side: its nose and its pivot, and how far one stands above the other along the stem."""
    pen.rect("steel", (34, 42), (4, 78))
    pen.shape("steel-deep", [(14, 52), (62, 52), (62, 58), (46, 66), (30, 66), (14, 58)])
    pen.shape("rod", [(28, 90), (38, 79), (48, 90), (104, 84), (160, 100), (164, 114), (106, 116), (78, 112), (34, 104)])
    pen.circle("paper-hole", (38, 92), 6)
    pen.circle("paper-hole", (104, 74 + 26), 9)
    pen.rect("steel", (156, 165), (12, 100))
    pen.line("centre", (38, 92), (130, 92))
    pen.line("centre", (104, 126), (104, 60))
    pen.line("dim", (104, 100), (130, 100))
    g.reach(pen, (122, 92), (122, 100), outside=True)


def push_rod(pen: Pen) -> None:
    """A push-rod with its two ends, read between the middles of them by a long caliper."""
    pen.rect("steel", (34, 166), (86, 96), 2)
    for x in (34.0, 166.0):
        pen.circle("steel-deep", (x, 91), 9)
        pen.line("centre", (x, 112), (x, 40))
    pen.rect("gauge", (92, 108), (84, 98))
    pen.line("thin", (92, 91), (108, 91))
    pen.rect("gauge-deep", (20, 186), (122, 132), 1)
    pen.shape("gauge", [(25, 122), (34, 122), (25, 78)])
    pen.shape("gauge", [(166, 122), (175, 122), (175, 78)])
    g.reach(pen, (34, 54), (166, 54))
