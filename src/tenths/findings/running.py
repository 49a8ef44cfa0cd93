"""The running engine: weights and bobweights, the pull on the rod bolts, what unbalance is left."""

from tenths.calc import balance, rodbolt
from tenths.engine.layout import Layout
from tenths.engine.quantity import Quantity
from tenths.errors import BadInput
from tenths.findings.along import derived_share
from tenths.findings.declare import Characteristic, Need, Over, Way
from tenths.findings.geometry import REDLINE, ROD, STROKE
from tenths.findings.resolve import Input
from tenths.logbook.build import Build
from tenths.metrology.estimate import exact

MASS, GRADE = Quantity.MASS, 16.0
SHARE = "bobweight-share"
# Weights that many sheets leave out: common practice, no source, with a standard uncertainty that says so.
RINGS, LOCKS, SHELLS = (0.035, 0.015), (0.002, 0.001), (0.045, 0.020)


UP_NAMES = ("piston", "pin", "rings", "locks", "small_end")
AROUND_NAMES = ("big_end", "shells")


def up_and_down(at: str) -> tuple[Need, ...]:
    """What goes up and down with the piston of a cylinder: piston, pin, rings, locks, small end."""
    return (Need("piston", "weight", f"cyl.{at}.piston"), Need("pin", "weight", f"cyl.{at}.pin"),
            Need("rings", "ring-set-weight", f"cyl.{at}.piston", otherwise=RINGS[0], doubt=RINGS[1]),
            Need("locks", "locks-weight", f"cyl.{at}.pin", otherwise=LOCKS[0], doubt=LOCKS[1]),
            Need("small_end", "rod-small-end-weight", f"rod.{at}"))


def around(at: str) -> tuple[Need, ...]:
    """What goes round with the crankpin: big end and shells."""
    return (Need("big_end", "rod-big-end-weight", f"rod.{at}"),
            Need("shells", "shell-pair-weight", f"rod.{at}", otherwise=SHELLS[0], doubt=SHELLS[1]))


OIL = Need("oil", "oil-weight", otherwise=0.004, doubt=0.002)  # common practice, no source
SHARE_NEED = Need("share", SHARE, "engine")


def _same(value: float) -> float:
    return value


def _sum(*values: float) -> float:
    return sum(values)


def _bob_of_one(share: float, oil: float, *rod: float) -> float:
    return balance.bobweight(rotating=[sum(rod[5:])], reciprocating=[sum(rod[:5])], share=share, oil=oil)


def _bob_of_two(share: float, oil: float, *rods: float) -> float:
    one, other = rods[:7], rods[7:]
    return balance.bobweight(rotating=[sum(one[5:]), sum(other[5:])], reciprocating=[sum(one[:5]), sum(other[:5])],
                             share=share, oil=oil)


def _pull(stroke: float, rod_length: float, speed: float, cap: float, *rod: float) -> float:
    return rodbolt.pull_at_top(reciprocating=sum(rod[:5]), rotating_above_split=max(sum(rod[5:]) - cap, 0.0),
                               stroke=stroke, rod_length=rod_length, speed=speed)


def _allowed(grade: float, weight: float, speed: float) -> float:
    return balance.permissible_unbalance(grade=grade, mass=weight, speed=speed)


def _margin(left: float, *allowed: float) -> float:
    return _allowed(*allowed) / 2 - left


def _weighed(name: str, kind: str, words: str, feature: str, at: str) -> tuple[Characteristic, ...]:
    """A weight as it was read, and its spread over the engine."""
    return (Characteristic(name, "running", (kind,), MASS, words, (Way(_same, (Need("value", feature, at),), "as weighed"),)),
            Characteristic(f"{name}-spread", "running", ("engine",), MASS, f"{words}, spread",
                           (Over(name, "spread", "heaviest less lightest"),)))


ALLOWED = (Need("grade", "balance-grade", "crank", otherwise=GRADE), Need("weight", "weight", "crank"), REDLINE)
ONE, FIRST, SECOND = ((*up_and_down(at), *around(at)) for at in ("{c}", "{first}", "{second}"))

CHARACTERISTICS: tuple[Characteristic, ...] = (
    *_weighed("piston-weight", "cyl", "weight of the piston", "weight", "cyl.{c}.piston"),
    *_weighed("piston-pin-weight", "cyl", "weight of the piston pin", "weight", "cyl.{c}.pin"),
    *_weighed("big-end-weight", "rod", "weight of the big end", "rod-big-end-weight", "{s}"),
    *_weighed("small-end-weight", "rod", "weight of the small end", "rod-small-end-weight", "{s}"),
    Characteristic("reciprocating-weight", "running", ("cyl",), MASS, "what goes up and down",
                   (Way(_sum, up_and_down("{c}"), "piston + pin + rings + locks + small end"),), planning=True),
    Characteristic("reciprocating-weight-spread", "running", ("engine",), MASS, "what goes up and down, spread",
                   (Over("reciprocating-weight", "spread", "heaviest less lightest"),)),
    Characteristic("rotating-weight", "running", ("rod",), MASS, "what goes round with the crankpin",
                   (Way(_sum, around("{c}"), "big end + shells"),), planning=True),
    Characteristic("bobweight", "running", ("pin",), MASS, "bobweight",
                   (Way(_bob_of_two, (SHARE_NEED, OIL, *FIRST, *SECOND),
                        "big ends + shells + share x (pistons + pins + rings + locks + small ends) + oil"),
                    Way(_bob_of_one, (SHARE_NEED, OIL, *FIRST),
                        "big end + shells + share x (piston + pin + rings + locks + small end) + oil")), planning=True),
    Characteristic("rod-pull", "running", ("rod",), Quantity.FORCE, "pull on the rod's parting line at overlap",
                   (Way(_pull, (STROKE, ROD, REDLINE, Need("cap", "cap-weight", otherwise=0.0), *ONE),
                        "stroke/2 x speed squared x (what goes up and down x (1 + stroke/2 / rod) + what goes round above "
                        "the split), at the highest speed; without the cap's weight all of the big end counts"),),
                   planning=True),
    Characteristic("unbalance-allowed", "running", ("crank",), Quantity.MASS_MOMENT, "unbalance allowed, both planes",
                   (Way(_allowed, ALLOWED, "grade x weight of the crank / highest speed [ISO21940-11]"),), planning=True),
    *(Characteristic(f"unbalance-{plane}-margin", "running", ("crank",), Quantity.MASS_MOMENT,
                     f"unbalance allowed less what is left, {plane} plane",
                     (Way(_margin, (Need("left", f"unbalance-{plane}"), *ALLOWED),
                          "half of grade x weight / highest speed - unbalance left over"),)) for plane in ("front", "rear")),
)


def share_said(build: Build, layout: Layout) -> Input:
    """The reciprocating share when the sheet does not say one: the house's own, else as the layout asks for."""
    share = house_share(build)
    return Input(SHARE, "engine", SHARE, "learned", exact(derived_share(layout) if share is None else share))


def house_share(build: Build) -> float | None:
    """What ``[balance] share`` of the house rules says for this engine; None where it says nothing."""
    said = build.house.get("balance", {}).get("share")
    return None if said is None else float(said)


def vet_balance(said: object) -> None:
    """Raises BadInput unless ``[balance]`` of house rules holds a share from 0 to 1 and nothing else."""
    given: dict[str, object] = said if isinstance(said, dict) else {"": said}  # pyright: ignore[reportUnknownVariableType]
    share = given.get("share", 0.0)
    fine = isinstance(share, int | float) and not isinstance(share, bool) and 0.0 <= share <= 1.0
    if set(given) - {"share"} or not fine:
        raise BadInput("house rules: [balance] takes share = 0.5, the reciprocating share of the bobweight, 0 to 1")
