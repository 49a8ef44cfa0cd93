"""One more reading: what it reaches is worked out anew, and comes to what working out everything does."""

from dataclasses import replace

import pytest

from tenths.findings.check import check, recheck


def said(findings):
    return {(f.characteristic.name, f.station): (f.verdict, f.value, f.standard_uncertainty, f.probability, f.entries,
                                                 f.warnings, f.missing) for f in findings}


def without(build, reading):
    """The Build as it was before a reading came in."""
    key = reading.station, reading.feature.name
    rows = [r for r in build.readings[key] if r is not reading]
    return replace(build, readings={**build.readings, key: rows})


@pytest.mark.parametrize("engine", ["marigold", "kestrel"])
def test_a_reading_reaches_all_that_it_changes_and_nothing_comes_out_otherwise(demo_shop, engine):
    """The last reading of each feature at a few stations taken back and brought in again, against the whole check."""
    build = demo_shop.build(engine)
    whole = said(check(build))
    last = {(r.station, r.feature.name): r for r in build.all_readings() if not r.station.startswith("part.")}
    chosen = {}
    for (station, feature), reading in last.items():
        chosen.setdefault((feature, station.count(".") > 1 or station[-1:] in "1A"), reading)
    worked = 0
    for reading in chosen.values():
        before = check(without(build, reading))
        found = recheck(build, before, reading.station, reading.feature.name)
        if found is None:  # a finding that was not there before: everything is worked out, by rule
            continue
        merged = said(before) | said(found)
        assert merged == whole, (reading.station, reading.feature.name)
        worked += 1
    assert worked > 15


def test_a_loose_part_asks_for_the_whole(demo_shop):
    build = demo_shop.build("marigold")
    assert recheck(build, check(build), "part.main-3-upper", "shell-wall") is None
