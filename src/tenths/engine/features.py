"""What can be read or stated on an engine: one declaration per feature, with how and where it is measured.

``rests_on`` names the part slots whose parts the reading holds for: change one of them, or machine it, and the reading
is stale. In it ``{s}`` is the station's own address, ``{c}`` its cylinder, ``{bank}`` the bank of that cylinder,
``{cam}`` its camshaft.
"""

from collections.abc import Mapping
from functools import cache

from tenths.engine.feature import Feature
from tenths.engine.feature_assembly import ASSEMBLY
from tenths.engine.feature_film import FILM
from tenths.engine.feature_form import FORM
from tenths.engine.feature_gas import GAS
from tenths.engine.feature_head import HEAD
from tenths.engine.feature_running import RUNNING
from tenths.engine.feature_train import TRAIN
from tenths.engine.feature_valves import VALVES
from tenths.engine.quantity import Quantity
from tenths.errors import BadInput

__all__ = ["FEATURES", "Feature", "feature_at", "feature_quantity", "features_of", "kinds_of"]

AXES = ("A", "B", "C")
DEPTHS = ("front", "rear")
HEIGHTS = ("top", "gauge", "middle", "bottom")
ENDS = ("front", "middle", "rear")


def _grid(rows: tuple[str, ...], columns: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"{row} {column}" for row in rows for column in columns)


L, V, M, A = Quantity.LENGTH, Quantity.VOLUME, Quantity.MASS, Quantity.ANGLE
_ROUND = "size at three axes and two depths; B is at right angles to the split"
_HOUSING = _grid(AXES, DEPTHS)
_JOURNAL = _grid(("1", "2", "3", "4"), ENDS)
_BORE = _grid(HEIGHTS, ("thrust", "pin"))
SHELLS = ("{s}.shell.upper", "{s}.shell.lower")

FEATURES: tuple[Feature, ...] = (
    # mains and crank
    Feature(
        "housing-bore",
        ("main",),
        L,
        "housing bore",
        f"cap on and tightened as it will run; {_ROUND}",
        "bore-gauge",
        ("block", "{s}.cap"),
        _HOUSING,
        sketch="bore-gauge-housing",
    ),
    Feature(
        "installed-bore",
        ("main",),
        L,
        "inside diameter with the shells in",
        "shells in, cap tightened as it will run; at right angles to the split",
        "bore-gauge",
        ("block", "{s}.cap", *SHELLS),
        ("B front", "B rear"),
        sketch="bore-gauge-housing",
    ),
    Feature(
        "journal",
        ("main", "pin"),
        L,
        "journal diameter",
        "four axes, front, middle and rear, clear of the oil hole",
        "outside-micrometer",
        ("crank",),
        _JOURNAL,
        sketch="micrometer-journal",
    ),
    Feature(
        "shell-wall",
        ("shell",),
        L,
        "shell wall at the crown",
        "ball anvil inside, at the crown of the half",
        "ball-micrometer",
        ("{s}",),
        ("crown",),
        sketch="ball-micrometer-shell",
    ),
    Feature(
        "shell-chamfer",
        ("shell",),
        L,
        "chamfer at the shell's edge",
        "across the chamfer, at the loaded side",
        "depth-micrometer",
        ("{s}",),
        sketch="shell-chamfer",
    ),
    Feature(
        "fillet",
        ("main", "pin"),
        L,
        "fillet radius",
        "radius gauge at both cheeks, the larger counts",
        "radius-gauge",
        ("crank",),
        sketch="radius-gauge",
    ),
    Feature(
        "run-out",
        ("crank",),
        L,
        "run-out at the middle main",
        "on its end mains in vees; total reading over one turn",
        "dial-indicator",
        ("crank",),
        sketch="run-out",
    ),
    Feature(
        "seal-wear",
        ("crank",),
        L,
        "depth of seal groove",
        "across the seal's track",
        "dial-indicator",
        ("crank",),
        sketch="seal-wear",
    ),
    Feature(
        "end-play-upper",
        ("thrust",),
        L,
        "end play, upper half alone",
        "upper thrust half only; lever the crank both ways against the indicator",
        "dial-indicator",
        ("crank", "block", "thrust.upper"),
        sketch="end-play",
    ),
    Feature(
        "end-play",
        ("thrust",),
        L,
        "end play",
        "both thrust halves, cap tightened; lever the crank both ways",
        "dial-indicator",
        ("crank", "block", "thrust.upper", "thrust.lower"),
        sketch="end-play",
    ),
    Feature(
        "stroke",
        ("pin",),
        L,
        "stroke of the throw",
        "height of the pin at top and at bottom, difference",
        "dial-indicator",
        ("crank",),
        sketch="stroke",
    ),
    Feature(
        "index",
        ("pin",),
        A,
        "index error of the throw",
        "against the first throw, + is late",
        "degree-wheel",
        ("crank",),
        sketch="degree-wheel",
        signed=True,
    ),
    Feature(
        "journal-width",
        ("pin",),
        L,
        "crankpin width",
        "between the cheeks",
        "telescope-gauge",
        ("crank",),
        sketch="telescope-width",
    ),
    Feature(
        "side-clearance",
        ("pin",),
        L,
        "side clearance of the rods",
        "feeler between the rods, or rod and cheek",
        "feeler",
        ("crank",),
        sketch="feeler-side",
    ),
    # rods
    Feature(
        "housing-bore",
        ("rod",),
        L,
        "big end bore",
        f"bolts at final tension; {_ROUND}",
        "bore-gauge",
        ("{s}",),
        _HOUSING,
        sketch="bore-gauge-housing",
    ),
    Feature(
        "installed-bore",
        ("rod",),
        L,
        "big end inside diameter with the shells in",
        "shells in, bolts at final tension; at right angles to the split",
        "bore-gauge",
        ("{s}", *SHELLS),
        ("B front", "B rear"),
        sketch="bore-gauge-housing",
    ),
    Feature(
        "rod-length",
        ("rod",),
        L,
        "centre distance",
        "between the centres of big end and small end",
        "rod-fixture",
        ("{s}",),
        sketch="rod-length",
    ),
    Feature(
        "bush-bore",
        ("rod",),
        L,
        "small end bush bore",
        "two axes, both sides",
        "bore-gauge",
        ("{s}",),
        _grid(("A", "B"), DEPTHS),
        sketch="bore-gauge-bush",
    ),
    Feature(
        "big-end-width",
        ("rod",),
        L,
        "big end width",
        "across the thrust faces",
        "outside-micrometer",
        ("{s}",),
        sketch="micrometer-width",
    ),
    Feature(
        "bend",
        ("rod",),
        L,
        "bend over the length of the rod",
        "on the rod fixture, pin against mandrel",
        "rod-fixture",
        ("{s}",),
        sketch="rod-bend",
    ),
    Feature(
        "twist",
        ("rod",),
        L,
        "twist over the length of the rod",
        "on the rod fixture, pin against mandrel",
        "rod-fixture",
        ("{s}",),
        sketch="rod-twist",
    ),
    Feature(
        "bolt-clearance",
        ("rod",),
        L,
        "least clearance of the rod bolt",
        "turn twice by hand; to cylinder, camshaft and pan rail; the least counts",
        "feeler",
        ("{s}", "crank", "block"),
        sketch="feeler-bolt",
    ),
    Feature(
        "rod-big-end-weight",
        ("rod",),
        M,
        "big end weight",
        "small end hung level",
        "scale",
        ("{s}",),
        sketch="scale-rod",
    ),
    Feature(
        "rod-small-end-weight",
        ("rod",),
        M,
        "small end weight",
        "big end hung level",
        "scale",
        ("{s}",),
        sketch="scale-rod",
    ),
    # camshaft and lifters
    Feature(
        "bearing-bore",
        ("cam-bearing",),
        L,
        "cam bearing bore",
        "bearing in place, two axes",
        "bore-gauge",
        ("block", "{s}"),
        ("A", "B"),
        sketch="bore-gauge-bush",
    ),
    Feature(
        "cam-journal",
        ("cam-bearing",),
        L,
        "cam journal diameter",
        "two axes",
        "outside-micrometer",
        ("{cam}",),
        ("1", "2"),
        sketch="micrometer-round",
    ),
    Feature(
        "end-play",
        ("cam",),
        L,
        "cam end play",
        "push and pull against the indicator",
        "dial-indicator",
        ("{s}", "block"),
        sketch="end-play",
    ),
    Feature(
        "sprocket-offset",
        ("cam",),
        L,
        "sprockets out of line",
        "straight edge over both sprockets",
        "feeler",
        ("{s}", "crank"),
        signed=True,
        sketch="straight-edge-sprockets",
    ),
    Feature(
        "dowel-height",
        ("cam",),
        L,
        "dowel above its face",
        "+ stands proud, 0 or below is wanted",
        "depth-micrometer",
        ("{s}",),
        signed=True,
        sketch="depth-dowel",
    ),
    Feature(
        "lifter-bore",
        ("lifter",),
        L,
        "lifter bore",
        "two axes",
        "bore-gauge",
        ("block",),
        ("A", "B"),
        sketch="bore-gauge-bush",
    ),
    Feature(
        "lifter-diameter",
        ("lifter",),
        L,
        "lifter diameter",
        "two axes",
        "outside-micrometer",
        ("{s}",),
        ("A", "B"),
        sketch="micrometer-round",
    ),
    # cylinders
    Feature(
        "bore",
        ("cyl",),
        L,
        "bore",
        "torque plate on; four heights, across and along the crank",
        "bore-gauge",
        ("block", "{s}.sleeve"),
        _BORE,
        sketch="bore-gauge-cylinder",
    ),
    Feature(
        "deck-clearance",
        ("cyl",),
        L,
        "piston below deck at TDC",
        "on both sides of the piston pin's axis, + is below the deck",
        "deck-bridge",
        ("block", "crank", "rod.{c}", "cyl.{c}.piston", "rod.{c}.shell.upper", "rod.{c}.shell.lower"),
        ("inboard", "outboard"),
        sketch="deck-bridge",
        signed=True,
    ),
    Feature(
        "counterweight-clearance",
        ("cyl",),
        L,
        "counterweight to skirt and block",
        "two turns by hand, least counts",
        "feeler",
        ("block", "crank", "cyl.{c}.piston"),
        sketch="feeler-bolt",
    ),
    Feature(
        "hone-ra",
        ("cyl",),
        L,
        "hone finish Ra",
        "along the bore, away from the ports",
        "surface-gauge",
        ("block", "{s}.sleeve"),
        sketch="surface-gauge",
    ),
    Feature(
        "hone-rpk",
        ("cyl",),
        L,
        "hone finish Rpk",
        "reduced peak height",
        "surface-gauge",
        ("block", "{s}.sleeve"),
        sketch="surface-gauge",
    ),
    Feature(
        "hone-rk",
        ("cyl",),
        L,
        "hone finish Rk",
        "core roughness depth",
        "surface-gauge",
        ("block", "{s}.sleeve"),
        sketch="surface-gauge",
    ),
    Feature(
        "hone-rvk",
        ("cyl",),
        L,
        "hone finish Rvk",
        "reduced valley depth",
        "surface-gauge",
        ("block", "{s}.sleeve"),
        sketch="surface-gauge",
    ),
    # pistons, pins, rings
    Feature(
        "skirt",
        ("piston",),
        L,
        "skirt at the gauge point",
        "across the thrust faces at the maker's gauge point",
        "outside-micrometer",
        sketch="micrometer-skirt",
    ),
    Feature(
        "compression-height",
        ("piston",),
        L,
        "compression height",
        "pin centre to crown",
        "depth-micrometer",
        sketch="compression-height",
    ),
    Feature(
        "dish-volume",
        ("piston",),
        V,
        "dish volume",
        "burette under a plate, as a positive volume",
        "burette",
        sketch="burette-piston",
    ),
    Feature("dome-volume", ("piston",), V, "dome volume", "as a positive volume", "burette", sketch="burette-piston"),
    Feature(
        "pocket-volume",
        ("piston",),
        V,
        "valve pocket volume",
        "all pockets together",
        "burette",
        sketch="burette-piston",
    ),
    Feature(
        "top-land-diameter",
        ("piston",),
        L,
        "top land diameter",
        "just above the top ring",
        "outside-micrometer",
        sketch="micrometer-land",
    ),
    Feature(
        "top-land-height",
        ("piston",),
        L,
        "top land height",
        "crown edge to the top ring groove",
        "depth-micrometer",
        sketch="land-height",
    ),
    Feature(
        "pin-bore",
        ("piston",),
        L,
        "pin bore in the piston",
        "two axes in each boss",
        "bore-gauge",
        places=_grid(("A", "B"), DEPTHS),
        sketch="bore-gauge-bush",
    ),
    Feature(
        "weight", ("piston", "wrist-pin", "rod", "ring"), M, "weight", "clean and dry", "scale", sketch="scale-part"
    ),
    Feature(
        "diameter",
        ("wrist-pin",),
        L,
        "piston pin diameter",
        "middle and both ends, two axes",
        "outside-micrometer",
        places=ENDS,
        sketch="micrometer-round",
    ),
    Feature(
        "end-play",
        ("wrist-pin",),
        L,
        "piston pin end play",
        "locks in; push the pin both ways",
        "feeler",
        ("{s}", "cyl.{c}.piston"),
        sketch="feeler-pin",
    ),
    Feature(
        "end-gap",
        ("ring",),
        L,
        "ring end gap",
        "square in the hole it will run in, below the ring travel's top",
        "ring-gap-feeler",
        ("{s}", "block", "cyl.{c}.sleeve"),
        sketch="feeler-ring",
    ),
    Feature(
        "side-clearance",
        ("ring",),
        L,
        "ring side clearance",
        "feeler between ring and groove, all round",
        "feeler",
        ("{s}", "cyl.{c}.piston"),
        sketch="feeler-groove",
    ),
    Feature(
        "ring-height",
        ("ring",),
        L,
        "ring height",
        "axial, three places round",
        "outside-micrometer",
        places=("1", "2", "3"),
        sketch="micrometer-ring",
    ),
    Feature(
        "ring-depth",
        ("ring",),
        L,
        "ring radial depth",
        "three places round",
        "outside-micrometer",
        places=("1", "2", "3"),
        sketch="micrometer-ring-depth",
    ),
    Feature(
        "groove-height",
        ("ring",),
        L,
        "groove height",
        "gauge blocks or feeler, all round",
        "feeler",
        ("cyl.{c}.piston",),
        sketch="groove-height",
    ),
    Feature(
        "groove-diameter",
        ("ring",),
        L,
        "groove bottom diameter",
        "blade anvils in the groove",
        "outside-micrometer",
        ("cyl.{c}.piston",),
        sketch="groove-diameter",
    ),
    # deck, gasket, head
    Feature(
        "deck-height",
        ("deck",),
        L,
        "deck height",
        "crank centre line to deck, both ends",
        "depth-micrometer",
        ("block",),
        DEPTHS,
        sketch="deck-height",
    ),
    Feature(
        "gasket-thickness",
        ("gasket",),
        L,
        "gasket thickness, tightened",
        "maker's compressed thickness, or a used one",
        "outside-micrometer",
        sketch="micrometer-gasket",
    ),
    Feature(
        "gasket-bore", ("gasket",), L, "gasket bore", "diameter of its opening", "caliper", sketch="caliper-gasket"
    ),
    Feature(
        "chamber-volume",
        ("chamber",),
        V,
        "chamber volume",
        "valves and plug in, plate greased, burette to the hole",
        "burette",
        ("head.{bank}",),
        sketch="burette",
    ),
    # stated for the whole engine
    Feature(
        "redline",
        ("engine",),
        Quantity.SPEED,
        "highest speed",
        "as the customer will use it",
        "",
        (),
        stated_only=True,
    ),
    Feature(
        "intake-closes",
        ("engine",),
        A,
        "intake closes after bottom dead centre",
        "at the maker's seat lift",
        "",
        (),
        stated_only=True,
        signed=True,
    ),
    Feature(
        "pin-offset",
        ("engine",),
        L,
        "piston pin offset",
        "towards the thrust side is +",
        "",
        (),
        stated_only=True,
        signed=True,
    ),
    Feature(
        "fuel-octane",
        ("engine",),
        Quantity.RATIO,
        "octane of the fuel",
        "research octane number (RON)",
        "",
        (),
        stated_only=True,
    ),
    Feature(
        "lowest-pull",
        ("engine",),
        Quantity.SPEED,
        "lowest speed at full throttle",
        "where the customer first opens it wide",
        "",
        (),
        stated_only=True,
    ),
    Feature(
        "octane-model",
        ("engine",),
        Quantity.RATIO,
        "trim of the octane estimate",
        "octane that this kind of engine needed more than estimated",
        "",
        (),
        stated_only=True,
        signed=True,
    ),
    Feature(
        "crush-offset",
        ("main", "rod"),
        L,
        "crush offset",
        "installed less predicted inside diameter, for this kind of shell",
        "",
        (),
        stated_only=True,
        signed=True,
    ),
    Feature(
        "cap-tension",
        ("main", "rod"),
        Quantity.TORQUE,
        "tightening of the cap",
        "as the maker says",
        "torque-wrench",
        (),
        stated_only=True,
        sketch="torque-wrench",
    ),
    Feature(
        "bore-spacing",
        ("engine",),
        L,
        "bore spacing",
        "centre to centre in one bank",
        "",
        (),
        stated_only=True,
    ),
    Feature(
        "main-width",
        ("engine",),
        L,
        "main journal width",
        "between the cheeks",
        "",
        (),
        stated_only=True,
    ),
    Feature(
        "pin-width", ("engine",), L, "crankpin width", "between the cheeks", "", (), stated_only=True, sketch="sheet"
    ),
    *RUNNING,
    *ASSEMBLY,
    *FORM,
    *GAS,
    *FILM,
    *HEAD,
    *VALVES,
    *TRAIN,
)


@cache
def _by_name_and_kind() -> Mapping[tuple[str, str], Feature]:
    return {(feature.name, kind): feature for feature in FEATURES for kind in feature.kinds}


@cache
def kinds_of(station: str) -> str:
    """The kind of a station or slot address, read off its form: ``main.3`` is a main, ``main.3.shell.upper`` a shell."""
    parts = station.split(".")
    if "shell" in parts:
        return "shell"
    match parts[0], len(parts):
        case "cyl", 2:
            return "cyl"
        case "cyl", _:
            return {"pin": "wrist-pin", "piston": "piston", "ring": "ring", "sleeve": "sleeve"}.get(parts[2], parts[2])
        case "cam", n if n > 2:
            return "cam-bearing"
        case _:
            return parts[0]


def feature_at(name: str, station: str) -> Feature:
    """The feature of that name at that station; raises BadInput naming what can be read there."""
    kind = kinds_of(station)
    feature = _by_name_and_kind().get((name, kind))
    if feature is None:
        known = sorted(n for n, k in _by_name_and_kind() if k == kind)
        raise BadInput(f"feature: {name!r} is not read at {station}; there one reads {', '.join(known) or 'nothing'}")
    return feature


def features_of(station: str) -> tuple[Feature, ...]:
    """All features of a station, in the order of the catalogue."""
    kind = kinds_of(station)
    return tuple(feature for feature in FEATURES if kind in feature.kinds)


@cache
def feature_quantity(name: str) -> Quantity:
    """The quantity of every feature of that name (a name means one quantity wherever it is read)."""
    return next(feature.quantity for feature in FEATURES if feature.name == name)
