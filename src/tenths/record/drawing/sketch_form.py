"""Small drawings of how heights are read along a line and over a face."""

from math import cos, pi, sin

from tenths.record.drawing import gauges as g
from tenths.record.drawing.pen import Pen

SADDLES = (34.0, 100.0, 166.0)
ROUND = 20.0


def line_of_mains(pen: Pen) -> None:
    """A block upside down with its caps off, a bar over the saddles, the indicator down in one of them."""
    rail = 62.0
    pen.solid(pen.box((-8, 208), (18, rail)))
    for x in SADDLES:
        half = [(x + ROUND * cos(k * pi / 24), rail - ROUND * sin(k * pi / 24)) for k in range(25)]
        pen.shape("paper-hole", half)
    pen.rect("gauge-deep", (6, 194), (rail, rail + 13))
    with g.laid(pen, (100, rail - ROUND)):
        g.dial(pen, 47, 20, -40)
    g.reach(pen, (128, rail - ROUND), (128, rail), outside=True)


def face_heights(pen: Pen) -> None:
    """A deck seen from a corner, its nine places, the indicator over one of them."""
    def at(along: float, across: float) -> tuple[float, float]:
        return 14 + 122 * along + 50 * across, 34 + 36 * across

    pen.shape("alloy", [at(0, 0), at(1, 0), at(1, 1), at(0, 1)])
    pen.shape("alloy-deep", [at(0, 0), at(1, 0), (at(1, 0)[0], 16), (at(0, 0)[0], 16)])
    pen.shape("alloy-deep", [at(1, 0), at(1, 1), (at(1, 1)[0], 52), (at(1, 0)[0], 16)])
    for along in (0.1, 0.5, 0.9):
        for across in (0.15, 0.5, 0.85):
            pen.circle("arrow", at(along, across), 2.2)
    touched = at(0.5, 0.5)
    with g.laid(pen, touched):
        g.dial(pen, 30, 20, 25)
    g.reach(pen, (touched[0] + 26, touched[1]), (touched[0] + 26, touched[1] + 12), outside=True)
