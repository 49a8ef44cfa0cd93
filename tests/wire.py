"""A wire between a browser and the bench that can go dead without a word, as a phone's does that leaves the shop."""

import socket
import threading
from contextlib import contextmanager, suppress


class Wire:
    """Carries bytes to a port and back. Event streams that are open when it is frozen stay open and carry nothing any
    more; other lines are ended, as they would be by whoever ends up with the connection."""

    def __init__(self, port):
        self.to = port
        self.door = socket.create_server(("127.0.0.1", 0))
        self.port = self.door.getsockname()[1]
        self.frozen, self.open, self.streams = threading.Event(), [], set()
        threading.Thread(target=self._let_in, daemon=True).start()

    @property
    def url(self):
        return f"http://localhost:{self.port}"

    def freeze(self):
        """From now on nothing comes through on the streams that are open; new lines work."""
        self.frozen.set()
        self.frozen = threading.Event()
        for near, far in self.open:
            if near not in self.streams:
                for each in (near, far):
                    with suppress(OSError):
                        each.shutdown(socket.SHUT_RDWR)

    def _let_in(self):
        with suppress(OSError):
            while True:
                near, _ = self.door.accept()
                far = socket.create_connection(("127.0.0.1", self.to))
                self.open.append((near, far))
                for one, other in ((near, far), (far, near)):
                    threading.Thread(target=self._carry, args=(one, other, self.frozen), daemon=True).start()

    def _carry(self, one, other, frozen):
        with suppress(OSError):
            while got := one.recv(65536):
                if got.startswith(b"GET /api/events"):
                    self.streams.add(one)
                if frozen.is_set():
                    return
                other.sendall(got)
            other.shutdown(socket.SHUT_WR)

    def close(self):
        for each in (self.door, *(line for lines in self.open for line in lines)):
            with suppress(OSError):
                each.close()


@contextmanager
def wire(port):
    made = Wire(port)
    try:
        yield made
    finally:
        made.close()
