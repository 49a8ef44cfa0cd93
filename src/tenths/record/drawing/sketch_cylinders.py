"""Small drawings of readings in cylinders: bores, pistons, rings, decks, chambers, gaskets."""

from tenths.record.drawing import gauges as g
from tenths.record.drawing.pen import Pen

# -- parts -------------------------------------------------------------------------------------------------------------


def piston(pen: Pen, x: tuple[float, float], y: tuple[float, float]) -> None:
    """A piston from the side, three grooves in it."""
    (a, b), (low, top) = x, y
    h = top - low
    pen.shape("alloy", [(a, low), (a, top), (b, top), (b, low), (b - 0.22 * (b - a), low), (b - 0.22 * (b - a), low + 0.16 * h),
                        (a + 0.22 * (b - a), low + 0.16 * h), (a + 0.22 * (b - a), low)])
    for part in (0.90, 0.80, 0.68):
        pen.rect("groove", (a, b), (low + part * h - 1.6, low + part * h + 1.6))
    pen.circle("paper-hole", ((a + b) / 2, low + 0.38 * h), 0.14 * (b - a))


def sleeve(pen: Pen, x: tuple[float, float], y: tuple[float, float], wall: float = 20.0) -> None:
    """A bore in section."""
    pen.solid(pen.box((x[0] - wall, x[0]), y))
    pen.solid(pen.box((x[1], x[1] + wall), y))


# -- bores and decks ---------------------------------------------------------------------------------------------------


def bore_gauge_cylinder(pen: Pen) -> None:
    """A cylinder in section, the bore gauge rocked in it, and the heights it is read at."""
    sleeve(pen, (50, 120), (-4, 104))
    with g.laid(pen, (85, 52), 90):
        g.bore_gauge(pen, 70.0, 66.0, 19.0)
    g.moves(pen, (85, 52), 106, 78, 102)
    g.reach(pen, (50, 34), (120, 34))
    for y in (92.0, 72.0, 52.0, 12.0):
        pen.line("dim", (142, y), (156, y))
        pen.circle("reach-head" if y == 52.0 else "arrow", (160, y), 2.6)


def deck_bridge(pen: Pen) -> None:
    """A piston at the top of its bore, the indicator's bridge across the deck."""
    sleeve(pen, (52, 148), (-4, 74), 40)
    piston(pen, (54, 146), (-20, 64))
    pen.shape("gauge", [(20, 74), (34, 74), (40, 84), (160, 84), (166, 74), (180, 74), (180, 94), (20, 94)])
    with g.laid(pen, (100, 64)):
        g.dial(pen, 22, 21, -50)
    g.reach(pen, (132, 64), (132, 74), outside=True)


def deck_height(pen: Pen) -> None:
    """From the deck down to the middle of the main's bore."""
    for x in ((16.0, 70.0), (130.0, 184.0)):
        pen.solid(pen.box(x, (34, 92)))
    pen.path("outline-thin", f"M{pen.at((74, 24))}{pen.arc(26, (126, 24))}")
    for x in (74.0, 126.0):
        pen.line("hidden", (x, 24), (x, 4))
    pen.line("centre", (60, 24), (140, 24))
    pen.line("centre", (100, -4), (100, 60))
    with g.laid(pen, (43, 92)):
        g.depth_micrometer(pen, 0.1, 26)
    pen.line("dim", (70, 92), (120, 92))
    g.reach(pen, (112, 24), (112, 92))


def surface(pen: Pen) -> None:
    """The stylus of a surface gauge drawn along the bore, across its crosshatch."""
    pen.rect("steel", (-4, 204), (-4, 44))
    for k in range(-2, 14):
        pen.line("thin", (k * 18, 0), (k * 18 + 40, 44))
        pen.line("thin", (k * 18 + 40, 0), (k * 18, 44))
    pen.shape("gauge-deep", [(48, 82), (158, 82), (164, 88), (164, 118), (158, 124), (48, 124), (42, 118), (42, 88)])
    pen.rect("gauge", (120, 152), (94, 114), 2)
    pen.shape("gauge", [(46, 84), (30, 56), (34, 53), (54, 82)])
    pen.shape("reach-head", [(27, 57), (36, 53), (29, 45)])
    pen.line("needle", (56, 104), (64, 110), (70, 98), (78, 112), (84, 100), (92, 108), (98, 103), (106, 106))
    g.push(pen, (46, 62), (110, 62))


# -- pistons -----------------------------------------------------------------------------------------------------------


def micrometer_skirt(pen: Pen) -> None:
    """The skirt at its gauge height, at right angles to the pin."""
    piston(pen, (34, 112), (56, 150))
    with g.laid(pen, (73, 74)):
        g.micrometer(pen, 78, 46)
    g.reach(pen, (34, 74), (112, 74))


def micrometer_land(pen: Pen) -> None:
    """The land over the first ring."""
    piston(pen, (36, 110), (34, 126))
    with g.laid(pen, (73, 122)):
        g.micrometer(pen, 74, 66)
    g.reach(pen, (36, 122), (110, 122))


def compression_height(pen: Pen) -> None:
    """From the middle of the pin bore up to the crown."""
    piston(pen, (40, 150), (-6, 94))
    pen.line("centre", (30, 32), (182, 32))
    pen.line("dim", (150, 94), (182, 94))
    g.reach(pen, (172, 32), (172, 94))
    with g.laid(pen, (84, 94)):
        g.depth_micrometer(pen, 0.1, 30)


def land_height(pen: Pen) -> None:
    """The crown and the first groove in section, the jaws of a caliper over the land."""
    pen.solid(f"M{pen.at((-4, 112))}L{pen.at((120, 112))}L{pen.at((120, 68))}L{pen.at((74, 68))}L{pen.at((74, 50))}L{pen.at((120, 50))}"
              f"L{pen.at((120, 24))}L{pen.at((74, 24))}L{pen.at((74, 8))}L{pen.at((120, 8))}L{pen.at((120, -4))}L{pen.at((-4, -4))}Z")
    pen.rect("gauge", (134, 148), (8, 160))
    for k in range(12):
        pen.line("thin", (148, 14 + 8 * k), (144 if k % 5 else 141, 14 + 8 * k))
    pen.shape("gauge", [(88, 112), (134, 112), (148, 118), (148, 132), (134, 132), (96, 120), (88, 116)])
    pen.shape("gauge-deep", [(88, 68), (134, 68), (152, 68), (152, 44), (130, 44), (124, 58), (88, 63)])
    g.reach(pen, (108, 68), (108, 112))


def feeler_pin(pen: Pen) -> None:
    """A piston from below, a feeler between the pin and its lock."""
    pen.solid(pen.box((10, 46), (44, 112)))
    pen.solid(pen.box((154, 190), (44, 112)))
    pen.rect("steel", (30, 162), (58, 98), 2)
    pen.rect("shell", (170, 174), (52, 104))
    pen.line("centre", (4, 78), (196, 78))
    with g.laid(pen, (166, 92), 58):
        g.feeler(pen, 40, 3.4)
    g.reach(pen, (162, 64), (170, 64), outside=True)


def scale_part(pen: Pen) -> None:
    """A part on the scales."""
    g.scales(pen, 100, 20, 46)
    pen.path("alloy", f"M{pen.at((66, 48))}L{pen.at((66, 108))}L{pen.at((134, 108))}L{pen.at((134, 48))}L{pen.at((116, 48))}"
                      f"L{pen.at((116, 60))}L{pen.at((84, 60))}L{pen.at((84, 48))}Z")
    for y in (102.0, 95.0, 88.0):
        pen.line("line", (66, y), (134, y))
    pen.circle("paper-hole", (100, 74), 9)


# -- rings -------------------------------------------------------------------------------------------------------------


def feeler_ring(pen: Pen) -> None:
    """A ring squared in its bore, a feeler in its gap."""
    at = (74.0, 80.0)
    pen.circle("steel-deep", at, 66)
    pen.circle("paper-hole", at, 56)
    x, y = at
    pen.path("shell-cut", f"M{pen.at((x + 55.6, y + 6))}{pen.arc(56, (x + 55.6, y - 6), large=True, sweep=False)}L{pen.at((x + 47, y - 6))}"
                          f"{pen.arc(47.4, (x + 47, y + 6), large=True)}Z")
    with g.laid(pen, (x + 46, y), 0):
        g.feeler(pen, 38, 11.0)
    g.reach(pen, (x + 36, y - 6), (x + 36, y + 6), outside=True)


def micrometer_ring(pen: Pen) -> None:
    """A ring from its edge between the faces."""
    _thin(pen, 16, "shell-cut")


def micrometer_ring_depth(pen: Pen) -> None:
    """The wall of a ring, from its outer to its inner edge, between the faces."""
    _thin(pen, 30, "shell-cut")


def micrometer_gasket(pen: Pen) -> None:
    """A gasket that has been tightened, between the faces."""
    _thin(pen, 7, "shell-light")


def _thin(pen: Pen, thick: float, kind: str) -> None:
    x, y = 72.0, 92.0
    pen.rect(kind, (x - thick / 2, x + thick / 2), (y - 26, 166), min(3.0, thick / 6))
    with g.laid(pen, (x, y)):
        g.micrometer(pen, thick, 50)
    g.reach(pen, (x - thick / 2, y + 40), (x + thick / 2, y + 40), outside=True)


def _grooved(pen: Pen) -> None:
    pen.solid(f"M{pen.at((-4, 146))}L{pen.at((104, 146))}L{pen.at((104, 102))}L{pen.at((58, 102))}L{pen.at((58, 62))}L{pen.at((104, 62))}"
              f"L{pen.at((104, -4))}L{pen.at((-4, -4))}Z")


def feeler_groove(pen: Pen) -> None:
    """A ring in its groove in section, a feeler above it."""
    _grooved(pen)
    pen.rect("shell-cut", (70, 112), (62, 95), 3)
    with g.laid(pen, (62, 98.5)):
        g.feeler(pen, 62, 6.4)
    g.reach(pen, (118, 95), (118, 102), outside=True)


def groove_height(pen: Pen) -> None:
    """The groove in section, leaves of the feeler until they just go in."""
    _grooved(pen)
    with g.laid(pen, (62, 82)):
        g.feeler(pen, 64, 36.0)
    for y in (73.0, 82.0, 91.0):
        pen.line("paper-line", (62, y), (122, y))
    g.reach(pen, (46, 62), (46, 102))


def groove_diameter(pen: Pen) -> None:
    """Blades of a micrometer in the groove, down to its ground."""
    pen.shape("alloy", [(30, 40), (30, 100), (40, 100), (40, 112), (30, 112), (30, 134), (116, 134), (116, 112), (106, 112), (106, 100),
                        (116, 100), (116, 40)])
    with g.laid(pen, (73, 106)):
        g.micrometer(pen, 66, 70, tips="blade")
    g.reach(pen, (40, 106), (106, 106))


# -- volumes and gaskets -----------------------------------------------------------------------------------------------


def burette_chamber(pen: Pen) -> None:
    """A chamber in a head turned up, under a clear plate, filled from a burette."""
    pen.rect("liquid", (40, 160), (2, 40))
    roof = f"Q{pen.at((60, 8))} {pen.at((100, 12))}Q{pen.at((140, 8))} {pen.at((156, 44))}"
    pen.solid(f"{pen.track([(196, -4), (4, -4), (4, 44), (44, 44)])}{roof}L{pen.at((196, 44))}Z")
    pen.rect("gauge", (28, 92), (44, 51))
    pen.rect("gauge", (100, 172), (44, 51))
    g.burette(pen, (96, 50))


def burette_piston(pen: Pen) -> None:
    """A piston down its bore by a known depth, the room over it filled from a burette."""
    sleeve(pen, (48, 144), (-4, 52), 30)
    pen.shape("alloy", [(49, -4), (49, 22), (66, 22), (76, 10), (116, 10), (126, 22), (143, 22), (143, -4)])
    pen.shape("liquid", [(49, 46), (49, 23), (66, 23), (76, 11), (116, 11), (126, 23), (143, 23), (143, 46)])
    pen.rect("gauge", (34, 92), (52, 58))
    pen.rect("gauge", (100, 158), (52, 58))
    g.burette(pen, (96, 57), 0.5)


def caliper(pen: Pen) -> None:
    """A gasket seen flat, the caliper's upper jaws in its bore."""
    at = (92.0, 66.0)
    pen.rect("shell-light", (22, 162), (4, 128), 10)
    pen.circle("paper-hole", at, 46)
    for x in (32.0, 152.0):
        for y in (14.0, 118.0):
            pen.circle("paper-hole", (x, y), 5)
    pen.rect("gauge", (34, 200), (118, 132))
    for k in range(14):
        pen.line("thin", (100 + 7 * k, 132), (100 + 7 * k, 128 if k % 5 else 125))
    pen.shape("gauge", [(34, 132), (34, 118), (46.5, 60), (50, 60), (54, 118), (54, 132)])
    pen.shape("gauge-deep", [(134, 138), (174, 138), (174, 112), (142, 112), (137.5, 60), (134, 60), (130, 112), (128, 138)])
    g.reach(pen, (46, 66), (138, 66))


# -- what is stated or tightened ---------------------------------------------------------------------------------------


def torque_wrench(pen: Pen) -> None:
    """A wrench on the bolt of a cap, turned until it gives way."""
    pen.solid(f"{pen.track([(10, 36), (10, 78), (94, 78), (94, 36), (78, 36)])}{pen.arc(26, (26, 36), sweep=False)}Z")
    for x in (18.0, 86.0):
        pen.rect("steel-deep", (x - 8, x + 8), (78, 88))
    pen.rect("gauge-deep", (77, 95), (84, 108), 1)
    pen.rect("gauge", (74, 98), (106, 124), 5)
    pen.rect("gauge", (98, 156), (111, 119))
    pen.rect("gauge-deep", (150, 198), (108, 122), 4)
    for k in range(5):
        pen.line("thin", (126 + 5 * k, 111), (126 + 5 * k, 115))
    g.moves(pen, (86, 96), 64, 32, 68)


def sheet(pen: Pen) -> None:
    """A maker's sheet: a size that is stated, not read."""
    pen.shape("gauge", [(48, 10), (48, 150), (128, 150), (152, 126), (152, 10)])
    pen.shape("gauge-deep", [(128, 150), (128, 126), (152, 126)])
    for k, y in enumerate((130.0, 112.0, 94.0, 76.0, 58.0, 40.0)):
        pen.line("thin", (60, y), (100 + 4 * (k % 3), y))
        if k:
            pen.line("reach" if k == 3 else "thin", (122, y), (140, y))
