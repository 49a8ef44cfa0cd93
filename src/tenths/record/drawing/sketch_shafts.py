"""Small drawings of readings on crank, rods, shells and camshaft."""

from math import cos, pi, sin

from tenths.record.drawing import gauges as g
from tenths.record.drawing.pen import Pen, Point

# -- parts -------------------------------------------------------------------------------------------------------------


def crank(pen: Pen, y: float = 58.0) -> None:
    """A length of crank from the side: a crankpin between its cheeks, half a main on either side."""
    for x in ((-4.0, 52.0), (148.0, 204.0)):
        pen.rect("steel", x, (y - 26, y + 26))
    pen.rect("steel", (74, 126), (y + 16, y + 60))
    for x in ((50.0, 76.0), (124.0, 150.0)):
        pen.shape("steel-deep", [(x[0], y - 44), (x[1], y - 44), (x[1], y + 66), (x[0], y + 66)])


def journal_end(pen: Pen, at: Point, r: float) -> None:
    """A journal seen from its end, its cheek behind."""
    x, y = at
    pen.path("steel-deep", f"M{pen.at((x - r * 1.25, y))}{pen.arc(r * 1.25, (x + r * 1.25, y))}L{pen.at((x + r * 1.0, y - 72))}"
                           f"{pen.arc(r * 1.1, (x - r * 1.0, y - 72))}Z")
    pen.circle("steel", at, r)
    pen.circle("hidden", at, r * 0.18)


def rod(pen: Pen, big: Point, small: Point, *, r: float = 26.0, bush: float = 11.0) -> None:
    """A rod lying from big end to small end, left to right."""
    x, y = big
    u, v = small
    pen.shape("rod", [(x + r, y + 12), (u - bush, v + 7), (u - bush, v - 7), (x + r, y - 12)])
    pen.path("rod", pen.disc(big, r + 9))
    pen.shape("rod", [(x - 16, y + r + 14), (x + 16, y + r + 14), (x + 16, y + r + 2), (x - 16, y + r + 2)])
    pen.shape("rod", [(x - 16, y - r - 14), (x + 16, y - r - 14), (x + 16, y - r - 2), (x - 16, y - r - 2)])
    pen.circle("paper-hole", big, r)
    pen.path("line", f"M{pen.at((x, y + r))}L{pen.at((x, y + r + 14))}M{pen.at((x, y - r))}L{pen.at((x, y - r - 14))}")
    pen.circle("rod", small, bush + 6)
    pen.circle("paper-hole", small, bush)


def axes(pen: Pen, at: Point, r: float, letters: str = "ABC") -> None:
    """A round hole from the front with the axes it is read at; B is at right angles to the split."""
    x, y = at
    pen.circle("paper-hole", at, r)
    if letters == "ABC":
        pen.line("split", (x - r - 9, y), (x - r, y))
        pen.line("split", (x + r, y), (x + r + 9, y))
    lines = {"A": (-0.82, 0.57), "B": (0.0, 1.0), "C": (0.82, 0.57)} if letters == "ABC" else {"A": (0.0, 1.0), "B": (1.0, 0.0)}
    for letter, (p, q) in lines.items():
        strong = letter == "B" if letters == "ABC" else letter == "A"
        pen.line("reach" if strong else "dim", (x - p * r, y - q * r), (x + p * r, y + q * r))
        pen.text(letter, (x + p * (r + 9), y + q * (r + 9)), 13.0, weight=600 if strong else 400)


# -- bores -------------------------------------------------------------------------------------------------------------


def bore_gauge_housing(pen: Pen) -> None:
    """A housing in section, cap on, the bore gauge rocked in it."""
    pen.solid(pen.box((6, 66), (112, 160)))
    pen.solid(pen.box((6, 66), (0, 48)), "hatch-b")
    with g.laid(pen, (36, 80)):
        g.bore_gauge(pen, 64.0, 66.0, 19.0)
    g.moves(pen, (36, 80), 112, -7, 7)
    g.reach(pen, (18, 48), (18, 112))
    axes(pen, (166, 36), 22)


def bore_gauge_bush(pen: Pen) -> None:
    """A small bore in section, the gauge in it."""
    pen.solid(pen.box((6, 66), (102, 134)))
    pen.solid(pen.box((6, 66), (26, 58)))
    with g.laid(pen, (36, 80)):
        g.bore_gauge(pen, 44.0, 66.0, 19.0)
    g.moves(pen, (36, 80), 112, -7, 7)
    g.reach(pen, (18, 58), (18, 102))
    axes(pen, (166, 36), 20, "AB")


# -- crank -------------------------------------------------------------------------------------------------------------


def micrometer_journal(pen: Pen) -> None:
    """A journal from its end between the faces of a micrometer."""
    journal_end(pen, (72, 96), 36)
    with g.laid(pen, (72, 96)):
        g.micrometer(pen, 72, 52)
    g.reach(pen, (36, 96), (108, 96))


def micrometer_round(pen: Pen) -> None:
    """A round part between the faces of a micrometer."""
    pen.circle("steel", (72, 92), 30)
    pen.circle("paper-hole", (72, 92), 13)
    with g.laid(pen, (72, 92)):
        g.micrometer(pen, 60, 46)
    g.reach(pen, (42, 92), (102, 92))


def radius_gauge(pen: Pen) -> None:
    """A leaf of a radius gauge laid into the fillet between journal and cheek."""
    pen.rect("steel", (-4, 100), (-4, 60))
    round_ = pen.arc(24, (100, 84), sweep=False)
    pen.path("steel-deep", f"{pen.track([(140, 170), (140, -4), (76, -4), (76, 60)])}{round_}L{pen.at((100, 170))}Z")
    leaf = pen.arc(23, (99, 84), sweep=False)
    pen.path("gauge", f"{pen.track([(28, 92), (20, 61), (76, 61)])}{leaf}L{pen.at((99, 140))}L{pen.at((86, 140))}Z")
    g.reach(pen, (76, 84), (93, 67))
    pen.circle("arrow", (76, 84), 1.8)
    pen.text("R", (69, 92), 15.0, weight=600)


def run_out(pen: Pen) -> None:
    """A crank on its end mains in vees, the indicator on its middle main."""
    y = 60.0
    for x, low, high in ((52.0, 14.0, 36.0), (136.0, -36.0, -14.0)):
        pen.rect("steel", (x, x + 12), (y + low, y + high))
    for x in ((8.0, 42.0), (74.0, 126.0), (158.0, 192.0)):
        pen.rect("steel", x, (y - 14, y + 14))
    for x, low, high in ((42.0, -22.0, 42.0), (64.0, -22.0, 42.0), (126.0, -42.0, 22.0), (148.0, -42.0, 22.0)):
        pen.rect("steel-deep", (x, x + 10), (y + low, y + high))
    pen.line("centre", (2, y), (198, y))
    for x in (25.0, 175.0):
        pen.shape("gauge-deep", [(x - 15, 10), (x + 15, 10), (x + 15, y - 6), (x + 6, y - 13), (x - 6, y - 13), (x - 15, y - 6)])
    pen.rect("gauge-deep", (0, 200), (2, 10))
    with g.laid(pen, (100, y + 14)):
        g.dial(pen, 18, 22, 30)
    pen.line("dim", (104, y + 20), (122, y + 20))
    g.reach(pen, (116, y + 14), (116, y + 20), outside=True)
    g.moves(pen, (25, y), 27, 40, 140)


def balancer(pen: Pen) -> None:
    """A crank on rollers, a bobweight on its pin, the two planes in which it is weighed out."""
    y = 74.0
    for x in ((8.0, 52.0), (148.0, 192.0)):
        pen.rect("steel", x, (y - 12, y + 12))
    pen.rect("steel", (74, 126), (y + 12, y + 38))
    pen.rect("gauge-deep", (86, 114), (y - 4, y + 54), 3)
    pen.line("thin", (86, y + 25), (114, y + 25))
    for x in (51.0, 125.0):
        pen.rect("steel-deep", (x, x + 24), (y - 50, y + 44))
        pen.circle("paper-hole", (x + 12, y - 38), 5)
    pen.line("centre", (2, y), (198, y))
    for x in (22.0, 178.0):
        for side in (-8.0, 8.0):
            pen.circle("gauge", (x + side, y - 19.5), 7.5)
        pen.shape("gauge-deep", [(x - 20, 2), (x + 20, 2), (x + 14, y - 27), (x - 14, y - 27)])
    for x in (63.0, 137.0):
        pen.line("reach", (x, y + 48), (x, y + 76))
        pen.shape("reach-head", [(x, y + 46), (x - 3, y + 54), (x + 3, y + 54)])
    g.moves(pen, (36, y), 24, 50, 130)


def seal_wear(pen: Pen) -> None:
    """The track of the seal, an indicator drawn across its groove."""
    groove = f"Q{pen.at((90, 76))} {pen.at((100, 76))}Q{pen.at((110, 76))} {pen.at((116, 84))}"
    pen.path("steel", f"{pen.track([(204, -4), (-4, -4), (-4, 84), (84, 84)])}{groove}L{pen.at((204, 84))}Z")
    pen.line("centre", (0, 22), (200, 22))
    with g.laid(pen, (100, 76)):
        g.dial(pen, 18, 21, -40)
    g.push(pen, (70, 98), (130, 98))
    g.reach(pen, (40, 84), (40, 76), outside=True)
    pen.line("dim", (34, 76), (84, 76))


def end_play(pen: Pen) -> None:
    """The crank's nose levered to and fro against an indicator in line with it."""
    pen.solid(pen.box((-4, 40), (8, 40)))
    pen.solid(pen.box((-4, 40), (92, 130)))
    pen.rect("steel", (-4, 78), (46, 86))
    pen.rect("steel-deep", (44, 62), (30, 116))
    pen.rect("steel", (78, 96), (52, 80))
    pen.line("centre", (0, 66), (112, 66))
    with g.laid(pen, (96, 66), -90):
        g.dial(pen, 26, 23, 35)
    g.push(pen, (52, 138), (88, 138))
    g.reach(pen, (40, 104), (44, 104), outside=True)


def stroke(pen: Pen) -> None:
    """A crankpin at its highest, and, dashed, at its lowest; the difference of height is the stroke."""
    pen.circle("hidden", (62, 34), 18)
    pen.path("steel-deep", f"M{pen.at((40, 60))}L{pen.at((44, 112))}{pen.arc(18, (80, 112))}L{pen.at((84, 60))}{pen.arc(22, (40, 60))}Z")
    pen.circle("steel", (62, 70), 20)
    pen.circle("steel", (62, 106), 18)
    pen.line("centre", (22, 70), (104, 70))
    with g.laid(pen, (62, 124), 0):
        pen.rect("gauge", (-1.5, 1.5), (2, 10))
        pen.circle("gauge-deep", (0, 2.2), 2.6)
        pen.rect("gauge", (-4, 4), (10, 16))
        pen.shape("gauge-deep", [(-8, 16), (96, 16), (96, 26), (-8, 26)])
    pen.rect("gauge", (146, 158), (10, 156))
    pen.rect("gauge-deep", (126, 178), (0, 14), 2.0)
    for k in range(11):
        pen.line("thin", (146, 24 + 11 * k), (150 if k % 5 else 153, 24 + 11 * k))
    pen.line("dim", (80, 52), (122, 52))
    pen.line("dim", (66, 124), (122, 124))
    g.reach(pen, (114, 52), (114, 124))


def degree_wheel(pen: Pen) -> None:
    """A degree wheel on the crank's nose, its pointer fixed to the block."""
    at = (92.0, 78.0)
    pen.circle("gauge", at, 66)
    for k in range(72):
        a = 2 * pi * k / 72
        inner = 66 - (12 if k % 9 == 0 else 8 if k % 3 == 0 else 5)
        pen.line("thin", (at[0] + inner * sin(a), at[1] + inner * cos(a)), (at[0] + 64 * sin(a), at[1] + 64 * cos(a)))
    pen.circle("steel", at, 18)
    pen.circle("paper-hole", at, 6)
    pen.line("arm", (192, 22), (192, 120), (162, 116))
    pen.shape("reach-head", [(150, 109), (166, 112), (162, 121)])
    g.moves(pen, at, 40, 62, 118)
    pen.line("reach", at, (at[0] + 58 * sin(0.55), at[1] + 58 * cos(0.55)))


def telescope_width(pen: Pen) -> None:
    """A telescoping gauge between the cheeks, along the crankpin."""
    crank(pen, 46)
    pen.rect("gauge", (76, 124), (112, 122), 4.0)
    pen.line("thin", (92, 112), (92, 122))
    pen.line("thin", (108, 112), (108, 122))
    pen.rect("gauge", (97, 103), (122, 156))
    g.reach(pen, (76, 100), (124, 100))


def feeler_side(pen: Pen) -> None:
    """Two rods on one crankpin, a feeler between them."""
    crank(pen, 40)
    for x in ((76.0, 97.0), (101.0, 124.0)):
        pen.shape("rod", [(x[0], 48), (x[1], 48), (x[1], 108), (x[1] - 5, 116), (x[1] - 5, 160), (x[0] + 5, 160), (x[0] + 5, 116),
                          (x[0], 108)])
    with g.laid(pen, (99, 64), 76):
        g.feeler(pen, 60, 2.6)
    g.reach(pen, (97, 58), (101, 58), outside=True)


# -- rods and shells ---------------------------------------------------------------------------------------------------


def ball_micrometer(pen: Pen) -> None:
    """Half a shell, the ball of the micrometer in its crown."""
    x, y = 96.0, 18.0
    pen.path("shell-cut", f"M{pen.at((x - 72, y))}{pen.arc(72, (x + 72, y))}L{pen.at((x + 62, y))}{pen.arc(62, (x - 62, y), sweep=False)}Z")
    with g.laid(pen, (x, y + 67), 90):
        g.micrometer(pen, 10, 34, tips="ball")
    g.reach(pen, (x - 40, y + 47.4), (x - 46, y + 55.4), outside=True)


def shell_chamfer(pen: Pen) -> None:
    """The edge of a shell in section with its chamfer."""
    pen.solid(f"M{pen.at((20, 10))}L{pen.at((150, 10))}L{pen.at((150, 46))}L{pen.at((120, 76))}L{pen.at((20, 76))}Z")
    pen.line("dim", (120, 76), (120, 128))
    pen.line("dim", (150, 46), (150, 128))
    g.reach(pen, (120, 118), (150, 118), outside=True)
    with g.laid(pen, (68, 76)):
        g.depth_micrometer(pen, 0.1, 26)


def rod_length(pen: Pen) -> None:
    """A rod on the fixture, mandrels in both ends."""
    rod(pen, (44, 78), (162, 78))
    pen.circle("gauge-deep", (44, 78), 24)
    pen.circle("gauge-deep", (162, 78), 10)
    for x in (44.0, 162.0):
        pen.line("centre", (x, 16), (x, 122))
    g.reach(pen, (44, 24), (162, 24))


def _fixture(pen: Pen, pin: tuple[Point, Point]) -> None:
    pen.shape("rod", [(82, 52), (118, 52), (110, 112), (90, 112)])
    pen.rect("rod", (74, 126), (22, 56), 4)
    pen.rect("gauge-deep", (20, 180), (34, 44), 2)
    (x, y), (u, v) = pin
    pen.shape("gauge", [(x, y - 4), (u, v - 4), (u, v + 4), (x, y + 4)])
    pen.rect("rod", (86, 114), (106, 126), 5)


def rod_bend(pen: Pen) -> None:
    """A rod from its edge: its pin seen against the mandrel, not level when the rod is bent."""
    _fixture(pen, ((24, 112), (176, 122)))
    pen.line("hidden", (20, 112), (180, 112))
    with g.laid(pen, (168, 44)):
        pen.line("dim", (0, 0), (0, 72))
    g.reach(pen, (168, 112), (168, 121), outside=True)
    g.reach(pen, (32, 44), (32, 108))


def rod_twist(pen: Pen) -> None:
    """A rod from above: its pin not in line with the mandrel when the rod is twisted."""
    pen.rect("rod", (58, 142), (56, 104), 12)
    pen.rect("gauge-deep", (8, 192), (75, 85), 2)
    with g.laid(pen, (100, 80), 14):
        pen.rect("gauge", (-88, 88), (-5, 5), 1)
    pen.rect("rod", (84, 116), (66, 94), 6)
    pen.line("centre", (4, 80), (196, 80))
    g.reach(pen, (172, 80), (172, 98), outside=True)


def micrometer_width(pen: Pen) -> None:
    """The big end across its thrust faces."""
    pen.shape("rod", [(50, 30), (96, 30), (96, 100), (86, 112), (86, 164), (60, 164), (60, 112), (50, 100)])
    pen.line("split", (44, 62), (102, 62))
    with g.laid(pen, (73, 84)):
        g.micrometer(pen, 46, 60)
    g.reach(pen, (50, 84), (96, 84))


def feeler_bolt(pen: Pen) -> None:
    """The big end passing the bore's lower edge, a feeler between bolt and block."""
    pen.solid(pen.box((8, 40), (84, 164)))
    pen.path("rod", pen.disc((104, 58), 44))
    pen.circle("paper-hole", (104, 58), 28)
    pen.shape("rod", [(92, 100), (130, 160), (152, 150), (128, 96)])
    pen.shape("steel-deep", [(46, 70), (66, 62), (78, 92), (58, 100)])
    with g.laid(pen, (44, 92), -118):
        g.feeler(pen, 48, 4.0)
    g.reach(pen, (40, 100), (57, 100))
    g.moves(pen, (104, 58), 62, -70, -10)


def scale_rod(pen: Pen) -> None:
    """A rod with one end on the scales, the other hung level."""
    g.scales(pen, 48, 14, 30)
    rod(pen, (48, 88), (160, 88), r=24)
    pen.rect("gauge-deep", (40, 56), (41, 50), 1)
    pen.line("line", (160, 88), (160, 158))
    pen.line("arm", (140, 157), (182, 157))
    pen.line("centre", (14, 88), (190, 88))


# -- camshaft ----------------------------------------------------------------------------------------------------------


def straight_edge_sprockets(pen: Pen) -> None:
    """Two sprockets from their edge, a straight-edge across one, a feeler at the other."""
    pen.rect("steel", (36, 60), (6, 84), 2)
    pen.rect("steel", (42, 66), (100, 152), 2)
    pen.line("centre", (6, 45), (110, 45))
    pen.line("centre", (6, 126), (110, 126))
    with g.laid(pen, (66.5, 156), -90):
        g.straight_edge(pen, (0, 152), 0)
    with g.laid(pen, (63.2, 20), 12):
        g.feeler(pen, 70, 4.4)
    g.reach(pen, (60, 66), (66.5, 66), outside=True)


def depth_dowel(pen: Pen) -> None:
    """The dowel in the cam's nose, its height above the face."""
    pen.solid(pen.box((-4, 204), (-4, 58)))
    pen.rect("steel", (90, 110), (16, 74), 2)
    for x in ((34.0, 46.0), (154.0, 166.0)):
        pen.rect("gauge-deep", x, (58, 92))
    with g.laid(pen, (100, 92)):
        g.depth_micrometer(pen, 18, 72)
    pen.line("dim", (112, 74), (134, 74))
    g.reach(pen, (128, 58), (128, 74), outside=True)
