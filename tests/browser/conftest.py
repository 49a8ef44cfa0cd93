"""A real server process on a shop of its own, and a browser that may ask nobody else."""

import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path

import httpx2
import pytest

CHROMIUM = Path("/usr/bin/chromium")
ARGUMENTS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
             "--disable-component-update", "--disable-sync", "--disable-features=AutofillServerCommunication"]


@dataclass(slots=True)
class Bench:
    shop: Path
    port: int
    process: "subprocess.Popen[bytes] | None" = field(default=None)

    @property
    def url(self):
        return f"http://localhost:{self.port}"

    def start(self, **more):
        command = [sys.executable, "-m", "tenths", "--shop", str(self.shop), "bench", "--port", str(self.port)]
        with (self.shop.parent / "said").open("ab") as said:
            self.process = subprocess.Popen(command, stdout=said, stderr=said,
                                            env=os.environ | {"TENTHS_PERSON": "Ines Vale"} | more)
        for _ in range(600):
            try:
                httpx2.get(f"{self.url}/api/who", timeout=5)
            except httpx2.HTTPError:
                assert self.process.poll() is None, (self.shop.parent / "said").read_text("utf-8")
                time.sleep(0.1)
            else:
                return
        raise AssertionError("the server did not come up")

    def kill(self):
        """As a power cut does."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def log(self, engine, kind="reading.taken"):
        """Bodies of an engine's entries of one kind as the log has them, in order, each with its id and time."""
        from tenths.services.shop import open_shop

        shop = open_shop(self.shop)
        try:
            return [json.loads(e.body) | {"id": e.id, "at": e.at, "received": e.received}
                    for e in shop.logbook.read(engine) if e.type == kind]
        finally:
            shop.logbook.close()

    def texts(self, engine):
        """Readings of an engine as the log has them, in order."""
        return [body["text"] for body in self.log(engine)]


def _free_port():
    with socket.socket() as line:
        line.bind(("127.0.0.1", 0))
        return line.getsockname()[1]


@pytest.fixture(scope="session")
def typeface_made(tmp_path_factory):
    """The typeface, cut once for all shops, for it takes seconds."""
    from tenths.bench.typeface import typeface

    folder = tmp_path_factory.mktemp("typeface") / "views"
    typeface(folder)
    return folder


@pytest.fixture(scope="session")
def demo_made(tmp_path_factory, typeface_made):
    """The folder of a demo shop, laid once; each test gets a copy."""
    from tenths.services.demo import lay_demo
    from tenths.services.shop import open_shop

    folder = tmp_path_factory.mktemp("demo") / "shop"
    shutil.copytree(typeface_made, folder / "views")
    shop = open_shop(folder)
    lay_demo(shop)
    shop.logbook.close()
    return folder


@pytest.fixture
def empty_bench(tmp_path, typeface_made):
    shutil.copytree(typeface_made, tmp_path / "shop" / "views")
    made = Bench(tmp_path / "shop", _free_port())
    made.start()
    yield made
    made.kill()


@pytest.fixture
def bench(tmp_path, demo_made):
    shutil.copytree(demo_made, tmp_path / "shop")
    made = Bench(tmp_path / "shop", _free_port())
    made.start()
    yield made
    made.kill()


@pytest.fixture(scope="session")
def chromium():
    sync_api = pytest.importorskip("playwright.sync_api")
    if not CHROMIUM.exists():
        pytest.skip("no Chromium on this machine")
    with sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def device(chromium):
    """Makes devices: a browser with a store of its own; what it asks elsewhere is noted and fails the test."""
    elsewhere, errors, made = [], [], []

    def new(width=390, height=844, **more):
        context = chromium.new_context(viewport={"width": width, "height": height}, **more)
        context.on("request", lambda r: None if "://localhost:" in r.url or r.url.startswith(("data:", "blob:"))
                   else elsewhere.append(r.url))
        page = context.new_page()
        page.set_default_timeout(30000)
        page.on("pageerror", lambda e: errors.append(str(e)))
        made.append(context)
        return page

    yield new
    for context in made:
        context.close()
    assert elsewhere == []
    assert errors == []
