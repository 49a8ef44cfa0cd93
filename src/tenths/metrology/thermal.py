"""Sizes reduced to the reference temperature of 20 degC, with the doubt that the reduction itself brings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

from tenths.errors import BadInput

REFERENCE_CELSIUS = 20.0
_ROOT3 = math.sqrt(3.0)


@dataclass(frozen=True, slots=True)
class Material:
    """How a material grows with temperature.

    Attributes:
        name: what the shop calls it; also the key of the cause ``expansion:<name>``.
        expansion: coefficient of linear expansion near 20 degC [1/K].
        half_width: the coefficient lies this far either side [1/K], rectangular.
    """

    name: str
    expansion: float
    half_width: float

    @property
    def u(self) -> float:
        """Standard uncertainty of the coefficient [1/K]."""
        return self.half_width / _ROOT3


@dataclass(frozen=True, slots=True)
class Temperature:
    """Temperature of part and instrument while a reading was taken.

    Attributes:
        id: stable name; readings with the same one share its error, as cause ``temperature:<id>``.
        celsius: temperature [degC].
        u: its standard uncertainty [K].
        u_difference: standard uncertainty of the difference between part and instrument [K], whose estimate is 0.
        freedom: degrees of freedom of u [-].
        gauge: temperature of the instrument [degC], where it lay cooler or warmer than the part; None: as the part.
    """

    id: str
    celsius: float
    u: float = 0.0
    u_difference: float = 0.0
    freedom: float = math.inf
    gauge: float | None = None


# Handbook values from memory; the half widths cover what handbooks give for the group.
MATERIALS: Mapping[str, Material] = MappingProxyType(
    {
        m.name: m
        for m in (
            Material("grey cast iron", 10.5e-6, 0.5e-6),
            Material("compacted graphite iron", 11.0e-6, 1.0e-6),
            Material("nodular iron", 11.5e-6, 1.0e-6),
            Material("crank steel", 11.5e-6, 0.5e-6),
            Material("steel", 11.5e-6, 1.0e-6),
            Material("gauge steel", 11.5e-6, 1.0e-6),
            Material("aluminium casting", 22.0e-6, 1.0e-6),
            Material("aluminium", 23.0e-6, 1.0e-6),
            Material("piston alloy", 20.5e-6, 0.5e-6),
            Material("hypereutectic piston alloy", 18.5e-6, 0.5e-6),
            Material("forged piston alloy", 22.5e-6, 1.0e-6),
            Material("titanium", 8.6e-6, 0.4e-6),
            Material("bronze", 18.0e-6, 1.0e-6),
            Material("carbide", 5.5e-6, 1.0e-6),
        )
    }
)


def material(name: str) -> Material:
    """The material of that name.

    Args:
        name: a key of MATERIALS.

    Returns:
        Its record.

    Raises:
        BadInput: if there is no such material; the message lists them.
    """
    found = MATERIALS.get(name)
    if found is None:
        raise BadInput(f"material {name!r} is not known; known are {', '.join(MATERIALS)}")
    return found


def size_at_reference(size: float, *, expansion: float, celsius: float) -> float:
    """Length that a part read at another temperature has at 20 degC.

    Args:
        size: true length at that temperature [m].
        expansion: coefficient of linear expansion [1/K].
        celsius: temperature of the part [degC].

    Returns:
        Length at 20 degC [m].

    Validity: to first order in the growth, which near shop temperature is good to parts in 10 million.
    Source: [ISO1] for the reference temperature; L20 = L (1 - alpha (t - 20)).
    """
    return size * (1.0 - expansion * (celsius - REFERENCE_CELSIUS))


def correction_to_reference(
    size: float, *, part: Material, gauge: Material | None, temperature: Temperature
) -> tuple[float, dict[str, float]]:
    """What to add to a reading to have the size at 20 degC, and what causes of doubt come with it.

    Args:
        size: length as read [m].
        part: material of the part.
        gauge: material of the scale or master that the reading hangs on, at the same temperature as the part; None
            for one that does not grow.
        temperature: temperature of both, or of each.

    Returns:
        Correction [m], and cause key -> signed standard contribution [m].

    Source: [JCGM100] H.1.2, with the difference in temperature as a cause of its own.
    """
    warmer = temperature.celsius - REFERENCE_CELSIUS
    gauge_warmer = warmer if temperature.gauge is None else temperature.gauge - REFERENCE_CELSIUS
    gauge_growth = gauge.expansion * gauge_warmer if gauge else 0.0
    growth = part.expansion - (gauge.expansion if gauge else 0.0)
    causes = {
        f"temperature:{temperature.id}": -size * growth * temperature.u,
        f"temperature difference:{temperature.id}": -size * part.expansion * temperature.u_difference,
    }
    key = f"expansion:{part.name}"
    causes[key] = -size * warmer * part.u
    if gauge:
        key = f"expansion:{gauge.name}"
        causes[key] = causes.get(key, 0.0) + size * gauge_warmer * gauge.u
    return size * (gauge_growth - part.expansion * warmer), {k: c for k, c in causes.items() if c}


@dataclass(frozen=True, slots=True)
class Noted:
    """One line of the shop's temperature log.

    Attributes:
        time: when [s], on any clock that the readings share.
        celsius: temperature shown [degC].
    """

    time: float
    celsius: float


def from_log(log: Sequence[Noted], *, at: float, u: float, soaked: float = 3600.0) -> Temperature:
    """Temperature at the time of a reading, from the shop's log.

    Between two notes the temperature is taken to lie anywhere between them, so half their difference is a limit of
    error; after the last note, or before the first, it may have moved as far as it ever did between two notes.

    Args:
        log: notes, in any order, at least one.
        at: when the reading was taken [s].
        u: standard uncertainty of the thermometer [K].
        soaked: a note no further away than this is taken as it stands [s]; a casting lags the air by about an hour
            (common practice, no source).

    Returns:
        The temperature; readings between the same two notes share its error.

    Raises:
        BadInput: if the log is empty, or a number is not finite.
    """
    if not log or not all(math.isfinite(n.time) and math.isfinite(n.celsius) for n in log):
        raise BadInput(f"from_log: {len(log)} notes; at least one, with finite numbers, is needed")
    ordered = sorted(log, key=lambda note: note.time)
    before = [n for n in ordered if n.time <= at]
    after = [n for n in ordered if n.time > at]
    nearest = min(ordered, key=lambda note: abs(note.time - at))
    if abs(nearest.time - at) <= soaked:
        return Temperature(f"note at {nearest.time:.0f}", nearest.celsius, u)
    if before and after:
        a, b = before[-1], after[0]
        celsius = a.celsius + (b.celsius - a.celsius) * (at - a.time) / (b.time - a.time)
        return Temperature(
            f"between {a.time:.0f} and {b.time:.0f}", celsius, math.hypot(u, abs(b.celsius - a.celsius) / 2 / _ROOT3)
        )
    moves = [abs(b.celsius - a.celsius) for a, b in pairwise(ordered)]
    return Temperature(f"far from {nearest.time:.0f}", nearest.celsius, math.hypot(u, max(moves, default=0.0) / _ROOT3))
