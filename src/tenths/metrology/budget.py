"""What a number's doubt is made of, largest cause first, and what would help most."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from tenths.metrology.estimate import Estimate, propagate
from tenths.metrology.instrument import Instrument, reading_estimate
from tenths.metrology.thermal import REFERENCE_CELSIUS, Temperature

_WORDS = {
    "scale": "scale of {}",
    "master": "size of {}",
    "setting": "setting {}",
    "resolution": "last figure of reading {}",
    "repeat": "repeatability of reading {}",
    "operator": "hand of {}",
    "temperature": "temperature, {}",
    "temperature difference": "part and gauge not equally warm, {}",
    "expansion": "expansion of {}",
}
_DROPPED = 1e-3
_MEASURES = frozenset({"outside micrometer", "inside micrometer", "ring", "setting standard", "gauge block", "plug"})


@dataclass(frozen=True, slots=True)
class Share:
    """One line of a budget.

    Attributes:
        cause: key of the cause.
        words: the cause in words.
        part: signed standard contribution, in the unit of the value.
        share: of the variance [-].
        freedom: degrees of freedom [-].
        shape: distribution of the cause.
        cancels: whether the cause is in the inputs and drops out of the result (under a thousandth of its doubt).
    """

    cause: str
    words: str
    part: float
    share: float
    freedom: float
    shape: str
    cancels: bool


def budget(estimate: Estimate) -> tuple[Share, ...]:
    """The causes of a value, largest first.

    Args:
        estimate: value with its causes.

    Returns:
        One line for each cause; those that cancel stand last.
    """
    u = estimate.u
    lines = [
        Share(
            cause,
            in_words(cause),
            part,
            (part / u) ** 2 if u else 0.0,
            estimate.freedom.get(cause, math.inf),
            estimate.shape.get(cause, "normal"),
            cancels=abs(part) <= _DROPPED * u,
        )
        for cause, part in estimate.parts.items()
    ]
    return tuple(sorted(lines, key=lambda line: (-line.share, line.cause)))


def in_words(cause: str) -> str:
    """A cause as the shop would say it.

    Args:
        cause: key of the cause.

    Returns:
        Words; the key itself where its kind is not known.
    """
    kind, _, rest = cause.partition(":")
    return _WORDS[kind].format(rest) if rest and kind in _WORDS else cause


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """How a reading was made, or would be: the arguments of reading_estimate.

    Attributes:
        value: size as read [unit of the instrument].
        instrument: what it is read with.
        reading_id: stable name of the reading.
        setting: stable name of the setting of the gauge.
        master: what the gauge is set from.
        temperature: of part and instrument.
        part_material: name of the part's material.
        operator: who reads.
        repeats: how many readings the value is the average of.
    """

    value: float
    instrument: Instrument
    reading_id: str
    setting: str | None = None
    master: Instrument | None = None
    temperature: Temperature | None = None
    part_material: str | None = None
    operator: str | None = None
    repeats: int = 1

    def estimate(self) -> Estimate:
        """The reading with its causes.

        Returns:
            As reading_estimate gives it.
        """
        return reading_estimate(
            self.value,
            instrument=self.instrument,
            reading_id=self.reading_id,
            setting=self.setting,
            master=self.master,
            temperature=self.temperature,
            part_material=self.part_material,
            operator=self.operator,
            repeats=self.repeats,
        )


@dataclass(frozen=True, slots=True)
class Help:
    """Something that the shop could do.

    Attributes:
        action: in words.
        u: standard uncertainty of the finding afterwards, in its unit.
        gain: how much smaller that is than now, in the same unit.
        readings: how the readings would be made.
    """

    action: str
    u: float
    gain: float
    readings: tuple[Planned, ...]


def what_would_help(
    function: Callable[..., float],
    readings: Sequence[Planned],
    *,
    masters: Sequence[Instrument] = (),
    repeats: int = 3,
) -> tuple[Help, ...]:
    """What would make a finding surer, best first.

    Args:
        function: the finding's formula, of as many arguments as readings.
        readings: how its readings were made.
        masters: rings and other standards in the house that a gauge could be set from; the micrometers among the
            readings are tried as well.
        repeats: how many times more often a reading would be taken.

    Returns:
        The actions that gain anything.
    """
    now = _u(function, readings)
    tried: list[tuple[str, list[Planned]]] = []
    tried += _more_often(readings, repeats)
    tried += _other_master(readings, [*(r.instrument for r in readings), *masters])
    tried += _cool(readings)
    found = [Help(action, u, now - u, tuple(plan)) for action, plan in tried for u in (_u(function, plan),) if u < now]
    return tuple(sorted(found, key=lambda help_: -help_.gain))


def _u(function: Callable[..., float], readings: Sequence[Planned]) -> float:
    return propagate(function, *(reading.estimate() for reading in readings)).estimate.u


def _more_often(readings: Sequence[Planned], repeats: int) -> list[tuple[str, list[Planned]]]:
    tried: list[tuple[str, list[Planned]]] = []
    for i, reading in enumerate(readings):
        if reading.instrument.repeatability:
            plan = list(readings)
            plan[i] = replace(reading, repeats=reading.repeats * repeats)
            tried.append((f"read {reading.reading_id} {plan[i].repeats} times with {reading.instrument.name}", plan))
    return tried


def _other_master(readings: Sequence[Planned], candidates: Sequence[Instrument]) -> list[tuple[str, list[Planned]]]:
    tried: list[tuple[str, list[Planned]]] = []
    settings = {r.setting: r for r in readings if r.master is not None and r.setting is not None}
    unique = {c.id: c for c in candidates if c.kind in _MEASURES}
    for setting, example in settings.items():
        for candidate in unique.values():
            if candidate in (example.master, example.instrument):
                continue
            plan = [replace(r, master=candidate) if r.setting == setting else r for r in readings]
            tried.append((f"set {example.instrument.name} from {candidate.name}", plan))
    return tried


def _cool(readings: Sequence[Planned]) -> list[tuple[str, list[Planned]]]:
    if not any(r.temperature is not None and r.temperature.celsius != REFERENCE_CELSIUS for r in readings):
        return []
    plan = [
        replace(r, temperature=replace(r.temperature, celsius=REFERENCE_CELSIUS, gauge=None)) if r.temperature else r
        for r in readings
    ]
    return [("wait until the parts are at 20 degC (68 degF)", plan)]
