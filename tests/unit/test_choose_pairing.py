"""The search for pairs against trying every combination of pairs, which is written here on its own."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tenths.choose.pairing import NOTHING, Boxes, Pair, Task, best_pairs

CLASSES = 4
KIND = st.sampled_from([NOTHING, *range(CLASSES)])
PAIRS = st.lists(st.builds(Pair, KIND, KIND, st.integers(-9, 9)), min_size=1, max_size=7, unique=True)
BOX = st.builds(
    Boxes,
    st.integers(1, 2),
    st.lists(st.tuples(st.integers(0, CLASSES - 1), st.integers(1, 2)), min_size=1, max_size=2).map(tuple),
)
TASKS = st.builds(
    Task,
    st.lists(PAIRS.map(tuple), min_size=1, max_size=4).map(tuple),
    st.lists(st.integers(0, 3), min_size=CLASSES, max_size=CLASSES).map(tuple),
    st.lists(BOX, max_size=2).map(tuple),
    st.lists(st.integers(-12, 12), max_size=2).map(tuple),
)


def every_way(task):
    """Keys of all answers, best first; an answer is known by its pairs and needs the fewest boxes that serve it."""
    found = []
    for picks in product(*(range(len(place)) for place in task.places)):
        pairs = [place[i] for place, i in zip(task.places, picks, strict=True)]
        need = [sum((p.upper == k) + (p.lower == k) for p in pairs) for k in range(CLASSES)]
        ways = [
            sum(way)
            for way in product(*(range(b.count + 1) for b in task.boxes))
            if all(
                need[k]
                <= task.loose[k]
                + sum(n * e for n, b in zip(way, task.boxes, strict=True) for c, e in b.content if c == k)
                for k in range(CLASSES)
            )
        ]
        if ways:
            deviations = [p.deviation for p in pairs]
            everywhere = [*deviations, *task.fixed]
            key = (max(map(abs, deviations)), max(everywhere) - min(everywhere), min(ways), sum(map(abs, deviations)))
            found.append((key, picks))
    return sorted(found)


@pytest.mark.parametrize("solver", ["auto", "search", "highs"])
@given(task=TASKS)
@settings(max_examples=150, deadline=None)
def test_same_best_and_next_best_as_trying_everything(solver, task):
    expected = every_way(task)
    without = []
    for key, _ in expected[:4]:
        found = best_pairs(task, without=without, solver=solver)
        assert found is not None
        assert found.key == key
        assert found.proven
        without.append(found.picks)
    if len(expected) < 4:
        assert best_pairs(task, without=without, solver=solver) is None
