"""The guard's own rules, and the certificate."""

import ssl
import stat
from datetime import UTC, datetime, timedelta

import pytest
from cryptography import x509

from tenths.bench.door import safe_next
from tenths.bench.guard import Door, forged, host_name
from tenths.bench.tls import certificate_for

OWN = "http://localhost:8377"


@pytest.mark.parametrize(("host", "name"), [
    ("localhost", "localhost"), ("LOCALHOST:80", "localhost"), ("[::1]:8377", "::1"), ("shop.local.", "shop.local"),
    ("192.0.2.7:1", "192.0.2.7"), ("", ""), ("[::1", ""), ("user@evil.example", "evil.example")])
def test_the_name_in_a_host_header(host, name):
    assert host_name(host) == name


@pytest.mark.parametrize(("host", "near", "far"), [
    ("localhost:8377", True, True), ("127.0.0.1", True, True), ("[::1]", True, True), ("192.0.2.7:8377", False, True),
    ("[2001:db8::7]", False, True), ("shop.local", False, True), ("evil.example", False, False), ("", False, False),
    ("localhost.evil.example", False, False), ("127.0.0.1.evil.example", False, False)])
def test_which_names_are_answered(host, near, far):
    assert Door().answers_to(host) is near
    assert Door(lan=True, names=frozenset({"shop.local"})).answers_to(host) is far


@pytest.mark.parametrize(("method", "origin", "site", "mode", "let_in"), [
    ("GET", None, None, None, True), ("GET", None, "cross-site", "navigate", True), ("GET", None, "cross-site", "cors", False),
    ("GET", "http://evil.example", "cross-site", "cors", False), ("POST", OWN, "same-origin", "cors", True),
    ("POST", OWN, None, None, True), ("POST", None, None, None, True), ("POST", "http://evil.example", None, None, False),
    ("POST", "null", "cross-site", "navigate", False), ("POST", None, "cross-site", "navigate", False),
    ("POST", None, "same-site", "cors", False), ("POST", "http://localhost:8378", "same-site", "cors", False),
    ("DELETE", "http://evil.example", None, None, False), ("POST", None, "none", "navigate", True)])
def test_what_another_site_made_a_browser_send_is_refused(method, origin, site, mode, let_in):
    assert (forged(method, origin, site, mode, OWN) == "") is let_in


@pytest.mark.parametrize(("wanted", "path"), [
    ("/e/marigold/tray?with=a", "/e/marigold/tray?with=a"), ("//evil.example", "/"), ("https://evil.example", "/"),
    ("/\\evil.example", "/"), ("/\tevil", "/"), ("", "/"), ("e/marigold", "/")])
def test_after_signing_in_one_stays_here(wanted, path):
    assert safe_next(wanted) == path


NAMES = ("localhost", "127.0.0.1", "::1", "shop.local", "192.0.2.7")
NOW = datetime(2026, 5, 4, 9, 0, tzinfo=UTC)


def test_the_certificate_names_all_addresses_serves_tls_and_keeps_its_key_to_its_owner(tmp_path):
    made = certificate_for(tmp_path / "tls", NAMES, NOW)
    read = x509.load_pem_x509_certificate(made.certificate.read_bytes())
    said = read.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert {str(name.value) for name in said} == set(NAMES)
    assert read.not_valid_after_utc - read.not_valid_before_utc < timedelta(days=398)
    assert stat.S_IMODE(made.key.stat().st_mode) == 0o600
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(made.certificate, made.key)
    assert len(made.fingerprint.split(":")) == 32


def test_the_certificate_is_kept_while_it_holds_and_made_anew_before_it_ends_or_when_a_name_is_new(tmp_path):
    first = certificate_for(tmp_path, NAMES, NOW)
    assert certificate_for(tmp_path, NAMES[:3], NOW + timedelta(days=300)) == first
    assert certificate_for(tmp_path, NAMES, NOW + timedelta(days=380)).fingerprint != first.fingerprint
    second = certificate_for(tmp_path, NAMES, NOW)
    assert certificate_for(tmp_path, (*NAMES, "192.0.2.8"), NOW).fingerprint != second.fingerprint
    (tmp_path / "certificate.pem").write_text("torn")
    assert certificate_for(tmp_path, NAMES, NOW).fingerprint != second.fingerprint
