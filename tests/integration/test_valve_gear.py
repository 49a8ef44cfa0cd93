"""Springs, rockers and piston to valve on page, in JSON, on the command line and in the record; every layout, inch and metric."""

import json
import math
import re

import pytest

from benches import Served
from tenths.cli import run
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.record.report_gear import gear_part
from tenths.services import commands
from tenths.services.shop import open_shop
from tenths.services.valve_clearance import valve_clearance
from tenths.services.valve_rocker import hot_lash, valve_rocker
from tenths.services.valve_springs import valve_springs

STATED = {
    "engine": {"intake-duration": "268 deg", "exhaust-duration": "272 deg", "intake-centre": "106 deg", "exhaust-centre": "112 deg",
               "intake-valve-lift": "11.8 mm", "exhaust-valve-lift": "11.6 mm", "redline": "7000"},
    "pin.*": {"stroke": "88 mm"}, "rod.*": {"rod-length": "150 mm"}, "gasket.*": {"gasket-thickness": "1.0 mm"},
    "cyl.*": {"deck-clearance": "0.2 mm"},
    "valve.*.*": {"valve-lean": "12 deg", "head-diameter": "45 mm", "pocket-depth": "1.5 mm", "pocket-diameter": "49 mm",
                  "spring-rate": "62 N/mm", "spring-free-height": "56 mm", "bind-height": "30 mm", "spring-wire": "4.6 mm",
                  "spring-coil": "30 mm", "spring-coils": "4.5", "rocker-arm": "41 mm", "rocker-push-arm": "25.6 mm",
                  "rocker-between": "168 deg", "lifter-across": "29 mm", "lifter-lean": "7 deg", "push-rod-length": "196 mm"},
}


def lay(shop, layout="inline-4", units="metric"):
    engine = commands.open_engine(shop, name="Plover", layout=layout, units=units)
    commands.state(shop, engine, *(bodies.SizeStated(station=at, feature=f, text=text) for at, rows in STATED.items()
                                   for f, text in rows.items()))
    build = shop.build(engine)
    for station in (f"valve.{build.layout.labels[0]}.{v}" for v in build.layout.valves):
        for feature, text in (("valve-drop", "1.2 mm"), ("installed-height", "45.6 mm"), ("nose-height", "4.1 mm")):
            shop.append(engine, bodies.ReadingTaken(station=station, feature=feature, text=text))
    return engine


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    served = Served(tmp_path_factory.mktemp("shop"), demo=False)
    lay(served.shop)
    return served


@pytest.mark.parametrize("units", ["inch", "metric"])
@pytest.mark.parametrize("layout", ["single", "v8-90-cross-plane", "flat-4", "inline-4, valves in1 in2 ex1 ex2, cams two per bank"])
def test_any_layout_in_either_units(shop, layout, units):
    engine = lay(shop, layout, units)
    room, springs, rockers = (ask(shop, engine) for ask in (valve_clearance, valve_springs, valve_rocker))
    unit = {"inch": "in", "metric": "mm"}[units]
    first = [row for row in room["valves"] if row["clearance"]["text"]]
    assert {row["side"] for row in first} == {"intake", "exhaust"}
    assert all(row["clearance"]["unit"] == unit and row["angle"] is not None for row in first)
    assert [c["side"] for c in room["curves"]] == ["intake", "exhaust"]
    sprung = [row for row in springs["valves"] if row["installed"]["text"]]
    assert len(sprung) == len(shop.build(engine).layout.valves)
    assert all(row["wires"][0]["modes"] for row in sprung)
    assert any(row["ratio_mean"] for row in rockers["valves"])
    files = {}
    part = gear_part(shop, engine, "", files)
    assert all(part[name] for name in ("rooms", "springs", "rockers"))
    assert all(row["file"] in files and row["alt"] for row in part["plots"])


def test_numbers_are_those_of_the_check(served):
    shop = served.shop
    room = {row["station"]: row for row in valve_clearance(shop, "plover")["valves"]}
    with served.client() as client:
        found = client.get("/api/engines/plover/findings").json()
    rows = found["findings"] if isinstance(found, dict) else found
    checked = {row["station"]: row["value"] for row in rows if row["characteristic"] == "piston-to-valve" and row["value"] is not None}
    assert set(checked) == {"valve.1.in", "valve.1.ex"}
    for station, value in checked.items():
        assert room[station]["clearance"]["value"] == pytest.approx(value, rel=1e-6)
        assert room[station]["reckoned"]["value"] == pytest.approx(value, rel=1e-6)


def test_the_api_holds_its_shapes_and_tries_what_it_is_asked(served):
    with served.client() as client:
        for name in ("valve-clearance", "springs", "rocker"):
            assert client.get(f"/api/engines/plover/{name}").status_code == 200
        plain = client.get("/api/engines/plover/valve-clearance").json()
        tried = client.get("/api/engines/plover/valve-clearance?advance=4&cut=0.25").json()
        wrong = client.get("/api/engines/plover/valve-clearance?cut=lots")
    assert plain["tried"] == []
    assert [t["name"] for t in tried["tried"]] == ["advance", "cut"]
    by_side = {row["side"]: row for row in tried["valves"] if row["changed"]["value"] is not None}
    assert by_side["intake"]["changed"]["value"] < by_side["intake"]["clearance"]["value"] - 0.25
    # a cut takes its whole depth off in a flat pocket, less by the lean's cosine; an exhaust valve that closes earlier gains
    assert by_side["exhaust"]["changed"]["value"] > by_side["exhaust"]["clearance"]["value"] - 0.25
    assert wrong.status_code == 422
    assert "cut" in wrong.text


def test_the_page_shows_all_three_and_can_be_read_without_javascript(served):
    with served.client() as client:
        page = client.get("/e/plover/running/gear?advance=2")
        assert page.status_code == 200
        text = page.text
        for words in ("Piston to valve", "As tried", "Springs are under load", "Rockers and push-rods", "before the coils bind"):
            assert words.lower() in text.lower()
        plots = re.findall(r'<noscript><img src="([^"]+)" alt="([^"]+)"', text)
        assert len(plots) == len(json.loads(re.search(r'id="specs">(.*?)</script>', text, re.DOTALL)[1])) == 5
        assert all("<path" in client.get(address).text for address, _ in plots)
        wrong = client.get("/e/plover/running/gear?advance=soon")
        assert wrong.status_code == 200
        assert "soon" in wrong.text


def test_the_page_stands_whatever_is_known(tmp_path):
    """Nothing; one installed height alone; one piece of clay alone; an arm alone."""
    served = Served(tmp_path, demo=False)
    engine = commands.open_engine(served.shop, name="Teal", layout="single", units="inch")
    with served.client() as client:
        assert "Nothing of the valve gear yet" in client.get(f"/e/{engine}/running/gear").text
        for feature, text in (("installed-height", "1.900"), ("clay-thickness", "0.090"), ("nose-height", "0.200")):
            served.shop.append(engine, bodies.ReadingTaken(station="valve.1.in", feature=feature, text=text))
            assert client.get(f"/e/{engine}/running/gear").status_code == 200
        commands.state(served.shop, engine, bodies.SizeStated(station="valve.*.*", feature="rocker-arm", text="1.6"))
        assert client.get(f"/e/{engine}/running/gear").status_code == 200


def test_sizes_that_cannot_be_are_said_in_their_place_and_break_nothing(shop):
    engine = lay(shop)
    for feature, text in (("spring-wire", "0.4 mm"), ("inner-spring-wire", "3 mm"), ("inner-spring-coil", "4 mm"),
                          ("inner-spring-coils", "5"), ("bind-height", "90 mm"), ("lifter-across", "400 mm")):
        commands.state(shop, engine, bodies.SizeStated(station="valve.1.in", feature=feature, text=text))
    for feature in ("tested-height-closed", "tested-load-closed", "tested-height-open", "tested-load-open", "valve-lift"):
        shop.append(engine, bodies.ReadingTaken(station="valve.1.in", feature=feature, text="0.005"))
    row = valve_springs(shop, engine)["valves"][0]
    assert "mean_diameter is" in row["wires"][0]["wrong"]
    assert "unlike heights" in row["tester"]["wrong"]
    assert row["bind_verdict"] == "out"
    assert "is needed from the cup" in valve_rocker(shop, engine)["valves"][0]["missing"]
    assert valve_clearance(shop, engine)["valves"]


def test_an_engine_of_which_nothing_is_known_says_what_to_do(shop):
    engine = commands.open_engine(shop, name="Teal", layout="single", units="inch")
    assert valve_clearance(shop, engine)["curves"] == []
    assert "valve drop" in valve_clearance(shop, engine)["valves"][0]["missing"]
    assert gear_part(shop, engine, "", {}) is None
    with pytest.raises(BadInput, match="'lobe' is not tried here; advance, cut are"):
        valve_clearance(shop, engine, given={"lobe": "1"})


def test_lash_grows_by_what_the_pieces_do_by_hand(shop):
    engine = lay(shop)
    told = hot_lash(shop, engine, cold="0.30", ratio=1.5, pieces=["pivot:200 mm:aluminium:60", "push:200 mm:steel:60", "tip:100:steel:100"])
    # 200 x 23e-6 x 60 = 0.276, 200 x 11.5e-6 x 60 = 0.138, 100 x 11.5e-6 x 100 = 0.115; 0.3 + 2.5 x 0.276 - 1.5 x 0.138 - 0.115
    assert told["hot"]["value"] == pytest.approx(0.3 + 0.69 - 0.207 - 0.115)
    with pytest.raises(BadInput, match="piece: 'pivot:1:cheese:3' is not"):
        hot_lash(shop, engine, cold="0.30", ratio=1.5, pieces=["pivot:1:cheese:3"])


def test_a_lobe_that_was_read_tells_its_own_room_beside_that_of_the_card(shop):
    """Readings of a lobe of our own shape: the room is that of a scan over it, and what to state brings the check there."""
    engine = lay(shop)

    def lobe(degrees):
        x = 1 - abs(degrees - 106) / 140
        return 11.8 * (10 * x**3 - 15 * x**4 + 6 * x**5) if x > 0 else 0.0

    shop.append(engine, bodies.WheelZeroed(cylinder="1", before=("-30",), after=("30",)))
    points = tuple(bodies.LobePoint(angle=f"{a:g}", lift=f"{lobe(a):.4f} mm") for a in range(-40, 254, 3))
    shop.append(engine, bodies.LobeRead(station="lobe.1.in", points=points, at="valve"))
    row = next(r for r in valve_clearance(shop, engine)["valves"] if r["station"] == "valve.1.in")
    lean, least = math.radians(12), math.inf
    for k in range(-4000, 4001):
        t = math.radians(k / 100)
        down = 44 + 150 - 44 * math.cos(t) - math.sqrt(150**2 - (44 * math.sin(t)) ** 2)
        least = min(least, (1.2 + 1.0 + 0.2 + 1.5) / math.cos(lean) + down * math.cos(lean) - lobe(k / 100))
    assert "98 readings" in row["lobe"]
    assert row["reckoned"]["value"] == pytest.approx(least, abs=0.01)
    stated = bodies.SizeStated(station="valve.1.in", feature="lobe-shape", text=f"{row['shape']['value']:.4f} mm", tolerance="0.02 mm")
    commands.state(shop, engine, stated)
    after = next(r for r in valve_clearance(shop, engine)["valves"] if r["station"] == "valve.1.in")
    assert after["clearance"]["value"] == pytest.approx(row["reckoned"]["value"], abs=1e-3)


@pytest.mark.parametrize("words", [["valve-clearance", "plover", "--with", "advance=4"], ["springs", "plover"], ["rocker", "plover"],
                                   ["rocker", "plover", "--lash", "0.3", "--piece", "pivot:200 mm:aluminium:60"]])
def test_the_commands_say_it_and_write_json(tmp_path, capsys, words):
    lay(open_shop(tmp_path, person="Ada Quill"))
    assert run(["--shop", str(tmp_path), *words]) == 0
    told = capsys.readouterr().out
    assert max(map(len, told.splitlines())) <= 80
    assert run(["--shop", str(tmp_path), *words, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)


def test_the_commands_say_what_to_do_first_and_refuse_pieces_without_a_lash(tmp_path, capsys):
    commands.open_engine(open_shop(tmp_path, person="Ada Quill"), name="Teal", layout="single", units="inch")
    assert run(["--shop", str(tmp_path), "valve-clearance", "teal"]) == 0
    assert "read clay-thickness or touch-travel" in " ".join(capsys.readouterr().out.split())
    assert run(["--shop", str(tmp_path), "rocker", "teal", "--piece", "pivot:9 in:steel:60"]) == 2
    assert "give the lash cold too" in capsys.readouterr().err
