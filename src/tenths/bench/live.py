"""Changes as they are committed: one watcher per process, server-sent events to every device, polling beside it."""

import asyncio
from collections import deque
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager, suppress
from dataclasses import dataclass, field
from typing import Any

import msgspec
from starlette.concurrency import run_in_threadpool

from tenths.services.shop import Shop

LOOK_EVERY = 0.5  # seconds between looks for what other processes have written
KEEP_ALIVE = 15.0  # seconds after which a line is sent so that proxies keep the stream open
AT_ONCE = 1000  # entries told of in one event
KEPT = 256  # events kept for devices that come back after a short break
WAITING = 64  # events that may wait for a slow device before it has to ask anew

Change = dict[str, Any]


def changes(shop: Shop, after: int) -> Change:
    """What was committed after a sequence number: the streams with their positions, and the entries' ids."""
    rows = shop.logbook.read_all(after=after, limit=AT_ONCE)
    return {"sequence": rows[-1][0] if rows else after,
            "engines": {entry.stream: entry.position for _, entry in rows},
            "entries": [entry.id for _, entry in rows], "more": len(rows) == AT_ONCE}


def event(name: str, data: Any, identity: int | None = None) -> bytes:
    """One server-sent event as it goes over the line."""
    head = f"id: {identity}\n" if identity is not None else ""
    return f"{head}event: {name}\ndata: ".encode() + msgspec.json.encode(data) + b"\n\n"


@dataclass(eq=False, slots=True)
class Listener:
    """One open event stream: which page it is, and what waits to be sent to it."""

    page: str
    name: str
    person: str
    device: str
    since: str
    queue: "asyncio.Queue[bytes | None]" = field(default_factory=lambda: asyncio.Queue(WAITING))

    def put(self, message: bytes) -> None:
        """Hands over an event; a device that does not take them is told to come back and ask anew."""
        try:
            self.queue.put_nowait(message)
        except asyncio.QueueFull:
            while not self.queue.empty():
                self.queue.get_nowait()
            self.queue.put_nowait(None)


class Live:
    """Knows the last sequence number of the logbook, and tells every listener of what comes after it."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.sequence = 0
        self.listeners: set[Listener] = set()
        self._recent: deque[tuple[int, int, bytes]] = deque(maxlen=KEPT)  # from, to, event
        self._written = asyncio.Event()
        self._closed = False

    @asynccontextmanager
    async def watching(self) -> AsyncIterator[None]:
        """Watches for entries that other processes write, for as long as the app runs."""
        self._written, self._closed = asyncio.Event(), False
        self.sequence = await run_in_threadpool(self.shop.logbook.tip)
        task = asyncio.create_task(self._look())
        try:
            yield
        finally:
            self.close()
            task.cancel()
            with suppress(asyncio.CancelledError):
                await task

    def close(self) -> None:
        """Ends every stream, so that the server can stop."""
        self._closed = True
        for listener in self.listeners:
            listener.put(b": closing\n\n")
            with suppress(asyncio.QueueFull):
                listener.queue.put_nowait(None)

    def written(self) -> None:
        """Something was written here: the watcher looks at once, and the one who wrote need not wait for it."""
        self._written.set()

    async def _look(self) -> None:
        while True:
            with suppress(TimeoutError):
                await asyncio.wait_for(self._written.wait(), LOOK_EVERY)
            self._written.clear()
            with suppress(Exception):  # a look that fails now is tried again; asking is answered with the error itself
                await self._tell()

    async def _tell(self) -> None:
        """Looks at the logbook and tells all listeners of what is new; each event is made once for all."""
        if await run_in_threadpool(self.shop.logbook.tip) <= self.sequence:
            return
        told = await run_in_threadpool(changes, self.shop, self.sequence)
        message = event("changed", told, told["sequence"])
        self._recent.append((self.sequence, told["sequence"], message))
        self.sequence = told["sequence"]
        for listener in self.listeners:
            listener.put(message)
        if told["more"]:
            self.written()

    @contextmanager
    def listening(self, listener: Listener) -> Iterator[Listener]:
        """A listener for as long as its stream is open."""
        self.listeners.add(listener)
        try:
            yield listener
        finally:
            self.listeners.discard(listener)

    async def stream(self, listener: Listener, after: int | None) -> AsyncIterator[bytes]:
        """The events for one listener, from the sequence number it saw last."""
        with self.listening(listener):
            start = self.sequence if after is None else min(after, self.sequence)
            yield b"retry: 2000\n" + event("ready", {"sequence": self.sequence, "devices": len(self.listeners)}, start)
            async for missed in self._missed(start):
                yield missed
            while not self._closed:
                try:
                    message = await asyncio.wait_for(listener.queue.get(), KEEP_ALIVE)
                except TimeoutError:
                    message = event("still", {"devices": len(self.listeners)})  # no comment: pages notice a line that only seems open
                if message is None:
                    return
                yield message

    async def _missed(self, start: int) -> AsyncIterator[bytes]:
        """What came between: from what is kept where that reaches back far enough, else from the logbook."""
        upto = self.sequence
        kept = [message for begin, end, message in self._recent if begin >= start and end <= upto]
        if start < upto and (not kept or self._recent[-len(kept)][0] != start):
            told = await run_in_threadpool(changes, self.shop, start)
            yield event("changed", told, told["sequence"])
            return
        for message in kept:
            yield message

    def send_from_thread(self, page: str, name: str, data: Any) -> int:
        """The same as `send`, for who is not on the event loop."""
        from anyio.from_thread import run_sync  # noqa: PLC0415 - only gauges ask

        return run_sync(self.send, page, name, data)

    def send(self, page: str, name: str, data: Any) -> int:
        """Sends an event to the streams of one page only; returns how many took it."""
        chosen = [listener for listener in self.listeners if listener.page == page]
        for listener in chosen:
            listener.put(event(name, data))
        return len(chosen)
