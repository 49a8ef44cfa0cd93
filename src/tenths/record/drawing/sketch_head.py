"""Small drawings of readings on the head: seats, and the face of a valve."""

from tenths.record.drawing import gauges as g
from tenths.record.drawing.pen import Pen


def _seat(pen: Pen) -> None:
    """A seat in section over its throat, 80 wide."""
    for side in (1.0, -1.0):
        x = [100 + side * way for way in (98, 98, 58, 44, 40, 40)]
        pen.solid(f"{pen.track(list(zip(x, (10, 84, 84, 70, 60, 10), strict=True)))}Z")
        pen.line("edge", (x[2], 84), (x[3], 70))


def throat(pen: Pen) -> None:
    """A bore gauge from above in the throat under a seat."""
    _seat(pen)
    with g.laid(pen, (100, 44), 90.0):
        g.bore_gauge(pen, 80.0, 70.0, 19.0)
    g.reach(pen, (60, 24), (140, 24))


def seat_width(pen: Pen) -> None:
    """A seat in section over its throat, its width along the face by caliper."""
    _seat(pen)
    with g.laid(pen, (149, 77), 45):
        pen.rect("gauge", (-22, -10.5), (2, 60), 1.0)
        pen.rect("gauge", (10.5, 22), (2, 60), 1.0)
        pen.rect("gauge-deep", (-26, 40), (54, 66), 1.5)
    g.reach(pen, (144, 70), (158, 84), outside=True)


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
    g.reach(pen, (162, 77), (162, 87), outside=True)
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
    g.reach(pen, (168, 82), (162.7, 90.5), outside=True)
    g.moves(pen, (60, 53), 14, 110, -110)


def valve_head(pen: Pen) -> None:
    """A valve, head up, between the faces of a micrometer."""
    pen.shape("steel", [(42, 97), (102, 97), (102, 88), (92, 78), (78, 66), (76, 0), (68, 0), (66, 66), (52, 78), (42, 88)])
    with g.laid(pen, (72, 92)):
        g.micrometer(pen, 60, 46)
    g.reach(pen, (42, 104), (102, 104))


def valve_margin(pen: Pen) -> None:
    """The edge of a valve's head, large; a caliper from its flat side to the corner of its face."""
    pen.shape("steel", [(-4, 112), (118, 112), (118, 82), (84, 48), (-4, 30)])
    pen.shape("gauge", [(104, 112), (104, 117), (140, 128), (152, 128), (152, 112)])
    pen.shape("gauge", [(116, 82), (116, 78), (140, 66), (152, 66), (152, 82)])
    pen.rect("gauge-deep", (152, 168), (20, 146), 1.5)
    g.reach(pen, (132, 82), (132, 112))
