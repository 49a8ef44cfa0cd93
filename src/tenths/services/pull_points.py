"""Points of pulls, kept while the process lives: most entries of a log change nothing that the gas knows of."""

from collections import OrderedDict
from collections.abc import Callable, Sequence
from threading import Lock

from tenths.calc.gas import pull

MOST_KEPT = 64
_KEPT: "OrderedDict[tuple[str, tuple[float, ...]], list[pull.Point]]" = OrderedDict()
_LOCK = Lock()


def points_of(of: pull.Engine, rates: Sequence[float], progress: Callable[[int, int], None] | None = None) -> list[pull.Point]:
    """The points of an engine at those speeds [rad/s], run only if these very numbers were not run before.

    Raises:
        Unsettled: as `calc.gas.pull.pull`.
    """
    key = (repr(of), tuple(rates))
    with _LOCK:
        found = _KEPT.get(key)
    if found is None:
        found = pull.pull(of, rates, progress=progress)
    with _LOCK:
        _KEPT[key] = found
        _KEPT.move_to_end(key)
        while len(_KEPT) > MOST_KEPT:
            _KEPT.popitem(last=False)
    return found


def at_hand(of: pull.Engine, rates: Sequence[float]) -> bool:
    """Whether these points were run already."""
    with _LOCK:
        return (repr(of), tuple(rates)) in _KEPT
