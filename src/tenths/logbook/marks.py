"""Where something stands in a log."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Mark:
    """Where something stands in the log: entry id, position, when and by whom."""

    entry: str
    position: int
    at: str
    person: str
