"""What hangs on the bench: photographs from the phone, a gauge on a serial line, a certificate, the commands for people."""

import os
import re
import ssl
import subprocess
import sys
import time
import tty
from io import BytesIO
from pathlib import Path

import httpx2
import pytest
from PIL import Image

from benches import FAR, LAN, Served, asking, number, process
from tenths.bench.guard import Door, Seals
from tenths.services.access import Access
from tenths.services.demo import lay_demo
from tenths.services.shop import open_shop, utc_now

UPLOAD = "/api/engines/marigold/photos"


def photograph(size=(3000, 2000)):
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 28.0, 38.0)})
    out = BytesIO()
    Image.new("RGB", size, (120, 60, 30)).save(out, "JPEG", exif=exif)
    return out.getvalue()


@pytest.fixture
def served(tmp_path):
    return Served(tmp_path)


def send(ask, content, **fields):
    return ask.post(UPLOAD, files={"file": ("anything.exe", content, "text/html")},
                    data={"station": "main.3", "words": "shell back", "id": number(1)} | fields)


def test_a_photograph_is_tied_to_its_station_and_shown_without_place(served, tmp_path):
    content = photograph()
    with served.client() as ask:
        answer = send(ask, content, at="2026-05-04T10:00:00.000Z").json()
        assert answer["state"] == "saved"
        (row,) = ask.get("/api/engines/marigold/stations/main.3").json()["photos"]
        assert row["words"] == "shell back"
        for size, longest in (("160", 160), ("1024", 1024), ("0", 3000)):
            view = ask.get(f"/photo/{row['file']}?size={size}")
            assert view.headers["content-type"] == "image/jpeg"
            assert "immutable" in view.headers["cache-control"]
            assert view.headers["x-content-type-options"] == "nosniff"
            with Image.open(BytesIO(view.content)) as image:
                assert max(image.size) == longest
                assert not image.getexif().get_ifd(0x8825)
        with Image.open(BytesIO(ask.get(f"/photo/{row['file']}?size=480").content)) as image:
            assert image.size == (320, 480)  # the right way up
        assert ask.get(f"/photo/{row['file']}?size=481").status_code == 404
    assert (tmp_path / "originals" / row["file"]).read_bytes() == content


def test_a_photograph_sent_twice_stands_once(served):
    with served.client() as ask:
        first = send(ask, photograph(), at="2026-05-04T10:00:00.000Z").json()
        assert send(ask, photograph(), at="2026-05-04T10:00:00.000Z").json() == first
        assert len(ask.get("/api/engines/marigold/stations/main.3").json()["photos"]) == 1


@pytest.mark.parametrize(("content", "fields", "said"), [
    (b"<html><script>", {}, "no JPEG, PNG or WebP"), (b"\xff\xd8\xff" + b"x" * 100, {}, "photograph"),
    (photograph((20, 20)), {"station": "main.99"}, "main.99"), (photograph((20, 20)), {"station": ""}, "station")])
def test_what_is_no_photograph_or_of_no_station_is_refused(served, content, fields, said):
    before = served.shop.logbook.tip()
    with served.client() as ask:
        answer = send(ask, content, **fields)
    assert answer.status_code == 422
    assert said in answer.json()["error"]
    assert served.shop.logbook.tip() == before


def test_a_posting_that_is_too_large_is_refused_before_it_is_read(served):
    with served.client() as ask:
        answer = ask.post(UPLOAD, content=b"", headers={"content-type": "multipart/form-data; boundary=x",
                                                        "content-length": "31000000"})
        assert answer.status_code == 422
        assert ask.post(UPLOAD, content=b"", headers={"content-type": "multipart/form-data; boundary=x"}).status_code == 422


def test_a_customer_sees_the_photographs_of_their_engine_only(tmp_path):
    served = Served(tmp_path, Door(lan=True))
    with served.client() as ask:
        send(ask, photograph((60, 40)), at="2026-05-04T10:00:00.000Z")
        (row,) = ask.get("/api/engines/marigold/stations/main.3").json()["photos"]
        own, other = (ask.post("/api/links", json={"engine": e}).json()["address"].rpartition("/")[2]
                      for e in ("marigold", "kestrel"))
    with served.client(FAR, LAN) as customer:
        assert row["file"] in customer.get(f"/c/{own}").text
        assert customer.get(f"/c/{own}/photo/{row['file']}").status_code == 200
        assert customer.get(f"/c/{other}/photo/{row['file']}").status_code == 404


# -- processes ---------------------------------------------------------------------------------------------------------

@pytest.fixture
def folder(tmp_path):
    shop = open_shop(tmp_path / "shop")
    lay_demo(shop)
    shop.logbook.close()
    return tmp_path / "shop"


def tenths(folder, *words, **more):
    return subprocess.run([sys.executable, "-m", "tenths", "--shop", str(folder), *words], capture_output=True, text=True,
                          check=False, timeout=60, **more)


def test_a_gauge_on_a_serial_line_fills_the_field_of_the_chosen_page_only(folder):
    """A pseudo-terminal stands for the line: what is written to one end is read at the other as from an instrument."""
    ours, theirs = os.openpty()
    tty.setraw(ours)
    with process(folder) as (address, _), asking(address) as ask:
        pages = {name: ask.build_request("GET", f"/api/events?page={name}&name={name}") for name in ("Phone", "Tablet")}
        streams = {name: ask.send(request, stream=True) for name, request in pages.items()}
        lines = {name: stream.iter_lines() for name, stream in streams.items()}
        reader = subprocess.Popen(
            [sys.executable, "-m", "tenths", "--shop", str(folder), "gauge", os.ttyname(theirs), "--bench", address,
             "--device", "Phone", "--pattern", "channel-number", "--unit", "mm", "--count", "2"],
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        assert reader.stdout.readline().startswith("Reading ")
        os.write(ours, b"01A+00012.345\r")
        assert next(line for line in lines["Phone"] if "12.345" in line) == (
            'data: {"text":"12.345 mm","unit":"","gauge":"' + Path(os.ttyname(theirs)).name + '"}')
        os.write(ours, b"noise\r01A-00000.020\r")
        assert "-0.020 mm" in next(line for line in lines["Phone"] if "0.020" in line)
        said = reader.communicate(timeout=20)[0]
        assert "not understood: 'noise'" in said
        assert "12.345 mm  ->  Phone" in said
        ask.post("/api/gauge", json={"page": "Tablet", "text": "the end"})
        seen = next(line for line in lines["Tablet"] if line.startswith("data") and "text" in line)
        assert "the end" in seen  # nothing that was meant for the phone came before it
        for stream in streams.values():
            stream.close()
    os.close(ours)
    os.close(theirs)


def test_a_gauge_says_that_nobody_is_there_to_take_its_value(folder):
    ours, theirs = os.openpty()
    tty.setraw(ours)
    with process(folder) as (address, _):
        reader = subprocess.Popen([sys.executable, "-m", "tenths", "--shop", str(folder), "gauge", os.ttyname(theirs), "--bench",
                                   address, "--count", "1"], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        assert reader.stdout.readline().startswith("Reading ")
        os.write(ours, b"1.5\n")
        assert "open the tray on the device first" in reader.communicate(timeout=20)[0]
    os.close(ours)
    os.close(theirs)
    assert "--patterns" in tenths(folder, "gauge", "--help").stdout
    assert "01A+00012.345" in tenths(folder, "gauge", "--patterns").stdout
    refused = tenths(folder, "gauge", str(folder / "no-line"))
    assert refused.returncode == 2
    assert "cannot be opened" in refused.stderr


def test_with_people_the_gauge_of_this_machine_still_reads_and_nobody_else_does(folder):
    added = tenths(folder, "people", "add", "Ada Quill", "--role", "owner", "--password-from-input", input="a good long word\n")
    assert added.returncode == 0, added.stderr
    access = Access(folder, clock=utc_now)
    token = Seals(access).gauge()
    access.close()
    with process(folder) as (address, _), asking(address) as ask:
        for other, status in (("x", 401), (token[:-1], 401), (token, 200)):
            assert ask.get("/api/pages", headers={"authorization": f"Bearer {other}"}).status_code == status
        assert ask.get("/people", headers={"authorization": f"Bearer {token}"}).status_code == 403


def test_the_certificate_is_made_on_first_use_and_its_fingerprint_is_told(folder):
    with process(folder, "--tls") as (address, running):
        assert address.startswith("https://")
        said = running.stdout.readline()
        fingerprint = re.search(r"SHA-256 ((?:[0-9A-F]{2}:){31}[0-9A-F]{2})", said)
        assert fingerprint, said
        trusted = ssl.create_default_context(cafile=str(folder / "tls" / "certificate.pem"))
        with httpx2.Client(base_url=address, verify=trusted, trust_env=False) as ask:
            assert ask.get("/").status_code == 200
        with httpx2.Client(base_url=address, trust_env=False) as ask, pytest.raises(httpx2.ConnectError):
            ask.get("/")


def test_a_port_that_is_taken_is_said_in_a_sentence(folder):
    with process(folder) as (address, _):
        refused = tenths(folder, "bench", "--port", address.rpartition(":")[2])
    assert refused.returncode == 2
    assert "give another with --port" in refused.stderr


def test_on_the_network_a_code_is_printed_and_nothing_secret_is_logged(folder):
    with process(folder, "--lan") as (address, running), asking(address) as ask:
        link = ask.post("/api/links", json={"engine": "marigold"}).json()["address"].rpartition("/")[2]
        ask.get(f"/c/{link}")
        ask.post("/sign-in", data={"person": "x", "password": "hunter2-hunter2"})
        time.sleep(0.2)
        running.terminate()
        said = running.stdout.read()
    assert re.search(r"code [2-9A-Z]{4}-[2-9A-Z]{4} within 10 minutes", said) or "no network address" in said
    assert link not in said
    assert "hunter2" not in said


def test_people_are_listed_changed_and_disabled_from_the_command_line(folder):
    assert "Nobody was added" in tenths(folder, "people", "list").stdout
    first = tenths(folder, "people", "add", "Tam Birch", "--role", "hand", "--password-from-input", input="another long word\n")
    assert (first.returncode, "must be an owner" in first.stderr) == (2, True)
    for name, role in (("Ada Quill", "owner"), ("Tam Birch", "hand")):
        tenths(folder, "people", "add", name, "--role", role, "--password-from-input", input="a good long word\n")
    tenths(folder, "people", "change", "Tam Birch", "--role", "reader")
    tenths(folder, "people", "disable", "Tam Birch")
    said = tenths(folder, "people", "list").stdout
    assert re.search(r"Ada Quill +owner\n", said)
    assert re.search(r"Tam Birch +reader +disabled\n", said)
    assert "no owner left" in tenths(folder, "people", "disable", "Ada Quill").stderr
    assert re.match(r"[2-9A-Z]{4}-[2-9A-Z]{4} ", tenths(folder, "people", "pair").stdout)
    made = tenths(folder, "people", "link", "marigold", "--for", "Orrin").stdout
    identity = re.search(r"end-link (\w+)", made).group(1)
    assert tenths(folder, "people", "end-link", identity).stdout == "ended\n"
    assert re.search(rf"{identity} .*Orrin.*ended", tenths(folder, "people", "links").stdout)
