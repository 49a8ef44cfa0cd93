"""A reading carries the causes of its instrument, its master, its setting and its temperature."""

import math
from datetime import date

import pytest

from tenths.errors import BadInput
from tenths.metrology.estimate import combine, difference
from tenths.metrology.instrument import CalibrationPoint, Instrument, reading_estimate, remarks
from tenths.metrology.templates import INCH, TEMPLATES, TENTH, from_template
from tenths.metrology.thermal import MATERIALS, Noted, Temperature, from_log, material, size_at_reference

MIC = from_template("outside-micrometer-inch", "mic-2-3")
BORE_GAUGE = from_template("bore-gauge-inch", "bore-gauge")
RING = from_template("ring-inch", "ring-2.4400")


def journal(reading_id="journal", **more):
    return reading_estimate(2.4478 * INCH, instrument=MIC, reading_id=reading_id, **more)


def bore(master, reading_id="bore", **more):
    return reading_estimate(
        2.45 * INCH, instrument=BORE_GAUGE, reading_id=reading_id, setting="set-1", master=master, **more
    )


def test_keys_of_the_causes_are_stable():
    assert set(bore(MIC).parts) == {
        "scale:bore-gauge", "scale:mic-2-3", "resolution:bore", "repeat:bore", "setting:set-1",
    }  # fmt: skip
    assert "master:ring-2.4400" in bore(RING).parts


def test_gauge_set_from_the_same_micrometer_loses_the_micrometer():
    clearance = difference(bore(MIC), journal())
    assert clearance.parts["scale:mic-2-3"] == 0.0
    # Limits over sqrt(3), steps over sqrt(12), added in quadrature by hand, in tenths.
    by_hand = math.sqrt(0.5**2 / 3 + 2 / 12 + 0.5**2 + 0.4**2 + 0.3**2)
    assert clearance.u / TENTH == pytest.approx(by_hand, rel=1e-12)


def test_gauge_set_from_a_ring_keeps_both():
    by_hand = math.sqrt(0.75 + 1.5**2 / 3 + 0.25**2)
    assert difference(bore(RING), journal()).u / TENTH == pytest.approx(by_hand, rel=1e-12)


def test_two_walls_by_one_micrometer_add():
    walls = [reading_estimate(0.1 * INCH, instrument=MIC, reading_id=f"wall-{i}") for i in (1, 2)]
    both = combine((1, 1), walls)
    assert both.parts["scale:mic-2-3"] / TENTH == pytest.approx(2 * 1.5 / math.sqrt(3), rel=1e-12)


def test_repeats_average_only_what_repeats():
    once, nine = journal(), journal(repeats=9)
    assert nine.parts["repeat:journal"] == pytest.approx(once.parts["repeat:journal"] / 3)
    assert nine.parts["scale:mic-2-3"] == once.parts["scale:mic-2-3"]
    assert nine.parts["resolution:journal"] == once.parts["resolution:journal"]


def test_certificate_replaces_the_limit_and_corrects():
    points = (
        CalibrationPoint(nominal=0.05, error=1e-6, u=0.5e-6),
        CalibrationPoint(nominal=0.07, error=3e-6, u=0.9e-6),
    )
    mic = from_template("outside-micrometer-metric", "mic", points=points)
    reading = reading_estimate(0.06, instrument=mic, reading_id="r")
    assert reading.value == pytest.approx(0.06 - 2e-6, abs=1e-15)
    assert reading.parts["scale:mic"] == pytest.approx(0.7e-6)
    assert "scale:mic" not in reading.shape
    assert mic.scale_error(0.01) == (1e-6, 0.5e-6)
    assert mic.scale_error(0.09) == (3e-6, 0.9e-6)


@pytest.mark.parametrize(
    ("size", "name", "celsius", "expected"),
    [(101.600, "grey cast iron", 30, 101.5893), (57.150, "crank steel", 35, 57.1401)],
)
def test_size_at_20_degrees(size, name, celsius, expected):
    # Independent computation, L (1 - alpha (t - 20)), to a tenth of a micrometre.
    alpha = material(name).expansion
    assert size_at_reference(size, expansion=alpha, celsius=celsius) == pytest.approx(expected, abs=5e-5)


def test_warm_part_of_the_gauges_own_material_needs_no_correction():
    warm = Temperature("bench", 30.0, u=1.0)
    part = reading_estimate(0.06, instrument=MIC, reading_id="r", temperature=warm, part_material="gauge steel")
    assert part.value == 0.06
    assert "expansion:gauge steel" not in part.parts
    assert "temperature:bench" not in part.parts


def test_warm_aluminium_is_corrected_with_doubt_of_its_own():
    warm = Temperature("bench", 30.0, u=1.0, u_difference=0.5, freedom=7)
    part = reading_estimate(0.1, instrument=MIC, reading_id="r", temperature=warm, part_material="aluminium")
    assert part.value == pytest.approx(0.1 * (1 - (23e-6 - 11.5e-6) * 10), abs=1e-15)
    assert part.parts["temperature:bench"] == pytest.approx(-0.1 * 11.5e-6 * 1.0)
    assert part.parts["temperature difference:bench"] == pytest.approx(-0.1 * 23e-6 * 0.5)
    assert part.parts["expansion:aluminium"] == pytest.approx(-0.1 * 10 * 1e-6 / math.sqrt(3))
    assert part.parts["expansion:gauge steel"] == pytest.approx(0.1 * 10 * 1e-6 / math.sqrt(3))
    assert part.freedom == {"temperature:bench": 7}
    assert part.shape["expansion:aluminium"] == "rectangular"


def test_relative_limit_grows_with_the_reading():
    wrench = from_template("torque-wrench-inch", "wrench")
    assert wrench.scale_error(100.0) == (0.0, pytest.approx(4.0 / math.sqrt(3)))


def test_operator_enters_once_a_study_knows_the_reproducibility():
    hand = from_template("outside-micrometer-inch", "mic", reproducibility=1e-6)
    assert reading_estimate(0.06, instrument=hand, reading_id="r", operator="ann").parts["operator:ann/mic"] == 1e-6
    assert not any(k.startswith("operator") for k in journal(operator="ann").parts)


def test_remarks_name_what_is_overdue_unset_or_beyond_its_range():
    gauge = from_template("bore-gauge-inch", "g", name="Gauge 7", due=date(2026, 3, 1), lower=0.05, upper=0.15)
    said = remarks(gauge, on=date(2026, 3, 1), value=0.2)
    assert [s.split(":")[0] for s in said] == ["Gauge 7"] * 3
    assert "due on 2026-03-01" in said[0]
    assert "no setting to outside-micrometer-inch" in said[1]
    assert "reads from 0.05 to 0.15 m" in said[2]
    assert remarks(gauge, on=date(2026, 2, 28), value=0.1, setting="set-1") == ()


def test_every_template_gives_a_doubt_and_every_material_grows():
    for item in TEMPLATES.values():
        assert reading_estimate(0.05, instrument=item, reading_id="r").u > 0
    assert all(5e-6 < m.expansion < 25e-6 and m.u > 0 for m in MATERIALS.values())
    kinds = {t.kind for t in TEMPLATES.values()}
    assert {
        "outside micrometer", "dial bore gauge", "dial indicator", "depth micrometer", "feeler stock",
        "ring-gap feeler", "burette", "scale", "degree wheel", "torque wrench", "stretch gauge", "spring tester",
        "flow bench", "leak-down tester", "ball micrometer", "ring",
    } <= kinds  # fmt: skip


def test_what_cannot_be_taken_is_named():
    with pytest.raises(BadInput, match="template 'ruler' is not known"):
        from_template("ruler", "x")
    with pytest.raises(BadInput, match="has no colour"):
        from_template("ring-inch", "x", colour="red")
    with pytest.raises(BadInput, match="material 'wood' is not known"):
        material("wood")
    with pytest.raises(BadInput, match="reading r: value nan"):
        reading_estimate(math.nan, instrument=MIC, reading_id="r")
    with pytest.raises(BadInput, match="0 repeats"):
        reading_estimate(1.0, instrument=MIC, reading_id="r", repeats=0)
    with pytest.raises(BadInput, match="material 'wood'"):
        journal(temperature=Temperature("t", 25.0), part_material="wood")


def test_an_instrument_without_amounts_is_exact():
    bare = Instrument(id="x", kind="gauge block", name="block")
    assert reading_estimate(1.0, instrument=bare, reading_id="r").u == 0.0
    assert bare.scale_cause == "master:x"


LOG = [Noted(0.0, 20.0), Noted(36_000.0, 26.0), Noted(72_000.0, 24.0)]


def test_a_note_close_by_is_taken_as_it_stands():
    assert from_log(LOG, at=36_900.0, u=0.3) == Temperature("note at 36000", 26.0, 0.3)


def test_between_two_notes_the_temperature_may_lie_anywhere():
    found = from_log(LOG, at=18_000.0, u=0.4)
    assert found.celsius == pytest.approx(23.0)
    # Half of the 6 K between the notes is a limit of error: over sqrt(3), beside the thermometer.
    assert found.u == pytest.approx(math.hypot(0.4, 3.0 / math.sqrt(3)))
    assert found.id == from_log(LOG, at=20_000.0, u=0.4).id


def test_long_after_the_last_note_it_may_have_moved_as_far_as_ever():
    found = from_log(list(reversed(LOG)), at=200_000.0, u=0.4)
    assert found.celsius == 24.0
    assert found.u == pytest.approx(math.hypot(0.4, 6.0 / math.sqrt(3)))


def test_a_log_without_notes_is_refused():
    with pytest.raises(BadInput, match="0 notes"):
        from_log([], at=0.0, u=0.1)
