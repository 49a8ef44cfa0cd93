"""Shops for tests, with a clock and chance of their own."""

from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from random import Random

from tenths.logbook.memory import MemoryLogbook
from tenths.services.shop import Shop


def shop_in_memory(folder: Path) -> Shop:
    """A shop whose clock goes on by a second at every look."""
    ticks = count()

    def clock() -> datetime:
        return datetime(2026, 5, 4, 9, 0, tzinfo=UTC) + timedelta(seconds=next(ticks))

    return Shop(MemoryLogbook(clock=clock), folder, "Ada Quill", clock=clock, random=Random(1).randbytes)  # noqa: S311 - ids for tests, not secrets
