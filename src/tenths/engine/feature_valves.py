"""Features of the valve gear: springs, piston to valve, rocker and push-rod, lash. All are of one valve, so that each may differ."""

from tenths.engine.feature import Feature
from tenths.engine.quantity import Quantity

L, A, F, R = Quantity.LENGTH, Quantity.ANGLE, Quantity.FORCE, Quantity.RATIO
TOUCH = ("20 before", "15 before", "10 before", "5 before", "0", "5 after", "10 after", "15 after", "20 after")
VALVE, SPRING = ("{s}", "head.{bank}"), ("{s}.spring",)
STACK = ("{s}", "head.{bank}", "gasket.{bank}", "block", "crank", "rod.{c}", "cyl.{c}.piston")


def _stated(
    name: str, quantity: Quantity, words: str, how: str = "as the maker says", *, kind: str = "valve", signed: bool = False
) -> Feature:
    return Feature(name, (kind,), quantity, words, how, "", (), stated_only=True, signed=signed)


def _tested(name: str, words: str, where: str) -> tuple[Feature, Feature]:
    """Height and load of a spring on the tester, together one reading of it."""
    return (
        Feature(
            f"tested-height-{name}",
            ("valve",),
            L,
            f"height on the spring tester, {words}",
            where,
            "spring-tester",
            SPRING,
            sketch="spring-tester",
        ),
        Feature(
            f"tested-load-{name}",
            ("valve",),
            F,
            f"load on the spring tester, {words}",
            "dual springs together, as they will be fitted",
            "spring-tester",
            SPRING,
            sketch="spring-tester",
        ),
    )


def _wire(prefix: str, words: str) -> tuple[Feature, ...]:
    """The wire of a spring, where there is no tester."""
    return (
        _stated(f"{prefix}wire", L, f"wire of the {words}", "diameter of the wire"),
        _stated(f"{prefix}coil", L, f"mean diameter of the {words}", "middle of wire to middle of wire"),
        _stated(f"{prefix}coils", R, f"coils of the {words} that give", "all coils less the closed ends"),
        _stated(f"{prefix}coils-total", R, f"coils of the {words} in all"),
    )


VALVES: tuple[Feature, ...] = (
    # lift and lash
    Feature(
        "valve-lift",
        ("valve",),
        L,
        "greatest lift of the valve",
        "dial on the retainer, in line with the stem, lash as it will run",
        "dial-indicator",
        VALVE,
        sketch="valve-lift",
    ),
    Feature(
        "lash",
        ("valve",),
        L,
        "valve lash",
        "feeler between tip and rocker or lobe and follower, on the base circle",
        "feeler",
        ("{s}",),
        sketch="valve-lash",
    ),
    # springs
    Feature(
        "installed-height",
        ("valve",),
        L,
        "installed height of the spring",
        "valve closed on its seat, keepers in; from spring seat to retainer, shims in place",
        "caliper",
        (*VALVE, *SPRING),
        sketch="spring-height",
    ),
    _stated("shims-in-place", L, "shims under the spring", "all together, when the installed height was read; 0 for none"),
    Feature(
        "bind-height",
        ("valve",),
        L,
        "height of the spring with its coils bound",
        "squeezed until no coil moves; dual springs together",
        "spring-tester",
        SPRING,
        sketch="spring-tester",
    ),
    Feature(
        "retainer-gap",
        ("valve",),
        L,
        "retainer to seal, valve closed",
        "underside of the retainer to the top of seal or guide",
        "caliper",
        VALVE,
        sketch="spring-height",
    ),
    *_tested("closed", "near the seat", "at about the installed height"),
    *_tested("middle", "between", "half-way; for a spring whose rate changes as it closes"),
    *_tested("open", "near full lift", "at about the installed height less the lift"),
    _stated("spring-rate", Quantity.STIFFNESS, "rate of the spring", "dual springs together"),
    _stated("spring-free-height", L, "free height of the spring"),
    *_wire("spring-", "spring"),
    *_wire("inner-spring-", "inner spring"),
    _stated("spring-strength", Quantity.PRESSURE, "tensile strength of the spring wire"),
    # piston to valve
    Feature(
        "clay-thickness",
        ("valve",),
        L,
        "clay between valve and piston",
        "two turns by hand with the gasket as it will be fitted; cut the clay and take the thinnest place",
        "caliper",
        STACK,
        sketch="valve-clay",
    ),
    Feature(
        "touch-travel",
        ("valve",),
        L,
        "travel of the valve to the piston",
        "light springs in; crank at so many degrees before or after the overlap dead centre, push the valve down until it touches",
        "dial-indicator",
        STACK,
        TOUCH,
        sketch="valve-touch",
    ),
    Feature(
        "valve-drop",
        ("valve",),
        L,
        "valve below the face of the head",
        "closed; from the head's face to the middle of the valve's face, below zero where it stands out",
        "depth-micrometer",
        VALVE,
        signed=True,
        sketch="valve-drop",
    ),
    Feature(
        "pocket-depth",
        ("valve",),
        L,
        "depth of the valve pocket",
        "from where deck clearance is read down to the pocket's middle; 0 for a flat crown",
        "depth-micrometer",
        ("cyl.{c}.piston",),
        sketch="pocket-depth",
    ),
    Feature(
        "pocket-diameter",
        ("valve",),
        L,
        "diameter of the valve pocket",
        "across its wall, in the plane of its floor",
        "caliper",
        ("cyl.{c}.piston",),
        sketch="pocket-depth",
    ),
    _stated("valve-lean", A, "lean of the valve's stem", "against the cylinder"),
    _stated("pocket-out-of-line", A, "pocket's floor out of square to the valve", "+ where it leans less than the valve", signed=True),
    _stated("pocket-across", L, "pocket off the valve's line", "middle of its floor, the way the valve goes as it opens is +", signed=True),
    _stated("lobe-shape", L, "lift at the overlap over that of the card", "where piston to valve is closest", signed=True),
    _stated("clay-spring-back", L, "what clay springs back", "nothing, to about 0.1 mm, by common practice", kind="engine"),
    _stated("rod-growth", L, "growth of the rods over that of steel ones", "aluminium rods: 0.030 in by common practice", kind="engine"),
    # rocker and push-rod
    _stated("rocker-ratio", R, "ratio of the rocker", "valve over lifter"),
    _stated("rocker-arm", L, "rocker's pivot to its nose", "centre of the pivot to centre of the nose or roller"),
    _stated("rocker-push-arm", L, "rocker's pivot to its cup", "centre of the pivot to centre of the push-rod's end"),
    _stated("rocker-between", A, "angle between the rocker's arms", "on the lower side; 180 where pivot, nose and cup are in line"),
    Feature(
        "nose-height",
        ("valve",),
        L,
        "nose of the rocker above its pivot",
        "valve closed; along the stem, centre to centre, below zero where the nose lies lower",
        "caliper",
        ("{s}",),
        signed=True,
        sketch="nose-height",
    ),
    _stated("lifter-across", L, "lifter's axis from the pivot", "across, at the height of the pivot"),
    _stated("lifter-lean", A, "lean of the lifter's axis against the stem", "+ where its top leans away from the valve", signed=True),
    Feature(
        "push-rod-length",
        ("valve",),
        L,
        "length of the push-rod",
        "between the centres of its ends; of a checking push-rod as it stands",
        "caliper",
        (),
        sketch="push-rod",
    ),
    Feature(
        "preload-turns",
        ("valve",),
        R,
        "turns of preload",
        "adjuster turned past no play, lifter on the base circle",
        "",
        ("{s}",),
        sketch="valve-lash",
    ),
    _stated("adjuster-pitch", L, "pitch of the adjuster's thread", "0.050 in for 20 to the inch", kind="engine"),
)
