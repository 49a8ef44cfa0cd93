"""Changes as they are committed: one watcher per process, server-sent events to every device, polling beside it."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress

from starlette.concurrency import run_in_threadpool

from tenths.services.shop import Shop

LOOK_EVERY = 1.0  # seconds between looks for what other processes have written
KEEP_ALIVE = 15.0  # seconds after which a line is sent so that proxies keep the stream open


class Live:
    """Knows the last sequence number of the logbook and wakes those who wait for a later one."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.sequence = 0
        self._changed: asyncio.Condition | None = None

    @asynccontextmanager
    async def watching(self) -> AsyncIterator[None]:
        """Watches for entries that other processes write, for as long as the app runs."""
        self._changed = asyncio.Condition()
        self.sequence = await run_in_threadpool(self.shop.logbook.tip)
        task = asyncio.create_task(self._look())
        try:
            yield
        finally:
            task.cancel()
            with suppress(asyncio.CancelledError):
                await task

    async def _look(self) -> None:
        while True:
            await asyncio.sleep(LOOK_EVERY)
            await self.tell()

    async def tell(self) -> None:
        """Looks at the logbook and wakes all who wait, when there is something new."""
        latest = await run_in_threadpool(self.shop.logbook.tip)
        if latest > self.sequence and self._changed is not None:
            async with self._changed:
                self.sequence = max(latest, self.sequence)
                self._changed.notify_all()

    async def after(self, sequence: int) -> int:
        """Waits until there is something after that sequence, or until it is time to keep the stream alive."""
        assert self._changed is not None  # noqa: S101 - the app has started
        async with self._changed:
            with suppress(TimeoutError):
                await asyncio.wait_for(self._changed.wait_for(lambda: self.sequence > sequence), KEEP_ALIVE)
        return self.sequence
