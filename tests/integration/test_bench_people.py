"""Who is let in: roles on every route, pairing, signing in, customers' links, names and origins that are refused."""

import re
from datetime import UTC, datetime, timedelta

import pytest

from benches import FAR, HOME, LAN, NEAR, Served, entry, reading
from tenths.bench.app import CALLS
from tenths.bench.guard import DEVICE_COOKIE, PERSON_COOKIE, Door
from tenths.bench.who import RANK
from tenths.errors import Refused

WORDS = "a good long word"


class Clock:
    def __init__(self):
        self.now = datetime(2026, 5, 4, 9, 0, tzinfo=UTC)

    def __call__(self):
        return self.now

    def on(self, **by):
        self.now += timedelta(**by)


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def served(tmp_path, clock):
    return Served(tmp_path, clock=clock)


@pytest.fixture
def lan(tmp_path, clock):
    return Served(tmp_path, Door(lan=True, names=frozenset({"shop.local"})), clock=clock)


def signed_in(served, name, role, **client):
    if not served.access.guarded() and role != "owner":
        served.access.add_person("First Owner", "owner", WORDS)
    served.access.add_person(name, role, WORDS)
    ask = served.client(**client)
    answer = ask.post("/sign-in", data={"person": name, "password": WORDS, "next": "/e/marigold/tray"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/e/marigold/tray")
    return ask


def filled(path):
    values = {"engine": "marigold", "station": "main.3", "file": "0" * 64, "part": "block-m"}
    return re.sub(r"\{(\w+)[^}]*\}", lambda m: values.get(m.group(1), "nothing"), path)


# -- names and origins -------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("host", ["evil.example", "evil.example:8377", "localhost.evil.example", "192.0.2.7", "", "[::1", "a@localhost.x"])
def test_a_name_that_is_not_ours_is_not_answered(served, host):
    """What DNS rebinding would send: the right address under somebody else's name."""
    with served.client() as ask:
        assert ask.get("/api/engines", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("host", ["localhost", "localhost:8377", "127.0.0.1:8377", "[::1]:8377", "LOCALHOST:1"])
def test_our_own_names_are_answered(served, host):
    with served.client() as ask:
        assert ask.get("/api/engines", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("headers", [
    {"origin": "http://evil.example"}, {"origin": "null"}, {"origin": "http://localhost:9"}, {"origin": "https://localhost:8377"},
    {"sec-fetch-site": "cross-site"}, {"sec-fetch-site": "same-site"}])
def test_another_site_cannot_write(served, headers):
    before = served.shop.logbook.tip()
    with served.client() as ask:
        answer = ask.post("/api/engines/marigold/entries", json=[reading(1, "main.3", "2.4890")], headers=headers)
        assert answer.status_code == 403
        assert ask.post("/new", data={"name": "x", "layout": "single"}, headers=headers).status_code == 403
    assert served.shop.logbook.tip() == before


def test_another_site_cannot_ask_but_a_link_may_be_followed(served):
    with served.client() as ask:
        assert ask.get("/api/engines", headers={"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors"}).status_code == 403
        assert ask.get("/", headers={"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate"}).status_code == 200
        own = {"origin": HOME, "sec-fetch-site": "same-origin"}
        assert ask.post("/api/engines/marigold/entries", json=[], headers=own).status_code == 200


def test_without_lan_only_this_machine_is_answered_and_no_proxy_is_believed(served):
    with served.client(client=FAR) as ask:
        assert ask.get("/").status_code == 403
    with served.client() as ask:
        assert ask.get("/", headers={"x-forwarded-for": "127.0.0.1"}).status_code == 403


# -- pairing -----------------------------------------------------------------------------------------------------------

def test_a_device_is_paired_by_the_code_on_the_owners_screen_and_let_in_no_more_when_ended(lan):
    with lan.client() as owner, lan.client(FAR, LAN) as phone:
        assert phone.get("/api/engines").json()["missing"] == "pair"
        assert phone.get("/e/marigold").headers["location"] == "/pair?next=/e/marigold"
        code = owner.post("/api/devices/code", json={"role": "hand"}).json()["code"]
        assert phone.get("/pair").status_code == 200
        answer = phone.post("/pair", data={"code": code.lower(), "name": "Phone on the block"})
        assert answer.status_code == 303
        assert "httponly" in answer.headers["set-cookie"].lower()
        assert phone.post("/api/engines/marigold/entries", json=[reading(1, "main.3", "2.4890")]).json()[0]["state"] == "saved"
        assert phone.get("/people").status_code == 403
        (device,) = owner.get("/api/devices").json()
        assert device["name"] == "Phone on the block"
        owner.post(f"/api/devices/{device['id']}/end")
        assert phone.get("/api/engines").status_code == 401


def test_a_code_pairs_one_device_is_missed_five_times_and_holds_ten_minutes(lan, clock):
    access = lan.access
    code, _ = access.new_code()
    access.pair(code, "one")
    with pytest.raises(Refused):
        access.pair(code, "two")
    code, _ = access.new_code()
    for _ in range(5):
        with pytest.raises(Refused):
            access.pair("2222-2222", "guesser")
    with pytest.raises(Refused):
        access.pair(code, "too late")
    code, _ = access.new_code()
    clock.on(minutes=10, seconds=1)
    with pytest.raises(Refused):
        access.pair(code, "too old")
    code, _ = access.new_code()
    newer, _ = access.new_code()
    with pytest.raises(Refused):
        access.pair(code, "replaced")
    assert access.pair(newer, "right").role == "hand"


def test_a_cookie_that_we_did_not_sign_is_no_cookie(lan):
    device = lan.access.pair(lan.access.new_code()[0], "phone")
    with lan.client(FAR, LAN) as ask:
        good = lan.app.state.bench.seals.device(device.id)
        for cookie in (device.id, good[:-2] + "xx", lan.app.state.bench.seals.person(device.id, 1), ""):
            assert ask.get("/api/engines", headers={"cookie": f"{DEVICE_COOKIE}={cookie}"}).status_code == 401, cookie
        assert ask.get("/api/engines", headers={"cookie": f"{DEVICE_COOKIE}={good}"}).status_code == 200


def test_on_the_network_this_machine_itself_needs_no_pairing_but_a_proxy_does(lan):
    with lan.client(NEAR) as ask:
        assert ask.get("/api/engines").status_code == 200
        assert ask.get("/api/engines", headers={"via": "1.1 proxy"}).status_code == 401
        assert ask.get("/api/engines", headers={"host": "shop.local"}).status_code == 401
        assert ask.get("/api/engines", headers={"host": "evil.example"}).status_code == 421


# -- people and roles ---------------------------------------------------------------------------------------------------

def test_from_the_first_person_on_everybody_signs_in_and_the_first_is_an_owner(served):
    with served.client() as ask:
        assert ask.get("/api/engines").status_code == 200
        assert ask.post("/api/people", json={"name": "Tam", "role": "hand", "password": WORDS}).status_code == 422
        assert ask.post("/api/people", json={"name": "Ada", "role": "owner", "password": "short"}).status_code == 422
        assert ask.post("/api/people", json={"name": "Ada", "role": "owner", "password": WORDS}).status_code == 200
        assert ask.get("/api/engines").json()["missing"] == "sign-in"
        assert ask.get("/e/marigold/tray").headers["location"] == "/sign-in?next=/e/marigold/tray"
        assert ask.post("/sign-in", data={"person": "Ada", "password": "wrong word"}).status_code == 403
        assert ask.post("/sign-in", data={"person": "Ada", "password": WORDS}).status_code == 303
        assert ask.get("/api/who").json()["person"] == "Ada"
        ask.post("/sign-out")
        assert ask.get("/api/engines").status_code == 401


@pytest.mark.parametrize("role", ["reader", "hand", "owner"])
def test_a_role_opens_what_is_declared_for_it_and_nothing_above(served, role):
    with signed_in(served, "Tam Birch", role) as ask:
        for call in (c for c in CALLS if c.path != "/api/events"):
            answer = ask.request(call.method, filled(call.path), json={})
            let_in = RANK[role] >= RANK[call.need]
            assert (answer.status_code not in {401, 403}) == let_in, (call.method, call.path, answer.status_code)
        for route in (r for r in served.app.routes if not r.path.startswith("/api") and r.path != "/sign-out"):
            for method in route.methods - {"HEAD"}:
                answer = ask.request(method, filled(route.path), data={})
                denied = RANK[role] < RANK[route.endpoint.need]
                assert (answer.status_code == 403 and "is for" in answer.text) == denied, (method, route.path)


def test_nobody_signed_in_gets_nothing(served):
    served.access.add_person("Ada", "owner", WORDS)
    with served.client() as ask:
        for route in served.app.routes:
            if route.endpoint.need == "anyone":
                continue
            for method in route.methods - {"HEAD"}:
                answer = ask.request(method, filled(route.path))
                assert answer.status_code in {401, 303}, (method, route.path)
                assert "arigold" not in answer.text


def test_a_change_of_role_or_password_or_disabling_ends_sign_ins(served):
    with signed_in(served, "Tam Birch", "hand") as ask:
        served.access.change_person("Tam Birch", role="reader")
        assert ask.get("/api/engines").status_code == 401
        ask.post("/sign-in", data={"person": "Tam Birch", "password": WORDS})
        assert ask.get("/api/engines").status_code == 200
        served.access.change_person("Tam Birch", disabled=True)
        assert ask.get("/api/engines").status_code == 401
        assert ask.post("/sign-in", data={"person": "Tam Birch", "password": WORDS}).status_code == 403


def test_the_last_owner_stays(served):
    served.access.add_person("Ada", "owner", WORDS)
    with pytest.raises(Refused, match="no owner left"):
        served.access.change_person("Ada", disabled=True)
    with pytest.raises(Refused, match="no owner left"):
        served.access.change_person("Ada", role="reader")
    assert served.access.known("Ada").role == "owner"


def test_wrong_passwords_in_a_row_make_one_wait(served, clock):
    served.access.add_person("Ada", "owner", WORDS)
    for _ in range(5):
        with pytest.raises(Refused, match="not right"):
            served.access.sign_in("Ada", "wrong word")
    with pytest.raises(Refused, match="wait 30 s"):
        served.access.sign_in("Ada", WORDS)
    clock.on(seconds=31)
    assert served.access.sign_in("Ada", WORDS).name == "Ada"


def test_secrets_stand_in_the_file_as_hashes_only(served, tmp_path):
    served.access.add_person("Ada", "owner", WORDS)
    code, _ = served.access.new_code()
    _, token = served.access.new_link("marigold", "", "Ada")
    kept = b"".join(p.read_bytes() for p in tmp_path.glob("access.sqlite*"))
    assert b"$argon2id$" in kept
    for secret in (WORDS, code, code.replace("-", ""), token):
        assert secret.encode() not in kept
    assert (tmp_path / "access.sqlite").stat().st_mode & 0o077 == 0


def test_after_signing_in_one_stays_on_this_server(served):
    served.access.add_person("Ada", "owner", WORDS)
    for wanted in ("//evil.example", "https://evil.example", "/\\evil.example", "", "javascript:x"):
        with served.client() as ask:
            answer = ask.post("/sign-in", data={"person": "Ada", "password": WORDS, "next": wanted})
            assert answer.headers["location"] == "/", wanted


def test_sign_ins_live_through_a_restart(served, tmp_path):
    with signed_in(served, "Tam Birch", "hand") as ask:
        cookie = ask.cookies[PERSON_COOKIE]
    served.access.close()
    again = Served(tmp_path)
    with again.client() as ask:
        assert ask.get("/api/who", headers={"cookie": f"{PERSON_COOKIE}={cookie}"}).json()["person"] == "Tam Birch"


# -- customers ----------------------------------------------------------------------------------------------------------

def test_a_customer_sees_their_engine_and_nothing_else_until_the_link_ends(lan):
    with signed_in(lan, "Ada", "owner") as owner, lan.client(FAR, LAN) as customer:
        owner.post("/api/engines/marigold/entries", json=[entry(1, "note.written", {"station": "cyl.3", "text": "SECRET-NOTE"})])
        made = owner.post("/api/links", json={"engine": "marigold", "words": "Orrin"}).json()
        path = made["address"].removeprefix(HOME)
        view = customer.get(path)
        assert view.status_code == 200
        assert "Marigold" in view.text
        assert "Kestrel" not in view.text
        assert "SECRET-NOTE" not in view.text
        assert view.headers["referrer-policy"] == "no-referrer"
        assert "set-cookie" not in view.headers
        assert customer.get(f"{path}/record.pdf").content.startswith(b"%PDF-")
        for other in ("/", "/e/marigold", "/api/engines", "/api/engines/marigold/findings", "/people", "/api/events"):
            assert customer.get(other).status_code in {303, 401}, other
        assert customer.get("/c/" + "x" * 43).status_code == 404
        owner.post(f"/api/links/{made['id']}/end")
        assert customer.get(path).status_code == 404
        assert customer.get(f"{path}/record.pdf").status_code == 404


def test_the_owners_page_adds_people_makes_codes_and_links(served):
    with served.client() as ask:
        code = ask.post("/people", data={"do": "new-code", "role": "hand"})
        assert re.search(r"[2-9A-Z]{4}-[2-9A-Z]{4}", code.text)
        assert "<svg" in code.text
        link = ask.post("/people", data={"do": "new-link", "engine": "marigold", "words": "Orrin"})
        assert "/c/" in link.text
        assert ask.post("/people", data={"do": "add-person", "name": "Ada", "role": "owner", "password": "x"}).status_code == 422
        assert ask.post("/people", data={"do": "nothing"}).status_code == 422
        ask.post("/people", data={"do": "add-person", "name": "Ada", "role": "owner", "password": WORDS})
    assert served.access.guarded()
