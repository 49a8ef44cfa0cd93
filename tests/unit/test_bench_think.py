"""Few think at a time, and what somebody waits for with a part in the hand does not queue behind pages."""

import threading

import anyio

from benches import Served
from tenths.bench.state import THINKERS


def test_a_question_is_answered_while_pages_keep_every_thinker_busy(tmp_path):
    bench, go_on, order = Served(tmp_path, demo=False).app.state.bench, threading.Event(), []

    def page():
        assert go_on.wait(20)
        order.append("page")

    async def all_of_it():
        async with anyio.create_task_group() as group:
            for _ in range(THINKERS + 1):
                group.start_soon(bench.think, page)
            await anyio.sleep(0.05)
            assert await bench.think(lambda: order.append("question") or 7, prompt=True) == 7
            go_on.set()

    with anyio.from_thread.start_blocking_portal() as portal:
        portal.call(all_of_it)
    assert order == ["question"] + ["page"] * (THINKERS + 1)
