"""The first demo engine on the degree wheel: top dead centre found, the first intake lobe read. All made up."""

from random import Random

from tenths.logbook import bodies
from tenths.services.shop import Shop

STOPS = (("-34.50", "35.00"), ("-46.25", "46.75"), ("-58.00", "58.25"))
LIFT, HALF, CENTRE = 0.2650, 138.0, 109.0  # of the lobe [in], of either flank and after top dead centre [deg of the crank]
HEIGHTS = (0.010, 0.020, 0.050, 0.100, 0.150, 0.200, 0.230, 0.250)  # of the dial at which the wheel is read [in]


def degree(shop: Shop, engine: str) -> None:
    """Three pairs against a positive stop, and eight heights on either flank of the first intake lobe."""
    chance = Random(31)  # noqa: S311 - made-up readings
    shop.append(engine, bodies.WheelZeroed(cylinder="1", before=tuple(a for a, _ in STOPS), after=tuple(b for _, b in STOPS),
                                           read_to="0.25 deg", note="turned on in the direction of running"))
    points = [bodies.LobePoint(angle=f"{_to_quarter(CENTRE + side * _beside(height) + chance.gauss(0.0, 0.06)):g}",
                               lift=f"{height + chance.gauss(0.0, 0.00015):.4f} in")
              for side in (-1, 1) for height in (HEIGHTS if side < 0 else HEIGHTS[::-1])]
    shop.append(engine, bodies.LobeRead(station="lobe.1.in", points=tuple(points), lift_good_to="0.0005 in", read_to="0.25 deg"))


def _to_quarter(angle: float) -> float:
    return round(4.0 * angle) / 4.0


def _beside(height: float) -> float:
    """How far from its centre the lobe has that lift [deg]: its flanks are a polynomial of the seventh degree."""
    near, far = 0.0, HALF
    for _ in range(60):
        middle = 0.5 * (near + far)
        x = middle / HALF
        lift = LIFT * (1.0 - (35.0 * x**4 - 84.0 * x**5 + 70.0 * x**6 - 20.0 * x**7))
        near, far = (middle, far) if lift > height else (near, middle)
    return near
