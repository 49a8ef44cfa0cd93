"""Features of the oil film: the oil as its sheet gives it, shells and their lining, roughness, and how the engine is used."""

from tenths.engine.feature import Feature
from tenths.engine.quantity import Quantity

L, V, R, T = Quantity.LENGTH, Quantity.VISCOSITY, Quantity.RATIO, Quantity.TEMPERATURE
BEARINGS = ("main", "rod")
COLD, HOT = (0, 5, 10, 15, 20, 25), (8, 12, 16, 20, 30, 40, 50, 60)  # numbers of the grades [J300]
OIL_GRADES = (*(f"{cold}W-{hot}" for cold in COLD for hot in HOT), *(str(hot) for hot in HOT))
LININGS = ("tin-base white metal", "aluminium-tin", "aluminium-silicon", "lead-bronze with overlay", "sputtered overlay")
POINTS = ("a", "b", "c", "d")  # further points of an oil's viscosity over temperature
STATES = ("idle", "cruise", "torque", "power", "redline")
_STATE_WORDS = ("idle", "cruise", "most torque", "most power", "the highest speed")


def _stated(name: str, quantity: Quantity, words: str, how: str = "", kinds: tuple[str, ...] = ("engine",), *,
            names: tuple[str, ...] = ()) -> Feature:
    return Feature(name, kinds, quantity, words, how, "", (), stated_only=True, names=names)


FILM: tuple[Feature, ...] = (
    _stated("oil-grade", Quantity.COUNT, "grade of the oil", "as on the can, such as 10W-40", names=OIL_GRADES),
    _stated("oil-viscosity-40", V, "viscosity of the oil at 40 °C", "kinematic, from its sheet"),
    _stated("oil-viscosity-100", V, "viscosity of the oil at 100 °C", "kinematic, from its sheet"),
    *(feature for at in POINTS for feature in (
        _stated(f"oil-viscosity-{at}", V, f"viscosity of the oil, further point {at}", "kinematic; its temperature goes with it"),
        _stated(f"oil-temperature-{at}", T, f"temperature of further point {at} of the viscosity"))),
    _stated("oil-density", Quantity.DENSITY, "density of the oil at 15 °C"),
    _stated("oil-high-shear", Quantity.DYNAMIC_VISCOSITY, "viscosity of the oil at high shear", "at 150 °C and a million 1/s"),
    _stated("oil-pressure-viscosity", R, "rise of the oil's viscosity with pressure", "coefficient per GPa, 10 to 25"),
    _stated("oil-fuel", R, "fuel in the oil", "share by mass, from an analysis"),
    _stated("oil-hot", T, "oil at the bearings, hot", "as it comes from the gallery"),
    _stated("oil-cold", T, "oil at the bearings, after a cold start"),
    _stated("oil-pressure", Quantity.PRESSURE, "oil pressure at the bearings", "hot, above ambient, at speed"),
    Feature("journal-ra", ("main", "pin"), L, "finish of the journal, Ra", "along the journal, clear of the oil hole", "surface-gauge",
            ("crank",), sketch="surface-gauge"),
    Feature("lining-ra", BEARINGS, L, "finish of the lining, Ra", "along the loaded half", "surface-gauge",
            ("{s}.shell.upper", "{s}.shell.lower"), sketch="surface-gauge"),
    _stated("lining", Quantity.COUNT, "lining of the shells", "kind of its layer", BEARINGS, names=LININGS),
    _stated("shell-width", L, "width of a shell that carries", "over the flats, chamfers taken off", BEARINGS),
    _stated("groove-width", L, "width of the oil groove", "0 for shells without one", BEARINGS),
    _stated("groove-extent", Quantity.ANGLE, "how far the oil groove goes round", "180 for the upper half, 360 for both", BEARINGS),
    _stated("feed-hole", L, "hole that feeds the bearing", "where no groove does", BEARINGS),
    _stated("journal-tilt", L, "journal out of parallel", "to its sleeve, over the width of the shell", BEARINGS),
    *(_stated(f"share-{state}", R, f"share of the running time at {words}", "of the intended use")
      for state, words in zip(STATES, _STATE_WORDS, strict=True)),
)
