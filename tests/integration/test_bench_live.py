"""Changes reach every device, also those that other processes make; a broken line is taken up where it broke.

A server that is killed in the middle loses nothing and doubles nothing.
"""

import json
import os
import signal
import subprocess
import sys
import threading
import time
from contextlib import contextmanager

import httpx2
import pytest

from benches import asking, process, reading
from tenths.bench.live import WAITING, Listener, event
from tenths.services.demo import lay_demo
from tenths.services.shop import open_shop

ENTRIES = "/api/engines/marigold/entries"


@pytest.fixture
def folder(tmp_path):
    shop = open_shop(tmp_path / "shop")
    lay_demo(shop)
    shop.logbook.close()
    return tmp_path / "shop"


class Line:
    """One open event stream: its events as they came, and a way to hang up."""

    def __init__(self):
        self.got, self.ready, self.hung_up = [], threading.Event(), threading.Event()

    def listen(self, address, more):
        try:
            with asking(address) as ask, ask.stream("GET", "/api/events", **more) as stream:
                event_now = {}
                for line in stream.iter_lines():
                    if self.hung_up.is_set():
                        return
                    name, _, value = line.partition(": ")
                    if line:
                        event_now[name] = value
                    elif "event" in event_now:
                        self.got.append(event_now)
                        event_now = {}
                        self.ready.set()
        except httpx2.HTTPError:
            self.ready.set()

    def changed(self):
        return [json.loads(e["data"]) for e in self.got if e["event"] == "changed"]


@contextmanager
def listening(address, **more):
    line = Line()
    threading.Thread(target=line.listen, args=(address, more), daemon=True).start()
    assert line.ready.wait(20)
    assert line.got, "the stream broke before it began"
    yield line
    line.hung_up.set()


def wait_for(what, seconds=20.0):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if found := what():
            return found
        time.sleep(0.02)
    raise AssertionError("it did not come")


def test_what_one_device_writes_the_other_is_told(folder):
    with process(folder) as (address, _), listening(address) as line, asking(address) as ask:
        assert line.got[0]["event"] == "ready"
        one = reading(1, "main.3", "2.4890")
        assert ask.post(ENTRIES, json=[one]).json()[0]["state"] == "saved"
        told = wait_for(line.changed)
        assert told[0]["entries"] == [one["id"]]
        assert told[0]["engines"] == {"marigold": ask.get("/api/engines/marigold/log").json()[-1]["position"]}


def test_what_another_process_writes_is_told_as_well(folder):
    with process(folder) as (address, _), listening(address) as line, asking(address) as ask:
        subprocess.run([sys.executable, "-m", "tenths", "--shop", str(folder), "note", "kestrel", "cyl.3", "from the terminal"],
                       check=True, capture_output=True)
        assert list(wait_for(line.changed)[0]["engines"]) == ["kestrel"]
        assert "from the terminal" in ask.get("/api/engines/kestrel/log").json()[-1]["sentence"]


def test_a_broken_line_is_taken_up_where_it_broke(folder):
    with process(folder) as (address, _), asking(address) as ask:
        with listening(address) as line:
            first = int(line.got[0]["id"])
        sent = [reading(n, "main.3", "2.4890") for n in range(3)]
        for one in sent:
            ask.post(ENTRIES, json=[one])
        with listening(address, headers={"Last-Event-ID": str(first)}) as line:
            wait_for(lambda: sum(len(told["entries"]) for told in line.changed()) == 3)
            assert [e for told in line.changed() for e in told["entries"]] == [one["id"] for one in sent]
        polled = ask.get("/api/changes", params={"after": first}).json()
        assert (polled["sequence"], len(polled["entries"])) == (first + 3, 3)


def test_a_line_that_was_lost_for_long_is_caught_up_from_the_logbook(folder):
    with process(folder) as (address, _), listening(address, headers={"Last-Event-ID": "5"}) as line:
        assert len(wait_for(line.changed)[0]["entries"]) > 500


def test_stopping_does_not_wait_for_those_who_listen(folder):
    with process(folder) as (address, running), listening(address):
        running.send_signal(signal.SIGTERM)
        assert running.wait(10) is not None


def test_a_listener_that_went_away_is_forgotten(folder):
    with process(folder) as (address, _), asking(address) as ask:
        gone = subprocess.Popen([sys.executable, "-c", "import sys, urllib.request as u; r = u.urlopen(sys.argv[1]); r.read()",
                                 f"{address}/api/events?page=gone&name=Gone"])
        wait_for(lambda: [row["name"] for row in ask.get("/api/pages").json()] == ["Gone"])
        gone.kill()
        gone.wait()
        wait_for(lambda: not ask.get("/api/pages").json())


class Device:
    """A device that posts its ten readings in order, each until it is answered."""

    def __init__(self, number, where):
        self.name, self.where, self.answered, self.refused = f"device {number}", where, {}, []
        self.sent = [reading(n, f"main.{1 + n % 7}", f"2.48{n:02}", device=self.name) for n in range(number * 10, number * 10 + 10)]
        self.thread = threading.Thread(target=self.post_all, daemon=True)

    def post_all(self):
        for one in self.sent:
            while one["id"] not in self.answered:
                try:
                    with asking(self.where["address"]) as ask:
                        (answer,) = ask.post(ENTRIES, json=[one], timeout=10).json()
                except httpx2.HTTPError:
                    time.sleep(0.05)
                    continue
                if answer["state"] != "saved":
                    self.refused.append(answer)
                self.answered[one["id"]] = answer.get("position")


def test_killed_in_the_middle_of_postings_nothing_is_lost_and_nothing_doubled(folder):
    """40 readings from four devices, through three kills with -9; the order within a device holds."""
    where = {}
    devices = [Device(n, where) for n in range(4)]
    for enough in (4, 14, 24, 40):
        with process(folder) as (address, running):
            where["address"] = address
            for device in devices:
                if not device.thread.ident:
                    device.thread.start()
            wait_for(lambda upto=enough: sum(len(d.answered) for d in devices) >= upto, 120.0)
            os.kill(running.pid, signal.SIGKILL)
            running.wait(10)
    shop = open_shop(folder)
    shop.logbook.verify()
    kept = [e for e in shop.logbook.read("marigold") if e.device.startswith("device ")]
    shop.logbook.close()
    assert len(kept) == 40
    for device in devices:
        assert device.refused == []
        own = [e for e in kept if e.device == device.name]
        assert [e.id for e in own] == [one["id"] for one in device.sent]
        assert {e.id: e.position for e in own} == device.answered


def test_a_server_that_was_stopped_serves_on_as_if_nothing_was(folder):
    one = reading(1, "main.3", "2.4890")
    with process(folder) as (address, _), asking(address) as ask:
        first = ask.post(ENTRIES, json=[one]).json()
        tray = ask.get("/api/engines/marigold/tray").text
    with process(folder) as (address, _), asking(address) as ask:
        assert ask.post(ENTRIES, json=[one]).json() == first
        assert ask.get("/api/engines/marigold/tray").text == tray


def test_a_slow_listener_is_told_to_ask_anew_and_holds_nobody_up():
    listener = Listener("", "", "", "", "")
    for n in range(WAITING + 1):
        listener.put(event("changed", {"n": n}))
    assert listener.queue.get_nowait() is None
    assert listener.queue.empty()
