"""Three invented studies of the demo shop's gauges: hands read to the end, a standard watched, masters half read."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from random import Random

from tenths.logbook import bodies
from tenths.services.shop import SHOP, Shop

HANDS, WEEKLY, RINGS = "mic-2-3-hands", "mic-2-3-weekly", "bore-gauge-s-rings"
FIRST_WEEK = datetime(2025, 11, 17, 8, 0, tzinfo=UTC)
PEOPLE = ("Ines Vale", "Tom Arden")
JOURNALS = {"main 1": 2.49842, "main 2": 2.49861, "main 3": 2.49855, "main 5": 2.49828, "main 7": 2.49877}
MASTERS = ("2.0000 in", "2.5000 in", "3.0000 in")
TENTH = 1e-4  # [in]


def lay_studies(shop: Shop) -> None:
    """Lays the studies in a shop that has none."""
    if shop.build(SHOP).studies:
        return
    chance = Random(20251117)  # noqa: S311 - invented scatter, not a secret
    _weekly(shop, chance)
    _hands(shop, chance)
    _rings(shop, chance)


def _at(shop: Shop, chance: Random, when: datetime) -> Shop:
    return replace(shop, clock=lambda: when, random=chance.randbytes)


def _half(inches: float) -> str:
    """As a hand reads a micrometer by tenths: to half a tenth."""
    return f"{round(inches / TENTH * 2) / 2 * TENTH:.5f}".removesuffix("0")


def _weekly(shop: Shop, chance: Random) -> None:
    """A setting standard each week; in one of them the anvils were not wiped."""
    begun = bodies.StudyBegun(study=WEEKLY, kind="stability", instrument="mic-2-3", parts=("setting standard",), people=PEOPLE[:1],
                              trials=3, unit="in", sizes=("2.0000 in",), uncertainties=("0.5 tenths",),
                              what="the 2 in setting standard, Monday morning")
    _at(shop, chance, FIRST_WEEK).append(SHOP, begun)
    for week in range(14):
        dirty = 1.6 * TENTH if week == 10 else 0.0
        rows = [bodies.StudyRead(study=WEEKLY, part="setting standard", reader=PEOPLE[0], trial=n, occasion=week + 1,
                                 text=_half(2.0 + dirty + chance.gauss(0.1, 0.5) * TENTH)) for n in (1, 2, 3)]
        _at(shop, chance, FIRST_WEEK + timedelta(days=7 * week, minutes=12)).append(SHOP, *rows)


def _hands(shop: Shop, chance: Random) -> None:
    begun = bodies.StudyBegun(study=HANDS, kind="repeatability", instrument="mic-2-3", parts=tuple(JOURNALS), people=PEOPLE,
                              trials=3, unit="in", tolerance="0.001 in", what="main journals of a spare crank, at the mark")
    rows = [bodies.StudyRead(study=HANDS, part=part, reader=person, trial=trial,
                             text=_half(size + (0.45 * TENTH if person == PEOPLE[1] else 0.0) + chance.gauss(0, 0.4) * TENTH))
            for person in PEOPLE for trial in (1, 2, 3) for part, size in JOURNALS.items()]
    _at(shop, chance, FIRST_WEEK + timedelta(days=93)).append(SHOP, begun, *rows)


def _rings(shop: Shop, chance: Random) -> None:
    """Bore gauge against three rings; the largest is still to be read."""
    begun = bodies.StudyBegun(study=RINGS, kind="linearity", instrument="bore-gauge-s", parts=tuple(f"ring {s}" for s in MASTERS),
                              people=PEOPLE[:1], trials=5, unit="in", sizes=MASTERS, uncertainties=("0.4 tenths",) * 3,
                              what="setting rings, at the engraved line")
    rows = [bodies.StudyRead(study=RINGS, part=f"ring {size}", reader=PEOPLE[0], trial=trial,
                             text=_half(float(size[:6]) + (0.3 + 0.4 * k) * TENTH + chance.gauss(0, 0.35) * TENTH))
            for k, size in enumerate(MASTERS[:2]) for trial in range(1, 6)]
    _at(shop, chance, FIRST_WEEK + timedelta(days=94)).append(SHOP, begun, *rows)
