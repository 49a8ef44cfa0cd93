"""Crush as the log teaches it, against the closed form of two normal laws, in inches by hand."""

from math import sqrt

import pytest

from engines import ENGINE, HOUSING, WALL, read, read_mains, say, wren
from shops import shop_in_memory
from tenths.findings.crush import BEFORE, crush_of, crush_offsets
from tenths.findings.instruments import InstrumentBook
from tenths.findings.resolve import Resolver
from tenths.logbook import bodies

INCH = 0.0254
MAINS = ["main.1", "main.2", "main.3"]


@pytest.fixture
def shop(tmp_path):
    made = shop_in_memory(tmp_path)
    wren(made)
    read_mains(made)
    return made


def resolver(shop):
    build = shop.build(ENGINE)
    return Resolver(build, InstrumentBook(build))


def cap(shop, number, bore):
    for side in ("upper", "lower"):
        read(shop, f"main.{number}.shell.{side}", "shell-wall", WALL, "crown")
    read(shop, f"main.{number}", "installed-bore", bore, "B front")


def test_before_a_cap_is_read_only_what_was_known_before_stands(shop):
    found = crush_of(resolver(shop), "main", MAINS)
    assert (found.entries, found.learned.readings) == ((), 0)
    assert found.learned.average.value == 0.0
    assert found.learned.average.u == pytest.approx(0.0002 * INCH)  # common practice, no source
    assert found.input("main.2").origin == "taken"


def test_a_cap_weighs_against_what_was_known_by_its_own_doubt(shop):
    cap(shop, 1, HOUSING - 2 * WALL - 0.0004)
    found = crush_of(resolver(shop), "main", MAINS)
    book = resolver(shop)
    offset = [book.input("x", where, feature, places, None).estimate for where, feature, places in (
        ("main.1", "installed-bore", ()), ("main.1", "housing-bore", ("B",)),
        ("main.1.shell.upper", "shell-wall", ()), ("main.1.shell.lower", "shell-wall", ()))]
    # normal prior N(0, p), one reading with doubt r and scatter s: mean x p2 / (p2 + r2 + s2)
    causes = {c for e in offset for c in e.parts}
    r2 = sum((offset[0].parts.get(c, 0) - offset[1].parts.get(c, 0) + offset[2].parts.get(c, 0) + offset[3].parts.get(c, 0)) ** 2
             for c in causes)
    weight = BEFORE.u**2 / (BEFORE.u**2 + r2 + BEFORE.between**2)
    assert found.learned.average.value == pytest.approx(-0.0004 * INCH * weight, rel=1e-6)
    assert found.learned.average.u == pytest.approx(sqrt(weight**2 * (r2 + BEFORE.between**2) + (1 - weight) ** 2 * BEFORE.u**2))
    assert found.input("main.2").origin == "learned"
    assert len(found.entries) == 4


def test_the_plain_offsets_are_installed_less_housing_and_walls(shop):
    cap(shop, 1, HOUSING - 2 * WALL - 0.0004)
    cap(shop, 3, HOUSING - 2 * WALL + 0.0001)
    assert crush_offsets(resolver(shop), MAINS) == [pytest.approx(x * INCH, abs=1e-12) for x in (-0.0004, 0.0001)]


def test_a_cap_whose_shells_were_changed_since_teaches_nothing(shop):
    cap(shop, 1, HOUSING - 2 * WALL - 0.0004)
    say(shop, bodies.PartListed(part="new", kind="main-shell", size="std"),
        bodies.PartFitted(slot="main.1.shell.upper", part="new"))
    assert crush_of(resolver(shop), "main", MAINS).learned.readings == 0


def test_what_is_only_stated_teaches_nothing(shop):
    say(shop, bodies.SizeStated(station="main.*", feature="housing-bore", text="2.6000"))
    read(shop, "main.1", "installed-bore", HOUSING - 2 * WALL)
    assert crush_offsets(resolver(shop), MAINS) == []
