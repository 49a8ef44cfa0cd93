"""Stale: exactly what rested on a changed part, and nothing else."""

import pytest

from tenths.findings.check import check
from tenths.logbook import bodies
from tenths.metrology.decide import Verdict
from tenths.services import commands

LAYOUT = "inline-3, cams none"


@pytest.fixture
def engine(shop):
    name = commands.open_engine(shop, name="Trial", layout=LAYOUT)
    commands.part(
        shop, name,
        *(bodies.PartListed(part=p, kind="main-shell") for p in ("a", "b", "c")),
        *(bodies.PartListed(part=p, kind=k) for p, k in (("block-1", "block"), ("crank-1", "crank"), ("crank-2", "crank"))),
        bodies.PartFitted(slot="block", part="block-1"), bodies.PartFitted(slot="crank", part="crank-1"),
        bodies.PartFitted(slot="main.2.shell.upper", part="a"), bodies.PartFitted(slot="main.2.shell.lower", part="b"))
    for station, size in (("main.1", "2.4014"), ("main.2", "2.4015")):
        read(shop, name, station, "installed-bore", size, "B front")
        read(shop, name, station, "journal", "2.3990", "1 front")
    read(shop, name, "cyl.1", "bore", "3.5000", "gauge thrust")
    return name


def read(shop, engine, station, feature, text, place=""):
    return commands.take_reading(shop, engine, bodies.ReadingTaken(station=station, feature=feature, place=place, text=text))


def verdicts(shop, engine):
    return {(f.characteristic.name, f.station): f.verdict for f in check(shop.build(engine))}


def stale(shop, engine):
    return {key for key, verdict in verdicts(shop, engine).items() if verdict is Verdict.STALE}


def test_nothing_is_stale_before_anything_changes(shop, engine):
    assert stale(shop, engine) == set()


def test_another_shell_makes_its_own_place_stale_and_what_is_taken_over_it(shop, engine):
    commands.part(shop, engine, bodies.PartFitted(slot="main.2.shell.upper", part="c"))
    assert stale(shop, engine) == {("main-oil-clearance", "main.2"), ("main-oil-clearance-spread", "engine")}


def test_putting_the_first_shell_back_brings_the_readings_back(shop, engine):
    commands.part(shop, engine, bodies.PartFitted(slot="main.2.shell.upper", part="c"),
                  bodies.PartFitted(slot="main.2.shell.upper", part="a"))
    assert stale(shop, engine) == set()


def test_reading_again_ends_stale(shop, engine):
    commands.part(shop, engine, bodies.PartFitted(slot="main.2.shell.upper", part="c"))
    read(shop, engine, "main.2", "installed-bore", "2.4016", "B front")
    assert stale(shop, engine) == set()


def test_another_crank_makes_every_journal_stale_and_no_bore(shop, engine):
    commands.part(shop, engine, bodies.PartFitted(slot="crank", part="crank-2"))
    found = stale(shop, engine)
    assert {("main-journal-size", "main.1"), ("main-journal-size", "main.2"), ("main-oil-clearance", "main.1")} <= found
    assert not any(station.startswith("cyl") for _, station in found)


def test_honing_one_hole_leaves_the_others(shop, engine):
    read(shop, engine, "cyl.2", "bore", "3.5001", "gauge thrust")
    commands.machine(shop, engine, slot="block", operation="honed", stations=("cyl.1",))
    assert stale(shop, engine) == {("bore-size", "cyl.1")}


def test_grinding_the_crank_ends_journals_but_not_installed_bores(shop, engine):
    commands.machine(shop, engine, slot="crank", operation="ground")
    found = stale(shop, engine)
    assert ("main-journal-size", "main.1") in found
    build = shop.build(engine)
    assert not build.stale_because(build.readings["main.1", "installed-bore"][0])


def test_a_struck_fitting_never_happened(shop, engine):
    changed = commands.part(shop, engine, bodies.PartFitted(slot="main.2.shell.upper", part="c"))[0]
    commands.strike(shop, engine, changed.id, "written on the wrong engine")
    assert stale(shop, engine) == set()


def test_a_part_named_later_as_there_all_along_keeps_earlier_readings(shop, engine):
    read(shop, engine, "rod.1", "bend", "0.0004")
    commands.part(shop, engine, bodies.PartListed(part="rod-1", kind="rod"),
                  bodies.PartFitted(slot="rod.1", part="rod-1", all_along=True))
    assert ("rod-bend", "rod.1") not in stale(shop, engine)


def test_a_part_named_later_without_that_word_does_not(shop, engine):
    read(shop, engine, "rod.1", "bend", "0.0004")
    commands.part(shop, engine, bodies.PartListed(part="rod-1", kind="rod"), bodies.PartFitted(slot="rod.1", part="rod-1"))
    assert ("rod-bend", "rod.1") in stale(shop, engine)


def test_a_loose_part_keeps_its_readings_wherever_it_is_fitted(shop, engine):
    read(shop, engine, "part.c", "shell-wall", "0.0950", "crown")
    commands.part(shop, engine, bodies.PartFitted(slot="main.3.shell.upper", part="c"))
    found = {(f.characteristic.name, f.station): f for f in check(shop.build(engine))}
    used = found["main-oil-clearance-predicted", "main.3"].inputs
    assert next(i for i in used if i.name == "upper_wall").estimate.value == pytest.approx(0.0950 * 0.0254)
