"""How the record says verdicts. Findings are made up here; expected texts are written by hand."""

from tenths.record import verdicts


def finding(
    station="main.1", words="main oil clearance", verdict="fits", value=0.0020, lower=0.0015, upper=0.0025, **more
):
    """A finding as the services answer it, in inches."""

    def text(x):
        return "" if x is None else f"{x:.4f} in"

    made = {
        "station": station,
        "station_words": station.replace(".", " "),
        "characteristic": words.replace(" ", "-"),
        "words": words,
        "section": "bearings",
        "value": value,
        "unit": "in",
        "standard_uncertainty": 0.0001,
        "interval": 0.0002,
        "lower": lower,
        "upper": upper,
        "target": None,
        "authority": "house rule",
        "source": "house rules",
        "probability": 1.0,
        "verdict": verdict,
        "entries": [station],
        "formula": "bore - journal",
        "stale": [],
        "missing": [],
        "warnings": [],
    } | more
    made["text"] = {
        "value": text(value),
        "interval": text(made["interval"] if value is not None else None),
        "lower": text(lower),
        "upper": text(upper),
        "target": text(made["target"]),
    }
    return made


def answer(*found, **more):
    return {
        "findings": list(found),
        "readings": [{}],
        "parts": [],
        "problem_list": [],
        "log": {"people": ["Ines Vale"]},
    } | more


def test_limits_stand_at_fixed_places_and_the_value_between_them_in_proportion():
    line = verdicts.fit_line(finding(value=0.00175))
    assert line["limits"] == [1 / 6, 5 / 6]
    assert abs(line["at"] - (1 / 6 + 0.25 * 2 / 3)) < 1e-12  # a quarter of the way, closed form
    low, high = line["interval"]
    assert abs((high - low) - 0.0004 / 0.001 * 2 / 3) < 1e-12
    assert line["off"] == 0


def test_a_value_beyond_the_line_gets_an_arrow_and_stays_on_it():
    for value, off in ((0.0100, 1), (-0.0100, -1)):
        line = verdicts.fit_line(finding(value=value, verdict="out"))
        assert line["off"] == off
        assert 0 < line["at"] < 1
        assert line["interval"] is None or 0 <= line["interval"][0] < line["interval"][1] <= 1


def test_without_a_limit_there_is_no_line():
    assert verdicts.fit_line(finding(lower=None, upper=None, verdict="no limit")) is None


def test_a_probability_is_never_rounded_up_to_certainty():
    assert [verdicts.percent(p) for p in (0.9999, 0.0001, 0.624)] == ["99 %", "1 %", "62 %"]


def test_open_points_say_how_far_out_and_leave_out_what_fits():
    told = verdicts.open_points(answer(finding(), finding("main.4", verdict="out", value=0.0034, probability=0.0)))
    assert [(r["where"], r["what"], r["value"], r["limits"], r["why"]) for r in told["rows"]] == [
        ("Main 4", "main oil clearance", "0.0034 ±0.0002 in", "0.0015 to 0.0025 in", "0.0009 in above the upper limit")
    ]


def test_open_points_of_one_kind_stand_together():
    close = [
        finding(f"main.{n}", verdict="too close to call", value=v, probability=p)
        for n, v, p in ((1, 0.0024, 0.8), (2, 0.0025, 0.5), (3, 0.0025, 0.5))
    ]
    (row,) = verdicts.open_points(answer(*close))["rows"]
    assert (row["where"], row["verdict"], row["why"]) == (
        "Main 1–3", "too close to call", "50 to 80 % likely to lie within")
    assert row["value"] == "0.0024 to 0.0025 ±0.0002 in"


def test_what_is_stale_stands_under_each_reason_for_it():
    both = finding("cyl.3", words="squish clearance", verdict="stale", stale=["block was honed", "block was decked"])
    rods = [finding(f"rod.{n}", words="rod oil clearance", verdict="stale", stale=["crank was ground"]) for n in (1, 2)]
    told = verdicts.open_points(answer(both, *rods))["stale"]
    assert told == [
        {"why": "Block was honed", "what": "Squish clearance at cyl 3."},
        {"why": "Block was decked", "what": "Squish clearance at cyl 3."},
        {"why": "Crank was ground", "what": "Rod oil clearance at rod 1, 2."},
    ]


def test_a_prediction_is_not_told_beside_its_measurement():
    measured = finding("rod.5", words="rod oil clearance", verdict="out", value=0.0034)
    predicted = measured | {"characteristic": "rod-oil-clearance-predicted", "words": "rod oil clearance, predicted"}
    other = predicted | {"station": "rod.6", "station_words": "rod 6"}
    told = verdicts.open_points(answer(measured, predicted, other))["rows"]
    assert [r["where"] for r in told] == ["Rod 5", "Rod 6"]


def test_sections_count_group_and_name_what_was_not_measured():
    found = [
        finding("main.1", authority="maker's sheet", source="sheet 3"),
        finding("main.2", value=0.0021, authority="maker's sheet", source="sheet 3"),
        finding("main.3", value=None, verdict="not measured", probability=None),
    ]
    (section,) = verdicts.sections(answer(*found))
    assert section["title"] == "Mains, rods, camshaft"
    assert section["counts"] == [{"verdict": "fits", "count": 2}, {"verdict": "not measured", "count": 1}]
    (group,) = section["groups"]
    assert (group["limits"], group["authority"]) == ("0.0015 to 0.0025 in", "maker's sheet: sheet 3")
    assert [(r["station"], r["value"], r["interval"], r["limits"]) for r in group["rows"]] == [
        ("Main 1", "0.0020", "0.0002", ""),
        ("Main 2", "0.0021", "0.0002", ""),
    ]
    assert section["unmeasured"] == "main oil clearance (main 3)."


def test_what_follows_from_the_same_sizes_everywhere_is_said_once():
    rows = [finding(f"cyl.{n}", words="rod ratio", entries=["sheet"]) for n in (1, 2, 3)]
    (group,) = verdicts.sections(answer(*rows))[0]["groups"]
    assert [r["station"] for r in group["rows"]] == ["Cyl 1–3"]
    rows = [finding(f"cyl.{n}", words="rod ratio") for n in (1, 2, 3)]  # alike by chance, from readings of their own
    assert len(verdicts.sections(answer(*rows))[0]["groups"][0]["rows"]) == 3


def test_places_with_other_limits_stand_under_their_own_heading():
    rows = [finding("top ring 1", words="ring end gap"), finding("oil ring 1", words="ring end gap", upper=0.0500)]
    groups = verdicts.sections(answer(*rows))[0]["groups"]
    assert [(g["title"], g["limits"]) for g in groups] == [
        ("Ring end gap, top ring", "0.0015 to 0.0025 in"),
        ("Ring end gap, oil ring", "0.0015 to 0.0500 in"),
    ]


def test_probability_stands_only_where_it_is_in_doubt():
    rows = [
        finding("main.1", probability=0.97),
        finding("main.2", verdict="too close to call", probability=0.96),
        finding("main.3", verdict="out", probability=0.01),
    ]
    (group,) = verdicts.sections(answer(*rows))[0]["groups"]
    assert [r["probability"] for r in group["rows"]] == ["", "96 %", ""]


def test_an_engine_with_no_reading_says_so():
    told = verdicts.summary(answer(readings=[]))["sentences"]
    assert [s["text"] for s in told] == [
        "Nothing has been read on this engine yet; what stands here follows from stated sizes alone."
    ]
