"""What the app holds: the shop and what stands beside it. None of it is anybody's page; a restart loses nothing."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field, replace
from threading import Lock
from typing import Any, TypeVar

from anyio import CapacityLimiter, to_thread
from starlette.requests import Request

from tenths.bench.guard import Door, Seals
from tenths.bench.live import Live
from tenths.bench.who import Who
from tenths.services.access import Access
from tenths.services.shop import Shop

KEPT = 512  # answers kept of all engines
THINKERS = 2  # threads that work answers out at the same time; only one of them runs at any moment
T = TypeVar("T")


@dataclass(slots=True)
class Answers:
    """Answers worked out once for each state of the log, however many devices ask at once."""

    shop: Shop
    _kept: "OrderedDict[tuple[Hashable, ...], tuple[int, Any]]" = field(
        default_factory=OrderedDict[tuple[Hashable, ...], tuple[int, Any]])
    _locks: dict[tuple[Hashable, ...], Lock] = field(default_factory=dict[tuple[Hashable, ...], Lock])
    _lock: Lock = field(default_factory=Lock)

    def of_engine(self, engine: str, key: tuple[Hashable, ...], work: Callable[[], Any]) -> Any:
        """The answer that holds until the engine's log grows; raises BadInput when there is no such engine."""
        return self._get((engine, *key), self.shop.build(engine).position, work)

    def holds(self, engine: str, key: tuple[Hashable, ...]) -> bool:
        """Whether that answer is there and still holds."""
        with self._lock:
            found = self._kept.get((engine, *key))
        return found is not None and found[0] >= self.shop.build(engine).position

    def of_shop(self, key: tuple[Hashable, ...], work: Callable[[], Any]) -> Any:
        """The answer that holds until anything in the shop is written."""
        return self._get(("", *key), self.shop.logbook.tip(), work)

    def _get(self, key: tuple[Hashable, ...], position: int, work: Callable[[], Any]) -> Any:
        with self._lock:
            own = self._locks.setdefault(key, Lock())
        with own:
            with self._lock:
                found = self._kept.get(key)
            if found is None or found[0] < position:
                try:
                    found = (position, work())
                except BaseException:
                    self._locks.pop(key, None)
                    raise
                self._keep(key, found)
            return found[1]

    def _keep(self, key: tuple[Hashable, ...], found: tuple[int, Any]) -> None:
        with self._lock:
            self._kept[key] = found
            self._kept.move_to_end(key)
            while len(self._kept) > KEPT:
                oldest, _ = self._kept.popitem(last=False)
                self._locks.pop(oldest, None)


@dataclass(slots=True)
class Bench:
    """What every route works with."""

    shop: Shop
    access: Access
    seals: Seals
    door: Door
    live: Live
    answers: Answers
    address: str = ""  # how other devices reach this server, for codes that are scanned
    _thinking: dict[bool, CapacityLimiter] = field(default_factory=dict[bool, CapacityLimiter])

    async def think(self, work: Callable[..., T], *given: Any, prompt: bool = False) -> T:
        """Works something out in a thread, few at a time: more would only keep those waiting who have written.

        What is wanted promptly, since somebody waits for it with a part in the hand, has a queue of its own.
        """
        limiter = self._thinking.get(prompt) or self._thinking.setdefault(prompt, CapacityLimiter(THINKERS))
        return await to_thread.run_sync(work, *given, limiter=limiter)

    def shop_for(self, who: Who) -> Shop:
        """The shop with the person and device who ask as those who write."""
        return replace(self.shop, person=who.person or self.shop.person, device=who.device or self.shop.device)


def bench_of(request: Request) -> Bench:
    """The bench behind a request."""
    found: Bench = request.app.state.bench
    return found
