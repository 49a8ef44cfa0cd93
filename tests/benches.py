"""The bench in tests: over a shop in memory without a server, or as a process of its own."""

import json
import os
import re
import subprocess
import sys
import tty
from contextlib import contextmanager

import httpx2
from starlette.testclient import TestClient

from shops import shop_in_memory
from tenths.bench.app import make_app
from tenths.services.access import Access
from tenths.services.demo import lay_demo
from tenths.services.shop import utc_now

NEAR, HOME = ("127.0.0.1", 50000), "http://localhost:8377"
FAR, LAN = ("192.0.2.40", 50000), "http://192.0.2.7:8377"


class Asker(TestClient):
    """A client; of several at once, the first starts the app, as a server would start it once."""

    started = False

    def __enter__(self):
        if not self.served.running:
            self.served.running = self.started = True
            super().__enter__()
        return self

    def __exit__(self, *what):
        if self.started:
            self.served.running = self.started = False
            super().__exit__(*what)


class Served:
    """An app over a shop, and ways to ask it."""

    def __init__(self, folder, door=None, *, demo=True, clock=utc_now):
        self.shop = shop_in_memory(folder)
        if demo:
            lay_demo(self.shop)
        self.access = Access(folder, clock=clock)
        self.app = make_app(self.shop, self.access, door_open=door)

        self.running = False

    def client(self, client=NEAR, base=HOME, **headers):
        asker = Asker(self.app, base_url=base, client=client, headers=headers, follow_redirects=False)
        asker.served = self
        return asker


def number(n):
    """An id as a device makes them."""
    return f"018f3c2a-7b1e-7cc3-98c4-{n:012x}"


def entry(n, kind, body, *, at="2026-05-04T10:00:00.000Z", person="Ines Vale", device="phone", seen=None):
    made = {"id": number(n), "type": kind, "schema": 1, "at": at, "person": person, "device": device,
            "body": json.dumps(body)}
    return made if seen is None else made | {"seen": seen}


def reading(n, station, text, *, feature="journal", instrument="mic-2-3", **more):
    place = {"place": more.pop("place")} if "place" in more else {}
    return entry(n, "reading.taken",
                 {"station": station, "feature": feature, "text": text, "instrument": instrument} | place, **more)


@contextmanager
def process(folder, *options):
    """`tenths bench` as a process of its own; gives its address and the process."""
    running = subprocess.Popen([sys.executable, "-m", "tenths", "--shop", str(folder), "bench", "--port", "0", *options],
                               stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
                               env={"PATH": "/usr/bin:/bin", "HOME": str(folder)})
    try:
        said = running.stdout.readline()
        found = re.search(r"https?://localhost:\d+", said)
        assert found, said + running.stdout.read()
        yield found.group(), running
    finally:
        if running.poll() is None:
            running.terminate()
            running.wait(10)
        running.stdout.close()


@contextmanager
def serial_line(folder, address, *options):
    """`tenths gauge` on a pseudo-terminal; gives what writes to it as an instrument would, and the process."""
    ours, theirs = os.openpty()
    tty.setraw(ours)
    reader = subprocess.Popen([sys.executable, "-m", "tenths", "--shop", str(folder), "gauge", os.ttyname(theirs), "--bench",
                               address, *options], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    try:
        said = reader.stdout.readline()
        assert said.startswith("Reading "), said + reader.stdout.read()
        yield (lambda sent: os.write(ours, sent)), reader
    finally:
        if reader.poll() is None:
            reader.terminate()
            reader.wait(10)
        reader.stdout.close()
        os.close(ours)
        os.close(theirs)


def asking(address, **more):
    return httpx2.Client(base_url=address, timeout=20, trust_env=False, **more)
