"""A reading of a warm part is brought to 20 degC when the part's material is known, and says so when it is not."""

import pytest

from tenths.findings.check import check
from tenths.logbook import bodies
from tenths.services import commands


def engine_with(shop, material):
    name = commands.open_engine(shop, name="Warm", layout="inline-3", units="metric")
    commands.part(shop, name, bodies.PartListed(part="b", kind="block", material=material),
                  bodies.PartFitted(slot="block", part="b"))
    commands.take_reading(shop, name, bodies.ReadingTaken(
        station="cyl.1", feature="bore", place="gauge thrust", text="101.600", temperature="30 °C"))
    return next(f for f in check(shop.build(name), ["bore-size"]) if f.station == "cyl.1")


# The bore gauge hangs on a steel micrometer at the same temperature, so only the difference of the two expansions shows:
# L (1 - (alpha_part - alpha_steel) (t - 20)); expansions from memory of handbooks (ISO 1 gives the 20 degC).
@pytest.mark.parametrize(("material", "alpha"), [("grey cast iron", 10.5e-6), ("aluminium casting", 22.0e-6)])
def test_a_warm_bore_read_against_steel_is_reduced_by_the_difference_of_expansions(shop, material, alpha):
    found = engine_with(shop, material)
    assert found.value == pytest.approx(101.6e-3 * (1 - (alpha - 11.5e-6) * 10), abs=2e-9)
    assert any("30.0 °C" in cause for cause in found.estimate.parts)


def test_without_a_material_the_reading_stands_and_says_so(shop):
    found = engine_with(shop, "")
    assert found.value == pytest.approx(101.6e-3)
    assert any("not brought to 20" in w for w in found.warnings)
