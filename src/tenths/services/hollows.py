"""What a piston's crown adds to the clearance volume: dish and valve pockets, less dome; and the gap round its top land."""

from tenths.calc.volumes import crevice_volume
from tenths.findings.geometry import BORE
from tenths.metrology.estimate import Estimate, combine, exact, linear
from tenths.services.gathered import Gathered


def hollow_of(gathered: Gathered, station: str) -> Estimate:
    """Dish and pockets less dome of the piston at a station or a loose one [m3]; what is not known counts as none."""
    rows = [(sign, gathered.resolver.input(name, station, name, (), 0.0))
            for sign, name in ((1.0, "dish-volume"), (1.0, "pocket-volume"), (-1.0, "dome-volume"))]
    for _, row in rows:
        gathered.entries.update(dict.fromkeys(row.entries))
    known = [(sign, row.estimate) for sign, row in rows if row.estimate is not None and not row.stale]
    return combine([sign for sign, _ in known], [estimate for _, estimate in known])


def crevice_of(gathered: Gathered, station: str, hole: str) -> Estimate:
    """Gap round the top land of a piston [m3] in the bore of a hole; nought where the land is not known."""
    rows = [gathered.resolver.input(name, station, name, (), None) for name in ("top-land-diameter", "top-land-height")]
    diameter, height = (row.estimate for row in rows)
    bore = gathered.of(BORE, hole)
    if diameter is None or height is None or bore is None:
        return exact(0.0)
    for row in rows:
        gathered.entries.update(dict.fromkeys(row.entries))
    return linear(_crevice, bore, diameter, height)


def _crevice(bore: float, diameter: float, height: float) -> float:
    return crevice_volume(bore=bore, top_land_diameter=diameter, top_land_height=height)
