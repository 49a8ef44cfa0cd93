"""Choices of shells from the log: which halves, which rules, what a cap that was read teaches. All sums by hand, in inches."""

import pytest

from engines import ENGINE, HOUSING, JOURNAL, WALL, half, read, read_mains, say, wren
from shops import shop_in_memory
from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.services import choosing, half_list
from tenths.services.seats import seat_rows
from tenths.services.shells import shell_question
from tenths.services.what_if import Change, thought


@pytest.fixture
def shop(tmp_path):
    made = shop_in_memory(tmp_path)
    wren(made)
    return made


def answered(shop):
    found = {a["question"]: a for a in choosing.choices(shop, ENGINE)}
    return found["main-shells"]


def picks(answer):
    return {p["station"]: p["pick"] for p in answer["picks"]}


def clearances(answer):
    return [pytest.approx(p["value"], abs=2e-6) for p in answer["predicted"]]


def six_standard(shop, **walls):
    """A standard half for every side, walls in the order of mains; those not named are at their size."""
    for n in (1, 2, 3):
        for side in ("upper", "lower"):
            name = f"{side[0]}{n}"
            half(shop, name, walls.get(name, WALL), side=side, box="1")


def test_nothing_is_asked_before_the_walls_of_shells_are_known(shop):
    read_mains(shop)
    assert [a["question"] for a in choosing.choices(shop, ENGINE)] == []


def test_each_half_counts_with_its_own_wall(shop):
    read_mains(shop, housing={2: HOUSING + 0.0002})
    six_standard(shop, u3=WALL + 0.0002)
    answer = answered(shop)
    assert picks(answer)["main.2.shell.upper"] == "u3"  # two tenths more metal where there are two tenths more room
    assert clearances(answer) == [0.0020, 0.0020, 0.0020]  # housing - journal - walls, and crush is thought to be none


def test_a_size_that_was_not_read_is_taken_from_those_that_were(shop):
    read_mains(shop, journal={2: JOURNAL - 0.0005})  # half a thou loose: one half of -1 cures it
    six_standard(shop, **{f"{s}{n}": WALL + 0.0001 for s in "ul" for n in (1, 2, 3)})
    answer = answered(shop)
    found = picks(answer)
    assert found.pop("main.2.shell.lower") == "-1"
    assert set(found.values()) < {f"{s}{n}" for s in "ul" for n in (1, 2, 3)}
    # 0.0020 less two tenths of metal at each; at main 2 half a thou more room, and half a thou more wall from the -1
    assert clearances(answer) == [0.0018, 0.0018, 0.0018]
    assert answer["drawing"]["options"][0]["boxes"] == [{"label": "-1", "count": 1}]


def test_the_set_that_halves_came_from_is_open_and_not_counted_twice(shop):
    read_mains(shop)
    six_standard(shop)
    question = shell_question(shop.build(ENGINE), "main")
    assert sorted(box.label for box in question.question.stock.boxes) == ["+1", "-1"]


@pytest.mark.parametrize(("rule", "lower"), [("", "-1"), ('[shells]\nthicker = "unloaded"\n', "l2")])
def test_the_thicker_half_goes_where_the_house_wants_it(tmp_path, rule, lower):
    shop = shop_in_memory(tmp_path)
    wren(shop, house=rule)
    read_mains(shop, journal={2: JOURNAL - 0.0005})
    six_standard(shop)
    assert picks(answered(shop))["main.2.shell.lower"] == lower  # the cap carries the load of a main


def test_a_house_that_mixes_no_sizes_takes_what_comes_nearest(tmp_path):
    shop = shop_in_memory(tmp_path)
    wren(shop, house="[shells]\nmixed = false\n")
    read_mains(shop, journal={2: JOURNAL - 0.0004})
    six_standard(shop)
    assert {picks(answered(shop))[f"main.2.shell.{side}"] for side in ("upper", "lower")} == {"u2", "l2"}


@pytest.mark.parametrize(("text", "says"), [
    ('[shells]\nthicker = "left"\n', "thicker = 'left'"), ("[shells]\nmixed = 1\n", "mixed = 1"),
    ('[shells]\nstep = "much"\n', "step"), ('[shells]\nsteps = "0.001 in"\n', "'steps'"), ('[shells]\nstep = "-0.001 in"\n', "zero")])
def test_rules_that_cannot_be_are_refused_by_name(tmp_path, text, says):
    with pytest.raises(BadInput, match=says):
        wren(shop_in_memory(tmp_path), house=text)


def test_grooved_and_flanged_halves_go_where_they_are_asked_for(shop):
    read_mains(shop)
    six_standard(shop)
    half(shop, "g1", WALL, side="upper", box="1", grooved=True)
    half(shop, "f1", WALL, side="upper", box="1", flanged=True)
    half(shop, "f2", WALL, side="lower", box="1", flanged=True)
    say(shop, bodies.SeatStated(station="main.1", side="upper", groove="grooved"),
        bodies.SeatStated(station="main.3", flanged=True))
    found = picks(answered(shop))
    assert (found["main.1.shell.upper"], found["main.3.shell.upper"], found["main.3.shell.lower"]) == ("g1", "f1", "f2")
    assert {(r["station"], r["side"], r["groove"], r["flanged"]) for r in seat_rows(shop, ENGINE)} == {
        ("main.1", "upper", "grooved", False), ("main.3", "upper", "either", True), ("main.3", "lower", "either", True)}


def test_a_set_with_grooves_above_serves_a_place_that_asks_for_one(shop):
    read_mains(shop)
    six_standard(shop)
    say(shop, bodies.SeatStated(station="main.2", side="upper", groove="grooved"))
    stopped = answered(shop)
    assert not stopped["possible"]
    assert stopped["stops"][0]["station"] == "main.2"
    assert "grooved upper half" in stopped["stops"][0]["words"]
    say(shop, bodies.StockCounted(kind="main-shell", size="+1", change="0.001", sets=1, grooved="upper"))
    assert picks(answered(shop))["main.2.shell.upper"] == "+1"


def test_a_window_that_is_missed_names_the_place_the_limit_and_the_smallest_change(shop):
    read_mains(shop, journal={3: JOURNAL - 0.0030})  # clearance 0.0050, and a pair of -1 takes but 0.0010 of it
    six_standard(shop)
    stop = answered(shop)["stops"][0]
    assert stop["station"] == "main.3"
    assert "0.00400 in" in stop["words"]
    assert "largest clearance 0.00300 in" in stop["words"]
    assert "0.00100 in more away" in stop["words"]


def test_what_is_kept_stays_until_it_may_come_out_again(shop):
    read_mains(shop, housing={2: HOUSING + 0.0002})
    six_standard(shop, u3=WALL + 0.0002)
    say(shop, bodies.PartFitted(slot="main.3.shell.upper", part="u3"), bodies.PartFitted(slot="main.3.shell.lower", part="l3"),
        bodies.SeatStated(station="main.3", kept=True))
    kept = answered(shop)
    assert "main.3.shell.upper" not in picks(kept)
    assert picks(kept)["main.2.shell.upper"] != "u3"
    assert kept["drawing"]["options"][0]["places"][2]["upper"] == {"id": "u3", "size": "std", "stays": True}
    say(shop, bodies.SeatStated(station="main.*", kept=False))
    assert picks(answered(shop))["main.2.shell.upper"] == "u3"


def test_of_halves_alike_each_stays_where_it_is(shop):
    read_mains(shop)
    six_standard(shop)
    say(shop, *(bodies.PartFitted(slot=f"main.{n}.shell.{side}", part=f"{side[0]}{4 - n}")
                for n in (1, 2, 3) for side in ("upper", "lower")))
    assert picks(answered(shop))["main.1.shell.upper"] == "u3"


def fit_and_read(shop, number, bore):
    say(shop, *(bodies.PartFitted(slot=f"main.{number}.shell.{side}", part=f"{side[0]}{number}") for side in ("upper", "lower")))
    for side in ("upper", "lower"):
        read(shop, f"main.{number}.shell.{side}", "shell-wall", WALL, "crown")
    read(shop, f"main.{number}", "installed-bore", bore, "B front")


def test_a_cap_that_was_read_teaches_the_others_and_says_what_can_be_put_away(shop):
    read_mains(shop)
    six_standard(shop)
    before = shell_question(shop.build(ENGINE), "main")
    assert before.needs == ()
    fit_and_read(shop, 1, HOUSING - 2 * WALL - 0.0004)  # four tenths of crush
    after = shell_question(shop.build(ENGINE), "main")
    average = after.crush.learned.average
    inch = 0.0254
    # normal prior 0 +- 2 tenths against one reading of -4 tenths: between the two, and surer than the prior
    assert -0.0004 * inch < average.value < -0.0001 * inch
    assert average.u < 0.0002 * inch
    places = {p.station: p for p in after.question.places}
    assert places["main.2"].crush.value == pytest.approx(average.value)
    assert places["main.1"].crush.value == 0.0  # its crush is in the reading
    answer = answered(shop)
    assert any(note.startswith("From 1 cap read, for the 2 not yet read: crush comes to -") for note in answer["notes"])
    needed = {row["size"]: row["needed"] for row in answer["still_needed"]}
    assert needed["std"]  # a tight housing may want a +1, never a -1
    assert not needed["-1"]
    assert any(note.startswith("-1 can be put away") for note in answer["notes"])


def test_the_more_caps_are_read_the_surer_the_crush(shop):
    read_mains(shop)
    six_standard(shop)
    doubts = []
    for number in (1, 2):
        fit_and_read(shop, number, HOUSING - 2 * WALL - 0.0002)
        doubts.append(shell_question(shop.build(ENGINE), "main").crush.learned.average.u)
    assert doubts[1] < doubts[0]


def test_halves_without_a_name_are_supposed_to_be_standard_and_that_is_said(shop):
    read(shop, "main.1", "installed-bore", JOURNAL + 0.0030, "B front")
    read(shop, "main.1", "journal", JOURNAL, "1 front")
    answer = answered(shop)
    assert picks(answer) == {"main.1.shell.upper": "-1", "main.1.shell.lower": "-1"}  # a thou less than with standard ones
    assert clearances(answer) == [0.0020]
    assert any(n.startswith("main.1: read with halves that have no name") for n in answer["notes"])
    assert any(n == "main.2 and main.3 are left out: the clearance is neither read nor can it be predicted." for n in answer["notes"])


def test_accepting_keeps_all_that_stood_in_view(shop):
    read_mains(shop, journal={2: JOURNAL - 0.0005})
    six_standard(shop)
    answer = answered(shop)
    entry = choosing.accept(shop, ENGINE, "main-shells", option=1, words="the customer has these")
    body = bodies.decode(entry.type, entry.schema, entry.body)
    assert body.reasons == (answer["alternatives"][0]["words"],)
    assert len(body.others) == len(answer["alternatives"])
    assert body.drawing["options"][0] == answer["drawing"]["options"][1]
    assert body.drawing["options"][1] == answer["drawing"]["options"][0]
    assert {p.station: p.pick for p in body.picks} == {p["station"]: p["pick"] for p in answer["alternatives"][0]["picks"]}


def test_a_half_out_of_a_sealed_box_says_so_in_the_log(shop):
    read_mains(shop, journal={2: JOURNAL - 0.0005})
    six_standard(shop)
    entry = choosing.accept(shop, ENGINE, "main-shells")
    body = bodies.decode(entry.type, entry.schema, entry.body)
    assert {p.station: p.box for p in body.picks if p.box} == {"main.2.shell.lower": "-1"}


# -- what if ----------------------------------------------------------------------------------------------------------

def test_grinding_a_tenth_gives_each_place_a_tenth(shop):
    read_mains(shop)
    six_standard(shop)
    found = thought(shop, ENGINE, "main-shells", Change(grind="0.0001 in"))
    assert clearances(found["now"]) == [0.0020] * 3
    assert clearances(found["then"]) == [0.0021] * 3
    assert found["change"] == "main journals ground by 0.0001 in"
    assert shop.build(ENGINE).position == found["now"]["position"]


def test_one_more_box_of_a_size_not_seen_before(shop):
    read_mains(shop, journal=dict.fromkeys((1, 2, 3), JOURNAL - 0.002))  # 0.0040: a -1 pair still leaves 0.0030
    six_standard(shop)
    found = thought(shop, ENGINE, "main-shells", Change(box="-2=-0.002 in"))
    assert {p["pick"] for p in found["then"]["picks"]} == {"-2"}
    assert clearances(found["then"]) == [0.0020] * 3
    assert found["words"].startswith("one more box of -2=-0.002 in: the worst place is 0.00000 in off its target")


def test_places_can_be_kept_in_thought(shop):
    read_mains(shop, housing={2: HOUSING + 0.0002})
    six_standard(shop, u3=WALL + 0.0002)
    say(shop, bodies.PartFitted(slot="main.3.shell.upper", part="u3"), bodies.PartFitted(slot="main.3.shell.lower", part="l3"))
    found = thought(shop, ENGINE, "main-shells", Change(keep="main.3"))
    assert {p["station"] for p in found["then"]["picks"]} == {f"main.{n}.shell.{s}" for n in (1, 2) for s in ("upper", "lower")}
    assert len(found["now"]["picks"]) == 6


@pytest.mark.parametrize(("change", "says"), [
    (Change(), "nothing is changed"), (Change(box="12"), "'12' is not among"), (Change(grind="two"), "grind"),
    (Change(grind="-0.001"), "0 to 0.1 in"), (Change(hone="1 in"), "0 to 0.1 in"), (Change(keep="main.9"), "'main.9'"),
    (Change(box="12=lots"), "change of clearance")])
def test_a_change_that_cannot_be_is_named(shop, change, says):
    read_mains(shop)
    six_standard(shop)
    with pytest.raises(BadInput, match=says):
        thought(shop, ENGINE, "main-shells", change)


def test_what_if_is_told_in_the_units_asked_for_and_typed_in_the_engines_own(shop):
    read_mains(shop)
    six_standard(shop)
    found = thought(shop, ENGINE, "main-shells", Change(grind="0.0001"), "metric")
    assert [(p["unit"], round(p["value"], 5)) for p in found["then"]["predicted"]] == [("mm", 0.05334)] * 3  # 0.0021 in
    assert found["words"].endswith("0.0025 mm off its target, +0.0025 mm against now.")
    assert found["then"]["drawing"]["options"][0]["places"][0]["unit"] == "mm"


def test_what_if_is_asked_of_shells_only(shop):
    with pytest.raises(BadInput, match="ring-gaps"):
        thought(shop, ENGINE, "ring-gaps", Change(grind="0.0001"))


# -- halves -----------------------------------------------------------------------------------------------------------

def test_halves_are_named_in_order_and_none_is_taken_when_one_is_wrong(shop):
    first = half_list.list_halves(shop, ENGINE, half_list.Halves("main-shell", "std", ("0.0990", "0.0991"), side="upper"))
    again = half_list.list_halves(shop, ENGINE, half_list.Halves("main-shell", "std", ("0.0989",), side="upper"))
    assert [row["half"] for row in (*first, *again)] == ["main-std-u-1", "main-std-u-2", "main-std-u-3"]
    with pytest.raises(BadInput, match="shell-wall"):
        half_list.list_halves(shop, ENGINE, half_list.Halves("main-shell", "std", ("0.0990", "thick"), side="upper"))
    assert [row["half"] for row in half_list.half_rows(shop, ENGINE)] == ["main-std-u-1", "main-std-u-2", "main-std-u-3"]
    with pytest.raises(BadInput, match="'\\+3' of main-shell is not counted"):
        half_list.list_halves(shop, ENGINE, half_list.Halves("main-shell", "+3", ("0.0990",)))
