"""Steps as the pages show them: each once, grouped by kind, a caution at its first step alone, reasons in the shop's words."""

from tenths.bench import ahead_pages, work_rows


def row(step, words="Do it", *, state="now", station="engine", waits=(), caution="", new=True, running=(), branch=""):
    return {"step": step, "name": step.partition("@")[0], "branch": branch, "words": words, "station": station, "station_words": station,
            "stage": "one", "state": state, "offered": state == "now", "status": "open", "waits": list(waits), "caution": caution,
            "caution_new": new, "running": [{"person": p, "since": "2026-05-04T08:00:00.000Z"} for p in running]}


def wait(what, plain, kind="step"):
    return {"kind": kind, "what": what, "words": f"{plain} there", "plain": plain}


def test_steps_of_one_kind_in_a_row_are_a_group_and_a_branch_is_another():
    rows = [row("hone@cyl.1", "Hone"), row("hone@cyl.2", "Hone"), row("deck", "Deck"), row("hone@cyl.3", "Hone", branch="again")]
    assert [[r["step"] for r in g["rows"]] for g in work_rows.grouped(rows)] == [["hone@cyl.1", "hone@cyl.2"], ["deck"], ["hone@cyl.3"]]


def test_what_a_group_waits_for_is_counted_by_what_it_is_and_not_by_who_waits():
    bore = wait("bore", "Bore")
    rows = [row(f"hone@cyl.{k}", "Hone", state="waits", waits=[bore, wait(f"deck@{k % 2}", "Deck")]) for k in range(1, 5)]
    (group,) = work_rows.grouped(rows)
    assert group["waits"] == [{"words": "Bore", "of": 1}, {"words": "Deck", "of": 2}]
    assert group["more"] == 0


def test_what_is_done_or_can_be_done_waits_for_nothing_even_when_its_list_is_long():
    rows = [row("a", waits=[wait("x", "X")]), row("b", state="done", waits=[wait("y", "Y")])]
    assert [g["waits"] for g in work_rows.grouped(rows)] == [[], []]


def test_a_caution_stands_at_the_first_of_its_steps_and_not_where_it_was_told_before():
    rows = [row("a", caution="Lift it."), row("b", caution="Lift it."), row("c", caution="Hot."), row("d", caution="Old.", new=False)]
    assert work_rows.warn_once(rows) == {"a", "c"}


def test_nobody_and_no_step_is_told_twice():
    rows = {r["step"]: r for r in (row("a", "A"), row("b", "B"), row("c", "C"), row("d", "D", running=("Tom", "Ines")),
                                   row("e", "E", running=("Guest",)))}
    answer = {"people": [{"person": "Ines", "at": ["d"], "next": "", "why": ""}, {"person": "Tom", "at": ["d"], "next": "", "why": ""},
                         {"person": "Ada", "at": [], "next": "a", "why": "first"}],
              "offered": [{"step": s} for s in ("a", "b", "d", "c")]}
    people, further = work_rows.by_person(answer, rows)
    shown = [r["step"] for p in people for r in (*p["at"], *([p["next"]] if p["next"] else ()))]
    shown += [r["step"] for g in further for r in g["rows"]]
    assert sorted(shown) == ["a", "b", "c", "d", "e"]
    assert [(p["person"], [r["step"] for r in p["at"]]) for p in people] == [("Ines", ["d"]), ("Tom", []), ("Ada", []), ("Guest", ["e"])]


def test_a_reason_of_the_plan_is_told_in_words_and_other_words_stay():
    steps = {"kestrel": {"surface-head@head.B": row("surface-head@head.B", "Surface the head", station="head B"),
                         "apart": row("apart", "Take it apart")},
             "marigold": {"wash-block": row("wash-block", "Wash the block")}}
    names = {"kestrel": "Kestrel", "marigold": "Marigold"}

    def told(why):
        return ahead_pages.in_words(why, "kestrel", steps, names)

    assert told("as soon as surface-head@head.B is done") == "as soon as “Surface the head, head B” is done"
    assert told("as soon as apart is done") == "as soon as “Take it apart” is done"
    assert told("everybody is busy until marigold: wash-block is done") == "everybody is busy until Marigold: “Wash the block” is done"
    assert told("can begin at once") == "can begin at once"
