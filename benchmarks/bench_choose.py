"""Choices: how long the proof takes, and what measured halves are worth. Parts are made up here, the same at every run.

Each line is a function of its own, so that further choices stand beside it. Times are of one core, so that a busy machine
changes them little, and are compared with another way to the same answer in the same run.
"""

import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from statistics import median
from tempfile import TemporaryDirectory

import numpy as np

from tenths.choose.match_parts import Cylinder, Piston, Rod, WristPin, placed
from tenths.choose.matching import match_parts
from tenths.choose.order import Finishing, Offer, OrderQuestion, plan_order
from tenths.choose.order_value import value_of_measuring
from tenths.choose.scenarios import Planned, Variation, draw_rooms
from tenths.choose.shell_choice import choose_shells
from tenths.choose.shells import LOADED, Half, Place, Size, Stock, wall_of
from tenths.metrology.estimate import Estimate, exact, single

INCH = 0.0254
TENTH = 1e-4 * INCH
WALL, TARGET = 0.0948 * INCH, 0.0024 * INCH
SIZES = (Size("std", 0.0), Size("+1", 10 * TENTH), Size("-1", -10 * TENTH))
SEEDS = range(12)
Row = tuple[str, str, str]


def engine(chance: Random, kind: str, places: int) -> list[Place]:
    """Places whose parts came from one grinding and one hone: what they share is as large as what they do not."""
    together = chance.gauss(0.0, 3 * TENTH)
    rooms = [2 * WALL + TARGET + together + chance.gauss(0.0, 3 * TENTH) for _ in range(places)]
    return [Place(f"{kind}.{n}", kind, single(room, 0.8 * TENTH, f"room:{kind}:{n}"), TARGET, TARGET - 8 * TENTH, TARGET + 8 * TENTH,
                  loaded=LOADED[kind]) for n, room in enumerate(rooms, 1)]


def measured(chance: Random, kind: str, count: int) -> list[Half]:
    """Halves read one by one, to a hundredth of a thou, of three sizes and both sides."""
    found: list[Half] = []
    for number in range(count):
        size, side = SIZES[number % 3], "upper" if number // 3 % 2 else "lower"
        wall = round((WALL - size.change / 2 + chance.gauss(0.0, 0.8 * TENTH)) / (0.1 * TENTH)) * 0.1 * TENTH
        found.append(Half(f"{kind}-{number}", kind, size, single(wall, 0.3 * TENTH, f"wall-read:{kind}:{number}"), side))
    return found


def timed(work: Callable[[], object]) -> float:
    """How long it takes one core [s]."""
    begun = time.process_time()
    work()
    return time.process_time() - begun


def shells() -> Iterator[Row]:
    """A V8's mains and rods out of 200 measured halves, with the next-best three of each; the search against HiGHS alone."""
    ours: list[float] = []
    highs: list[float] = []
    proven = True
    for seed in SEEDS:
        chance = Random(seed)  # noqa: S311 - parts, not secrets
        places = engine(chance, "main", 5) + engine(chance, "rod", 8)
        stock = Stock(tuple(measured(chance, "main", 100) + measured(chance, "rod", 100)))
        begun = time.process_time()
        proven &= choose_shells(places, stock).proven
        ours.append(time.process_time() - begun)
        if seed < 3:
            highs.append(timed(lambda p=places, s=stock: choose_shells(p, s, others=0, solver="highs")))
    yield "V8 mains and rods, 200 measured halves, next-best 3", f"{median(ours):.3f} s, at worst {max(ours):.3f} s", (
        f"{'all proven' if proven else 'NOT all proven'}; HiGHS alone, best only: {median(highs):.2f} s")


def after_reading() -> Iterator[Row]:
    """The whole service after one more cap was read: log, findings, crush, both kinds of shells, and the old way: all anew."""
    from tenths.logbook import bodies  # noqa: PLC0415 - the other lines need no log
    from tenths.services import choosing  # noqa: PLC0415 - likewise
    from tenths.services.shells import shells as ask  # noqa: PLC0415 - likewise

    with TemporaryDirectory() as folder:
        shop, name = _shop(Path(folder))
        anew = timed(lambda: choosing.choices(shop, name))
        taken: list[float] = []
        for number in range(1, 5):
            shop.append(name, bodies.ReadingTaken(station=f"main.{number}", feature="installed-bore", text="2.49140", place="B front"))
            taken.append(timed(lambda: [ask(kind)(shop.build(name)) for kind in ("main", "rod")]))
    yield "after one more cap is read: mains and rods again", f"{median(taken):.3f} s, at worst {max(taken):.3f} s", (
        f"every choice of the engine, first time: {anew:.2f} s")


def _shop(folder: Path):
    """A V8 in a shop in memory: housings and journals read, 200 halves listed with their walls."""
    from tenths.logbook import bodies  # noqa: PLC0415 - only this line needs a log
    from tenths.logbook.memory import MemoryLogbook  # noqa: PLC0415 - likewise
    from tenths.services import commands  # noqa: PLC0415 - likewise
    from tenths.services.shop import Shop, utc_now  # noqa: PLC0415 - likewise

    shop, chance = Shop(MemoryLogbook(clock=utc_now), folder, "bench"), Random(5)  # noqa: S311 - parts, not secrets
    name = commands.open_engine(shop, name="Heron", layout="v8-90-cross-plane")
    what: list[bodies.Body] = []
    for kind, count, wall, housing, journal in (("main", 5, 0.0948, 2.6810, 2.4890), ("rod", 8, 0.0609, 2.2382, 2.1140)):
        what.append(bodies.LimitStated(station=f"{kind}.*", characteristic=f"{kind}-oil-clearance", lower="0.0012", upper="0.0036",
                                       target="0.0024"))
        what += [bodies.StockCounted(kind=f"{kind}-shell", size=s.label, change=f"{s.change / INCH:.3f}", sets=3) for s in SIZES]
        halves = [(f"{kind}-{n}", SIZES[n % 3], "upper" if n // 3 % 2 else "lower") for n in range(100)]
        what += [bodies.HalfListed(part=half, kind=f"{kind}-shell", size=s.label, side=side, box="1") for half, s, side in halves]
        what += [bodies.ReadingTaken(station=f"part.{half}", feature="shell-wall", place="crown",
                                     text=f"{wall - s.change / 2 / INCH + chance.gauss(0, 0.00008):.5f}") for half, s, _ in halves]
        what += [bodies.ReadingTaken(station=f"{kind}.{n}", feature="housing-bore", place="B front",
                                     text=f"{housing + chance.gauss(0, 0.0003):.5f}") for n in range(1, count + 1)]
        spots = [f"main.{n}" for n in range(1, 6)] if kind == "main" else [f"pin.{n}" for n in range(1, 5)]
        what += [bodies.ReadingTaken(station=s, feature="journal", place="1 front", text=f"{journal + chance.gauss(0, 0.0002):.5f}")
                 for s in spots]
    for number in range(1, 6):
        for side in ("upper", "lower"):
            half = f"main-{(number - 1) * 6 + (3 if side == 'upper' else 0)}"
            what.append(bodies.PartFitted(slot=f"main.{number}.shell.{side}", part=half))
    shop.append(name, *what)
    return shop, name


def order() -> Iterator[Row]:
    """Shells to order for five mains, in sets and pair by pair, and what it costs to take the journals as independent."""
    places = tuple(Planned(f"main.{n}", TARGET, TARGET - 4 * TENTH, TARGET + 4 * TENTH, {"hone": 1.0, "grind": -1.0})
                   for n in range(1, 6))
    together = {"hone": Variation(2.5 * TENTH, 0.8 * TENTH), "grind": Variation(2.5 * TENTH, 0.8 * TENTH)}
    alone = {name: Variation(0.0, float(np.hypot(v.common, v.each))) for name, v in together.items()}
    for words, offers in (("in sets", [Offer(size, 58.0, 5, 5, 2) for size in SIZES]),
                          ("pair by pair", [Offer(size, 12.0, 1, 1, 5) for size in SIZES])):
        asked = OrderQuestion(places, together, tuple(offers), asked=0.9)
        begun = time.process_time()
        plan = plan_order(asked, np.random.default_rng(1), scenarios=2000)
        took = time.process_time() - begun
        worth = timed(lambda a=asked, p=plan: value_of_measuring(a, "grind", p.boxes, np.random.default_rng(2), outcomes=20, scenarios=300))
        yield f"order {words}, 2,000 scenarios, 4,000 fresh", f"{took:.2f} s", (
            f"promises {plan.probability:.1%}, fresh {plan.fresh:.1%}, at least {plan.at_least:.1%}; the crank first {worth:.2f} s more")
        apart = plan_order(OrderQuestion(places, alone, asked.offers, asked=0.9), np.random.default_rng(1), scenarios=2000)
        real = Finishing(asked, draw_rooms(places, together, 4000, np.random.default_rng(3))).finished(apart.boxes).mean()
        yield "  the same with journals taken as independent", f"promises {apart.probability:.1%}", f"delivers {real:.1%}"


def boxes() -> Iterator[Row]:
    """Seven mains: worst deviation by sizes alone, and by halves measured out of one, two and three boxes of each size."""
    results: dict[str, list[float]] = {"sizes alone": [], "1 box of each, measured": [], "2 boxes": [], "3 boxes": []}
    times: list[float] = []
    for seed in SEEDS:
        chance = Random(1000 + seed)  # noqa: S311 - parts, not secrets
        places = engine(chance, "main", 7)
        halves = [half for number in range(3) for half in _box(chance, number)]
        results["sizes alone"].append(_by_size(places, halves))
        for number, name in enumerate(list(results)[1:], 1):
            some = Stock(tuple(h for h in halves if int(h.box) < number))
            begun = time.process_time()
            answer = choose_shells(places, some, others=0)
            times.append(time.process_time() - begun)
            results[name].append(answer.scores[0].value)
    for name, values in results.items():
        last = f"; longest proof {max(times):.2f} s" if name == "3 boxes" else ""
        yield f"seven mains, {name}", f"{median(values) / TENTH:.2f} tenths", f"worst of 12 engines {max(values) / TENTH:.2f}{last}"


def _box(chance: Random, number: int) -> Iterator[Half]:
    """A box of each size, its halves read one by one."""
    for size in SIZES:
        for side in ("upper", "lower"):
            for place in range(7):
                wall = round((WALL - size.change / 2 + chance.gauss(0.0, 0.8 * TENTH)) / (0.1 * TENTH)) * 0.1 * TENTH
                yield Half(f"{number}-{size.label}-{side}-{place}", "main", size, exact(wall), side, box=str(number))


def _by_size(places: list[Place], halves: list[Half]) -> float:
    """Worst deviation [m] that comes of halves chosen by what the box says."""
    real = {half.id: half.wall.value for half in halves}
    by_label = [Half(h.id, h.kind, h.size, wall_of(h.size, standard=exact(WALL), name=h.size.label), h.side) for h in halves[:42]]
    answer = choose_shells(places, Stock(tuple(by_label)), others=0)
    picks = {pick.where: pick.what for pick in answer.picks}
    return max(abs(p.room.value - sum(real[picks[f"{p.station}.shell.{s}"]] for s in ("upper", "lower")) - p.target) for p in places)


def matching() -> Iterator[Row]:
    """Eight holes, pistons, rods and pins: how long the proof takes, and what comes of it beside parts as they came."""
    took: list[float] = []
    spreads: list[tuple[float, float, float]] = []
    proven = 0
    for seed in SEEDS:
        parts = _parts(Random(seed))  # noqa: S311 - made-up scatter, not a secret
        found = [match_parts(*parts, np.random.default_rng(seed), now=[(n, n) for n in range(8)])]
        took.append(timed(lambda parts=parts, found=found: found.append(match_parts(*parts, np.random.default_rng(1)))))
        came = [placed(c, p, r, k, 0.0).ratio.value for c, p, r, k in zip(*parts, strict=True)]
        best = found[1].compression
        spreads.append((max(came) - min(came), best.computed, best.expected))
        proven += found[1].answer.proven
    yield "eight cylinders matched, with the next-best three", f"{median(took):.2f} s, at worst {max(took):.2f} s", f"{proven} of 12 proven"
    came, computed, expected = (median(row) for row in zip(*spreads, strict=True))
    yield ("spread of compression, 12 engines", f"{came:.2f} as the parts came",
           f"matched: {computed:.3f} computed, {expected:.3f} expected in truth")


def _parts(chance: Random) -> tuple[list[Cylinder], list[Piston], list[Rod], list[WristPin]]:
    """Chambers and crowns read to a quarter of a cc, lengths to two tenths; they scatter as castings and forgings do."""
    def read(value: float, spread: float, u: float, step: float, name: str) -> Estimate:
        true = value + chance.gauss(0.0, spread)
        return single(round(true / step) * step, u, name)

    cc, gram, stroke = 1e-6, 1e-3, exact(3.48 * INCH)
    cylinders = [Cylinder(f"cyl.{n}", read(4.0 * INCH, 2 * TENTH, 0.5 * TENTH, TENTH, f"bore {n}"), stroke,
                          read(9.025 * INCH - stroke.value / 2, 8 * TENTH, 3 * TENTH, TENTH, f"deck {n}"),
                          read(73 * cc, 0.5 * cc, 0.25 * cc, 0.1 * cc, f"chamber {n}"), 20 * TENTH, 27 * TENTH, 40 * TENTH)
                 for n in range(8)]
    pistons = [Piston(f"p{n}", read(4.0 * INCH - 29 * TENTH, 2 * TENTH, 0.5 * TENTH, TENTH, f"skirt {n}"),
                      read(1.561 * INCH, 5 * TENTH, 2 * TENTH, TENTH, f"height {n}"),
                      read(6 * cc, 0.2 * cc, 0.25 * cc, 0.1 * cc, f"dish {n}"),
                      read(510 * gram, 0.8 * gram, 0.1 * gram, 0.1 * gram, f"piston {n}")) for n in range(8)]
    rods = [Rod(f"r{n}", read(5.7 * INCH, 4 * TENTH, 2 * TENTH, TENTH, f"length {n}"),
                read(180 * gram, 0.5 * gram, 0.1 * gram, 0.1 * gram, f"rod {n}")) for n in range(8)]
    pins = [WristPin(f"k{n}", read(118 * gram, 0.2 * gram, 0.1 * gram, 0.1 * gram, f"pin {n}")) for n in range(8)]
    return cylinders, pistons, rods, pins


LINES: tuple[Callable[[], Iterator[Row]], ...] = (
    shells,
    after_reading,
    order,
    boxes,
    matching,
)


def main() -> None:
    """Prints the table; names of lines on the command line print those alone."""
    wanted = sys.argv[1:]
    for line in LINES:
        if not wanted or line.__name__ in wanted:
            for what, took, beside in line():
                print(f"{what:<52} {took:<34} {beside}", flush=True)


if __name__ == "__main__":
    main()
