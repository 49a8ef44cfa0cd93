"""Mains, rods, camshaft: housings, journals, shells, clearances, end and side play."""

from tenths.calc import fits
from tenths.engine.quantity import Quantity
from tenths.findings.declare import Characteristic, Need, Over, Uneven, Way

LENGTH = Quantity.LENGTH
CROWN = (Need("upper_wall", "shell-wall", "{s}.shell.upper"), Need("lower_wall", "shell-wall", "{s}.shell.lower"))
CRUSH = Need("crush_offset", "crush-offset", "{s}")
MAIN_JOURNAL = Need("journal", "journal", "{s}")
PIN_JOURNAL = Need("journal", "journal", "pin.{pin}")
HOUSING = Need("housing", "housing-bore", "{s}", ("B",))


def _measured(bore: float, journal: float) -> float:
    return fits.oil_clearance(installed_bore=bore, journal=journal)


def _predicted(housing: float, upper: float, lower: float, journal: float, crush: float) -> float:
    return fits.predicted_oil_clearance(housing_bore=housing, upper_wall=upper, lower_wall=lower, journal=journal,
                                        crush_offset=crush)


def _same(value: float) -> float:
    return value


def _less(larger: float, smaller: float) -> float:
    return larger - smaller


def _side(width: float, first: float, second: float) -> float:
    return fits.side_clearance(journal_width=width, rod_widths=(first, second))


def _side_of_one(width: float, first: float) -> float:
    return fits.side_clearance(journal_width=width, rod_widths=(first,))


def _read(name: str, kinds: tuple[str, ...], words: str, feature: str = "", quantity: Quantity = LENGTH,
          ) -> Characteristic:
    """A characteristic that is read as it stands."""
    return Characteristic(name, "bearings", kinds, quantity, words,
                          (Way(_same, (Need("value", feature or name),), "as read"),))


def _clearances(kind: str, name: str, words: str, journal: Need) -> tuple[Characteristic, ...]:
    """Measured and predicted oil clearance of mains or rods, and the spread of the measured."""
    measured = Way(_measured, (Need("bore", "installed-bore", "{s}"), journal),
                   "inside diameter with the shells in - journal")
    predicted = Way(_predicted, (HOUSING, *CROWN, journal, CRUSH),
                    "housing bore - both shell walls - journal + crush offset")
    return (
        Characteristic(f"{name}-oil-clearance", "bearings", (kind,), LENGTH, f"{words} oil clearance", (measured,),
                       per=journal),
        Characteristic(f"{name}-oil-clearance-predicted", "bearings", (kind,), LENGTH,
                       f"{words} oil clearance, predicted", (predicted,), per=journal,
                       limits_of=f"{name}-oil-clearance"),
        Characteristic(f"{name}-oil-clearance-spread", "bearings", ("engine",), LENGTH,
                       f"{words} oil clearance, spread",
                       (Over(f"{name}-oil-clearance", "spread", "largest less smallest measured clearance"),)),
    )


def _form(name: str, kinds: tuple[str, ...], feature: str, words: str, along: tuple[str, str]) -> tuple[Characteristic, ...]:
    """Size, taper and out-of-round of a bore or journal; ``along``: what varies for taper and for out-of-round."""
    return (
        Characteristic(f"{name}-size", "bearings", kinds, LENGTH, f"{words} size",
                       (Way(_same, (Need("size", feature),), "mean of all places read"),)),
        Characteristic(f"{name}-taper", "bearings", kinds, LENGTH, f"{words} taper",
                       (Uneven(feature, along[0], "largest difference along the axis"),)),  # type: ignore[arg-type]
        Characteristic(f"{name}-out-of-round", "bearings", kinds, LENGTH, f"{words} out of round",
                       (Uneven(feature, along[1], "largest difference between axes"),)),  # type: ignore[arg-type]
    )


SIDE_NEEDS = (Need("width", "journal-width"), Need("first", "big-end-width", "rod.{first}"),
              Need("second", "big-end-width", "rod.{second}"))

CHARACTERISTICS: tuple[Characteristic, ...] = (
    *_clearances("main", "main", "main", MAIN_JOURNAL),
    *_clearances("rod", "rod", "rod", PIN_JOURNAL),
    *_form("main-housing", ("main",), "housing-bore", "main housing", ("column", "row")),
    *_form("main-journal", ("main",), "journal", "main journal", ("column", "row")),
    *_form("rod-housing", ("rod",), "housing-bore", "big end", ("column", "row")),
    *_form("crankpin", ("pin",), "journal", "crankpin", ("column", "row")),
    _read("crank-run-out", ("crank",), "crank run-out at the middle main", "run-out"),
    _read("seal-wear", ("crank",), "depth of seal groove"),
    _read("end-play-upper", ("thrust",), "crank end play, upper half alone"),
    _read("crank-end-play", ("thrust",), "crank end play", "end-play"),
    Characteristic("fillet-clearance", "bearings", ("main", "pin"), LENGTH, "shell chamfer over fillet",
                   (Way(_less, (Need("chamfer", "shell-chamfer", "{s}.shell.upper"), Need("fillet", "fillet")),
                        "chamfer at the shell's edge - fillet radius"),)),
    Characteristic("stroke", "bearings", ("pin",), LENGTH, "stroke of the throw",
                   (Way(_same, (Need("stroke", "stroke"),), "as read"),)),
    Characteristic("stroke-spread", "bearings", ("engine",), LENGTH, "stroke, spread over the throws",
                   (Over("stroke", "spread", "longest less shortest stroke"),)),
    _read("throw-index", ("pin",), "index error of the throw", "index", Quantity.ANGLE),
    Characteristic("rod-side-clearance", "bearings", ("pin",), LENGTH, "side clearance of the rods",
                   (Way(_same, (Need("value", "side-clearance"),), "feeler reading"),
                    Way(_side, SIDE_NEEDS, "crankpin width - both big ends"),
                    Way(_side_of_one, SIDE_NEEDS[:2], "crankpin width - big end"))),
    Characteristic("pin-bush-clearance", "bearings", ("rod",), LENGTH, "piston pin in the small end",
                   (Way(_less, (Need("bush", "bush-bore"), Need("pin", "diameter", "cyl.{c}.pin")),
                        "small end bush - piston pin"),)),
    Characteristic("rod-length", "bearings", ("rod",), LENGTH, "rod centre distance",
                   (Way(_same, (Need("value", "rod-length"),), "as read"),)),
    Characteristic("rod-length-spread", "bearings", ("engine",), LENGTH, "rod centre distance, spread",
                   (Over("rod-length", "spread", "longest less shortest rod"),)),
    _read("rod-bend", ("rod",), "rod bend", "bend"),
    _read("rod-twist", ("rod",), "rod twist", "twist"),
    _read("rod-bolt-clearance", ("rod",), "least clearance of the rod bolt", "bolt-clearance"),
    _read("counterweight-clearance", ("cyl",), "counterweight to skirt and block"),
    Characteristic("cam-bearing-clearance", "bearings", ("cam-bearing",), LENGTH, "cam bearing clearance",
                   (Way(_less, (Need("bore", "bearing-bore"), Need("journal", "cam-journal")),
                        "cam bearing bore - cam journal"),)),
    _read("cam-end-play", ("cam",), "cam end play", "end-play"),
    _read("sprocket-offset", ("cam",), "sprockets out of line"),
    _read("dowel-height", ("cam",), "dowel above its face"),
    Characteristic("lifter-clearance", "bearings", ("lifter",), LENGTH, "lifter in its bore",
                   (Way(_less, (Need("bore", "lifter-bore"), Need("lifter", "lifter-diameter")),
                        "lifter bore - lifter"),)),
)
