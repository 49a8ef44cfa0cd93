"""Weights, bobweights and what is left unbalanced, on engines of other layouts than the demo's and by house rules."""

import pytest

from shops import shop_in_memory
from tenths.errors import BadInput
from tenths.findings.check import check
from tenths.logbook import bodies
from tenths.services import commands

WEIGHTS = {"cyl.{}.piston": ("weight", 400), "cyl.{}.pin": ("weight", 100), "rod.{}": ("rod-small-end-weight", 150)}


def weighed(tmp_path, layout, house=""):
    """An engine with round weights: 700 g go up and down (rings 40, locks 10), 600 g round (shells 50), 6 g of oil."""
    shop = shop_in_memory(tmp_path)
    if house:
        commands.adopt_house_rules(shop, house)
    engine = commands.open_engine(shop, name="Teal", layout=layout, units="metric")
    build = shop.build(engine)
    commands.state(
        shop, engine,
        *(bodies.SizeStated(station=station, feature=feature, text=f"{grams} g") for station, feature, grams in (
            ("cyl.*.piston", "ring-set-weight", 40), ("cyl.*.pin", "locks-weight", 10), ("rod.*", "shell-pair-weight", 50),
            ("pin.*", "oil-weight", 6))))
    rows = [(station.format(label), *what) for label in build.layout.labels for station, what in WEIGHTS.items()]
    rows += [(f"rod.{label}", "rod-big-end-weight", 550) for label in build.layout.labels]
    shop.append(engine, *(bodies.ReadingTaken(station=s, feature=f, text=f"{g}.0 g") for s, f, g in rows))
    return shop, engine


def bobweights(shop, engine):
    return [f.value for f in check(shop.build(engine), ["bobweight"])]


# Share by textbook or common practice: nothing for a four in line, half for twins on one pin and cross-plane eights.
@pytest.mark.parametrize(("layout", "house", "share", "rods"), [
    ("inline-4", "", 0.0, 1), ("v8-90-cross-plane", "", 0.5, 2), ("v-twin-90", "", 0.5, 2), ("single", "", 0.5, 1),
    ("v6-90", "[balance]\nshare = 0.366\n", 0.366, 1), ("v8-90-cross-plane", "[balance]\nshare = 0.52\n", 0.52, 2)])
def test_bobweight_is_what_turns_and_its_share_of_what_goes_up_and_down(tmp_path, layout, house, share, rods):
    shop, engine = weighed(tmp_path, layout, house)
    assert bobweights(shop, engine) == pytest.approx([1e-3 * (rods * (600 + share * 700) + 6)] * len(shop.build(engine).layout.pins))


def test_the_sheet_has_the_last_word_on_the_share(tmp_path):
    shop, engine = weighed(tmp_path, "v8-90-cross-plane", "[balance]\nshare = 0.52\n")
    commands.state(shop, engine, bodies.SizeStated(station="engine", feature="bobweight-share", text="46 %"))
    assert bobweights(shop, engine)[0] == pytest.approx(1e-3 * (2 * (600 + 0.46 * 700) + 6))


@pytest.mark.parametrize("said", ["share = 1.2", "share = -0.1", "share = true", 'share = "half"', "part = 0.5"])
def test_a_share_that_cannot_be_is_refused(tmp_path, said):
    shop = shop_in_memory(tmp_path)
    with pytest.raises(BadInput, match="balance"):
        commands.adopt_house_rules(shop, f"[balance]\n{said}\n")


def test_what_is_missing_of_a_bobweight_is_named_for_the_rods_that_are_there(tmp_path):
    shop = shop_in_memory(tmp_path)
    engine = commands.open_engine(shop, name="Teal", layout="inline-4")
    found = check(shop.build(engine), ["bobweight"])
    assert {missing for f in found[:1] for missing in f.missing} == {
        "weight at cyl.1.piston", "weight at cyl.1.pin", "rod-small-end-weight at rod.1", "rod-big-end-weight at rod.1"}


def test_unbalance_allowed_is_that_of_the_standard(tmp_path):
    """[ISO21940-11]: G 16 at 6000 rpm and 20 kg allow 509.3 g mm, from memory, recomputed; half for each plane."""
    shop, engine = weighed(tmp_path, "inline-4")
    commands.state(shop, engine, bodies.SizeStated(station="crank", feature="weight", text="20 kg"),
                   bodies.SizeStated(station="engine", feature="redline", text="6000 rpm"))
    shop.append(engine, bodies.ReadingTaken(station="crank", feature="unbalance-front", text="200 g mm"))
    found = {f.characteristic.name: f for f in check(shop.build(engine), ["unbalance-allowed", "unbalance-front-margin"])}
    assert found["unbalance-allowed"].value == pytest.approx(509.3e-6, rel=1e-4)
    assert found["unbalance-front-margin"].value == pytest.approx(54.65e-6, rel=1e-3)
