"""A small engine for tests of choices: sizes in inches, read without an instrument of the shop, so that sums stay by hand."""

from tenths.logbook import bodies
from tenths.services import commands
from tenths.services.shop import Shop

ENGINE = "wren"
MAINS = (1, 2, 3)
HOUSING, JOURNAL, WALL = 2.6000, 2.4000, 0.0990  # clearance 0.0020 with standard halves


def wren(shop: Shop, *, house: str = "") -> str:
    """An in-line twin with three mains, limits 0.0010 to 0.0030 in, target 0.0020, sets std, +1 and -1 in the house."""
    if house:
        commands.adopt_house_rules(shop, house)
    commands.open_engine(shop, name="Wren", layout="parallel-twin-180", engine=ENGINE)
    say(shop, bodies.LimitStated(station="main.*", characteristic="main-oil-clearance", lower="0.0010", upper="0.0030",
                                 target="0.0020"))
    for size, change in (("std", "0"), ("+1", "0.001"), ("-1", "-0.001")):
        say(shop, bodies.StockCounted(kind="main-shell", size=size, change=change, sets=1))
    return ENGINE


def say(shop: Shop, *what: bodies.Body) -> None:
    """Entries about the engine."""
    shop.append(ENGINE, *what)


def read(shop: Shop, station: str, feature: str, size: float, place: str = "") -> None:
    """One reading in inches."""
    say(shop, bodies.ReadingTaken(station=station, feature=feature, text=f"{size:.5f}", place=place))


def read_mains(shop: Shop, *, housing: dict[int, float] | None = None, journal: dict[int, float] | None = None) -> None:
    """Housings and journals of all mains; what is not named has the usual size."""
    for n in MAINS:
        read(shop, f"main.{n}", "housing-bore", (housing or {}).get(n, HOUSING), "B front")
        read(shop, f"main.{n}", "journal", (journal or {}).get(n, JOURNAL), "1 front")


def half(shop: Shop, name: str, wall: float, *, size: str = "std", side: str = "", box: str = "", **more: bool) -> None:
    """A half out of a box, with its wall as read."""
    say(shop, bodies.HalfListed(part=name, kind="main-shell", size=size, side=side, box=box, **more),
        bodies.ReadingTaken(station=f"part.{name}", feature="shell-wall", text=f"{wall:.5f}", place="crown"))
