"""Features of the running engine: what is weighed for balance, what the crank is as a spring, what is left unbalanced."""

from tenths.engine.feature import Feature
from tenths.engine.quantity import Quantity

L, M = Quantity.LENGTH, Quantity.MASS
PLANES = ("front", "rear")


def _stated(name: str, kinds: tuple[str, ...], quantity: Quantity, words: str, how: str = "as the maker says") -> Feature:
    """A feature that is stated and not read."""
    return Feature(name, kinds, quantity, words, how, "", (), stated_only=True)


RUNNING: tuple[Feature, ...] = (
    # the weighing sheet, besides pistons, piston pins and rods on end
    Feature("ring-set-weight", ("piston",), M, "weight of the ring set", "all rings of the piston together, clean", "scale",
            ("cyl.{c}.ring.top", "cyl.{c}.ring.second", "cyl.{c}.ring.oil"), sketch="scale-part"),
    Feature("locks-weight", ("wrist-pin",), M, "weight of the pin locks", "both locks of the pin together", "scale", sketch="scale-part"),
    Feature("shell-pair-weight", ("rod",), M, "weight of the rod shells", "both halves together", "scale",
            ("{s}.shell.upper", "{s}.shell.lower"), sketch="scale-part"),
    _stated("cap-weight", ("rod",), M, "weight of the rod cap", "cap with the bolt heads and the lower shell"),
    _stated("oil-weight", ("pin",), M, "oil at the crankpin", "what stays in the drillings and on the pin"),
    _stated("bobweight-share", ("engine",), Quantity.RATIO, "reciprocating share of the bobweight",
            "where the maker says one; else it follows from the layout"),
    # the crank on the balancing machine
    *(Feature(f"unbalance-{plane}", ("crank",), Quantity.MASS_MOMENT, f"unbalance left over, {plane} plane",
              "on the balancing machine, bobweights on", "balancer", ("crank",)) for plane in PLANES),
    *(Feature(f"unbalance-{plane}-angle", ("crank",), Quantity.ANGLE, f"angle of the unbalance, {plane} plane",
              "where the crank is heavy, from the first throw in the direction of turning", "degree-wheel", ("crank",))
      for plane in PLANES),
    Feature("weight", ("crank",), M, "weight of the crank", "bare", "scale", ("crank",)),
    _stated("balance-grade", ("crank",), Quantity.RATIO, "balance quality grade", "G, in mm/s, as the standard writes it"),
    _stated("counterweight-radius", ("crank",), L, "radius of the counterweights", "crank axis to the outer edge"),
    _stated("correction-radius", ("crank",), L, "radius at which the crank is corrected", "crank axis to the middle of the holes"),
    # the crank as a spring
    _stated("web-thickness", ("engine",), L, "thickness of a crank web", "along the crank"),
    _stated("web-width", ("engine",), L, "width of a crank web", "across the line from main to pin"),
    _stated("throw-inertia", ("pin",), Quantity.INERTIA, "inertia of the bare throw", "with its counterweights, about the crank axis"),
    _stated("throw-stiffness", ("pin",), Quantity.TORSION, "stiffness of the throw in torsion", "middle of one main to that of the next"),
    _stated("front-inertia", ("engine",), Quantity.INERTIA, "inertia at the front of the crank", "hub, pulley, drive of the camshaft"),
    _stated("front-stiffness", ("engine",), Quantity.TORSION, "stiffness of the crank's nose", "hub to the first throw"),
    _stated("flywheel-inertia", ("engine",), Quantity.INERTIA, "inertia of flywheel and clutch", ""),
    _stated("flywheel-stiffness", ("engine",), Quantity.TORSION, "stiffness of the crank's tail", "last throw to the flywheel"),
    _stated("damper-ring", ("engine",), Quantity.INERTIA, "inertia of the damper's ring", "what swings on the rubber or in the fluid"),
    _stated("damper-stiffness", ("engine",), Quantity.TORSION, "stiffness of the damper's rubber", ""),
    _stated("damper-loss", ("engine",), Quantity.RATIO, "damping ratio of the damper", "of the ring alone on its rubber"),
    # pins and pistons under load
    _stated("inside-diameter", ("wrist-pin",), L, "bore of the piston pin", "at its middle"),
    _stated("boss-gap", ("piston",), L, "gap between the pin bosses", ""),
    _stated("boss-length", ("piston",), L, "length of the pin in each boss", ""),
    _stated("small-end-width", ("rod",), L, "width of the small end", "on the pin"),
    _stated("big-end-wall", ("rod",), L, "wall of the big end", "radial, at the split, cap and rod alike"),
    _stated("rod-inertia", ("rod",), Quantity.INERTIA, "inertia of the rod", "with bolts and shells, about its centre of mass"),
)
