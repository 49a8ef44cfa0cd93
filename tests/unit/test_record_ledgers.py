"""How the record sets readings and parts. Rows are made up here; what is expected is written by hand."""

from tenths.record import ledgers


def reading(text="2.4890", place="", **more):
    return {
        "entry": "e",
        "position": 1,
        "at": "2026-03-02T08:15:00.000Z",
        "person": "Ines Vale",
        "station": "main.1",
        "base": "main.1",
        "station_words": "main 1",
        "slot_words": "",
        "feature": "journal",
        "place": place,
        "words": "journal diameter",
        "text": text,
        "unit": "in",
        "instrument": "mic",
        "set_to": "",
        "note": "",
        "temperature": "",
        "stale": "",
        "problem": "",
        "struck": "",
        "struck_by": "",
        "struck_at": "",
    } | more


def told(*rows, **more):
    answer = {
        "readings": list(rows),
        "instruments": [{"instrument": "mic"}, {"instrument": "gauge"}],
        "stations": [{"station": "main.1", "order": 1}, {"station": "main.2", "order": 2}],
    } | more
    return ledgers.readings(answer)


def grid(group):
    rows = [(r["label"], [[c["text"] for c in cell] for cell in r["cells"]]) for r in group["matrix"]["rows"]]
    return group["matrix"]["columns"], rows


def test_places_named_by_row_and_column_become_a_small_table():
    rows = [
        reading(f"2.489{i}", f"{axis} {end}")
        for i, (axis, end) in enumerate([("1", "front"), ("2", "front"), ("1", "rear")])
    ]
    (group,) = told(*rows)["stations"][0]["groups"]
    assert grid(group) == (["front", "rear"], [("1", [["2.4890"], ["2.4892"]]), ("2", [["2.4891"], []])])
    assert (group["what"], group["unit"], group["by"]) == ("journal diameter", "in", "A · 2 Mar 08:15")


def test_the_shorter_way_of_the_table_is_up():
    rows = [reading(place=f"{axis} {end}") for axis in "ABC" for end in ("front", "rear")]
    (group,) = told(*rows)["stations"][0]["groups"]
    assert group["matrix"]["columns"] == ["A", "B", "C"]


def test_a_struck_reading_stays_in_its_place_with_the_reason():
    struck = reading(
        "2.4989", "1 front", struck="digits swapped", struck_by="Ola Berg", struck_at="2026-03-03T09:00:00Z"
    )
    (group,) = told(struck, reading("2.4889", "1 front"), reading(place="2 front"), reading(place="1 rear"))[
        "stations"
    ][0]["groups"]
    cell = group["matrix"]["rows"][0]["cells"][0]
    assert [(c["text"], c["struck"]) for c in cell] == [("2.4989", True), ("2.4889", False)]
    assert group["notes"] == ["1 front: struck by Ola Berg, 3 Mar: digits swapped"]


def test_other_instruments_people_days_and_settings_stand_apart():
    rows = [
        reading(),
        reading(instrument="gauge", set_to="2.6800 in", text="+3 tenths"),
        reading(person="Ola Berg"),
        reading(at="2026-03-03T08:15:00.000Z"),
    ]
    groups = told(*rows)["stations"][0]["groups"]
    assert [(g["unit"], g["by"]) for g in groups] == [
        ("in", "A · Ines Vale · 2 Mar 08:15"),
        ("set to 2.6800 in", "B · Ines Vale · 2 Mar 08:15"),
        ("in", "A · Ola Berg · 2 Mar 08:15"),
        ("in", "A · Ines Vale · 3 Mar 08:15"),
    ]


def test_a_unit_that_was_typed_is_not_written_again():
    assert told(reading("57.111 mm"))["stations"][0]["groups"][0]["unit"] == ""
    assert told(reading("2 1/4"))["stations"][0]["groups"][0]["unit"] == "in"


def test_stations_stand_in_walking_order_and_loose_parts_last():
    rows = [
        reading(base="part.x", station_words="loose part x"),
        reading(base="main.2", station_words="main 2"),
        reading(),
    ]
    assert [s["title"] for s in told(*rows)["stations"]] == ["Main 1", "Main 2", "Loose part x"]


def test_letters_go_on_after_z():
    names = [{"instrument": str(n)} for n in range(30)]
    assert [ledgers.letters(names)[str(n)] for n in (0, 25, 26, 29)] == ["A", "Z", "AA", "AD"]


def test_parts_that_only_differ_in_place_stand_together():
    def shell(n, serial=""):
        return {
            "slot": f"main.{n}.shell.upper",
            "slot_words": f"main {n}, upper shell",
            "part": f"s{n}",
            "kind": "main-shell",
            "words": "upper half",
            "maker": "",
            "number": "",
            "serial": serial,
            "size": "10",
            "at": "2026-03-02T08:15:00Z",
            "all_along": False,
        }

    answer = {"fitted": [shell(1), shell(2), shell(3)], "parts": [], "machining": []}
    (row,) = ledgers.parts(answer)["fitted"]
    assert row == {
        "where": "Main 1–3, upper shell",
        "what": "main shell, upper half, size 10",
        "identity": "",
        "since": "2 Mar",
    }
    answer["fitted"] = [shell(1, "S1"), shell(2, "S2")]
    assert ledgers.parts(answer)["fitted"][0]["identity"] == "serial S1, S2"


def test_rules_per_journal_are_said_as_a_factor():
    rule = {
        "words": "main oil clearance",
        "station": "",
        "uses": ["circuit", "drag"],
        "per": "journal",
        "lower": 0.00075,
        "upper": 0.001,
        "target": None,
        "source": "house",
    }
    plain = rule | {"per": "", "uses": [], "lower": None, "upper": "0.002 in"}
    told_rules = ledgers.house({"house": {"adopted": "2026-03-02", "skip": [], "limits": [rule, plain]}})["rules"]
    assert [(r["limits"], r["where"]) for r in told_rules] == [
        ("0.00075 to 0.001 × journal", "circuit or drag"),
        ("at most 0.002 in", ""),
    ]


def test_what_belongs_to_a_cylinder_stands_under_it():
    rows = [
        reading(base="cyl.1", station_words="cylinder 1", words="bore"),
        reading(base="cyl.1.ring.top", station_words="top ring 1", words="ring end gap"),
        reading(base="cyl.1.piston", station_words="piston 1", words="skirt at the gauge point"),
        reading(base="cyl.1.pin", station_words="piston pin 1", words="piston pin diameter"),
        reading(base="chamber.1", station_words="chamber 1", words="chamber volume"),
        reading(base="cyl.11", station_words="cylinder 11", words="bore"),
    ]
    stations = told(*rows)["stations"]
    assert [s["title"] for s in stations] == ["Cylinder 1", "Cylinder 11"]
    assert {g["what"] for g in stations[0]["groups"]} == {
        "bore", "top ring: ring end gap", "piston: skirt at the gauge point", "piston pin diameter", "chamber volume"}


def test_places_that_leave_most_of_a_table_empty_stand_in_line():
    rows = [reading(place="A front"), reading(place="B rear")]
    (group,) = told(*rows)["stations"][0]["groups"]
    assert group["matrix"] is None
    assert [c["place"] for c in group["cells"]] == ["A front", "B rear"]
