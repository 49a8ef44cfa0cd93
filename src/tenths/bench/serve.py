"""Serving the bench: the socket, the certificate, the first words in the terminal, and a stop that does not hang."""

import io
import socket
import ssl
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from types import FrameType

import uvicorn

from tenths.bench.app import make_app
from tenths.bench.guard import Door, lan_addresses, lan_names
from tenths.bench.live import Live
from tenths.bench.tls import Certificate, certificate_for
from tenths.errors import Refused
from tenths.services.access import CODE_MINUTES, Access
from tenths.services.shop import Shop

PORT = 8377
Say = Callable[[str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """How the bench is to be served.

    Attributes:
        port: 0 for any that is free.
        lan: whether devices of the network are served, once paired.
        tls: whether with a certificate.
        names: further names that this server is reached by.
        open_page: opens the page in the browser of this machine.
    """

    port: int = PORT
    lan: bool = False
    tls: bool = False
    names: tuple[str, ...] = ()
    open_page: bool = False


def few_heaps() -> None:
    """All threads take their memory from one heap: of one for each of many threads, the C library gives little back."""
    if not sys.platform.startswith("linux"):
        return
    import ctypes  # noqa: PLC0415 - only here

    with suppress(OSError, AttributeError):  # another C library
        ctypes.CDLL(None).mallopt(-8, 1)  # M_ARENA_MAX in malloc.h


class Server(uvicorn.Server):
    """The server; when it is told to stop it ends the event streams, which would otherwise be waited for."""

    def __init__(self, config: uvicorn.Config, live: Live) -> None:
        super().__init__(config)
        self.live = live

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Stops."""
        self.live.close()
        super().handle_exit(sig, frame)


def serve(shop: Shop, wish: Wish, say: Say) -> None:
    """Serves until it is told to stop.

    Args:
        shop: opened and closed by the caller.
        wish: how.
        say: told line by line what a person should know.

    Raises:
        Refused: when the port is taken or the certificate cannot be made.
    """
    few_heaps()
    sys.setswitchinterval(0.001)  # who has written is answered between two steps of who works something out
    access = Access(shop.folder, clock=shop.clock)
    line = bound(wish)
    try:
        port, addresses = line.getsockname()[1], lan_addresses() if wish.lan else ()
        names = (*sorted(lan_names()), *wish.names) if wish.lan else wish.names
        proof = certificate_for(shop.folder / "tls", ("localhost", "127.0.0.1", "::1", *names, *addresses),
                                shop.clock()) if wish.tls else None
        scheme = "https" if wish.tls else "http"
        far = f"{scheme}://{_bracketed(addresses[0])}:{port}" if addresses else ""
        app = make_app(shop, access, door_open=Door(wish.lan, frozenset(n.lower() for n in names)), address=far)
        _tell(say, access, f"{scheme}://localhost:{port}", far, proof, lan=wish.lan)
        if wish.open_page:
            _open(f"{scheme}://localhost:{port}/")
        Server(_config(app, proof), app.state.bench.live).run(sockets=[line])
    finally:
        line.close()
        access.close()


def bound(wish: Wish) -> socket.socket:
    """The socket, bound: to this machine alone, or to the network."""
    # TCP is named, or the event loop would not know to send small answers at once
    line = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    line.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        line.bind(("0.0.0.0" if wish.lan else "127.0.0.1", wish.port))  # noqa: S104 - only when asked for
        line.listen(512)  # from here on who asks is kept waiting, not turned away
    except OSError as error:
        line.close()
        raise Refused(f"port {wish.port} cannot be used ({error.strerror}); give another with --port") from None
    return line


def _config(app: object, proof: Certificate | None) -> uvicorn.Config:
    """No access log: addresses carry customers' tokens. No word of a proxy is believed."""
    config = uvicorn.Config(
        app, log_level="warning", access_log=False, server_header=False, proxy_headers=False, ws="none",  # type: ignore[arg-type]
        timeout_graceful_shutdown=3, timeout_keep_alive=30, backlog=512,
        ssl_certfile=str(proof.certificate) if proof else None, ssl_keyfile=str(proof.key) if proof else None)
    config.load()
    if config.ssl is not None:
        config.ssl.minimum_version = ssl.TLSVersion.TLSv1_2
    return config


def _bracketed(address: str) -> str:
    return f"[{address}]" if ":" in address else address


def _tell(say: Say, access: Access, near: str, far: str, proof: Certificate | None, *, lan: bool) -> None:
    say(f"The bench: {near}/")
    if proof is not None:
        say(f"Its certificate is the shop's own; browsers ask once. SHA-256 {proof.fingerprint}")
    if not lan:
        return
    if not far:
        say("This machine has no network address now; other devices cannot reach it.")
        return
    code, _ = access.new_code()
    say(f"For other devices: {far}/  Pair one with the code {code} within {CODE_MINUTES} minutes, or scan this:")
    say(qr_text(f"{far}/pair#{code}"))
    say("Further codes: on the page People, or 'tenths people pair'.")
    if proof is None:
        say("Without --tls, everybody in this network can read along, and pages need the server to be reloaded.")


def qr_text(text: str) -> str:
    """A QR code for the terminal."""
    import segno  # noqa: PLC0415 - only printing codes needs it

    out = io.StringIO()
    segno.make_qr(text).terminal(out=out, border=2, compact=True)
    return out.getvalue()


def _open(address: str) -> None:
    import threading  # noqa: PLC0415 - only when asked for
    import webbrowser  # noqa: PLC0415 - the same

    threading.Timer(0.7, webbrowser.open, (address,)).start()
