"""Small drawings of readings on the head: seats, and the face of a valve."""

from tenths.record.drawing import gauges as g
from tenths.record.drawing.pen import Pen


def seat_width(pen: Pen) -> None:
    """A seat in section over its throat, its width along the face by caliper."""
    for side in (1.0, -1.0):
        x = [100 + side * way for way in (98, 98, 58, 44, 40, 40)]
        pen.solid(f"{pen.track(list(zip(x, (10, 84, 84, 70, 60, 10), strict=True)))}Z")
        pen.line("edge", (x[2], 84), (x[3], 70))
    with g.laid(pen, (149, 77), 45):
        pen.rect("gauge", (-22, -10.5), (2, 60), 1.0)
        pen.rect("gauge", (10.5, 22), (2, 60), 1.0)
        pen.rect("gauge-deep", (-26, 40), (54, 66), 1.5)
    g.reach(pen, (144, 70), (158, 84), outside=True)
    pen.line("dim", (60, 34), (140, 34))
    g.reach(pen, (60, 34), (140, 34))


def seat_run_out(pen: Pen) -> None:
    """A pilot in the guide, an indicator on it whose tip follows the seat."""
    for side in (1.0, -1.0):
        x = [100 + side * way for way in (98, 98, 60, 46, 42, 42, 8, 8)]
        pen.solid(f"{pen.track(list(zip(x, (40, 84, 84, 70, 62, 40, 34, -4), strict=True)))}L{pen.at((100 + side * 98, -4))}Z")
    pen.rect("gauge", (93.5, 106.5), (-4, 128), 1.5)
    pen.rect("gauge-deep", (86, 114), (112, 122), 2.0)
    pen.line("arm", (100, 117), (150, 117), (150, 108))
    with g.laid(pen, (152, 77)):
        g.dial(pen, 14, 17, 30)
    g.moves(pen, (100, 134), 20, 200, -20)


def valve_face(pen: Pen) -> None:
    """A valve with its stem in a vee, an indicator square to its face."""
    pen.shape("steel", [(4, 56), (128, 56), (138, 60), (146, 78), (158, 98), (164, 98), (164, 12), (158, 12), (146, 32), (138, 46),
                        (128, 50), (4, 50)])
    for x in (30.0, 96.0):
        pen.shape("gauge-deep", [(x - 12, 10), (x + 12, 10), (x + 12, 50), (x - 12, 50)])
    pen.rect("gauge", (-4, 4), (34, 72), 1.0)
    with g.laid(pen, (152, 88), 32):
        g.dial(pen, 12, 18, 20)
    g.reach(pen, (174, 12), (174, 98), outside=False)
    g.moves(pen, (60, 53), 14, 110, -110)
