"""Records of instruments, and the estimate that one reading with one of them gives.

Causes of a reading, by key:

    scale:<instrument>         the instrument's own scale; common to all its readings, and to gauges set from it
    master:<ring or standard>  the size of what a gauge was set from; common to all that was set from it
    setting:<setting>          setting the gauge to its master; common to all readings from that setting
    resolution:<reading>       the last figure; each reading's own
    repeat:<reading>           what comes out differently each time; each reading's own
    operator:<who>/<what>      one person's hand on one instrument
    temperature:<which>        temperature of part and instrument
    expansion:<material>       coefficient of expansion of a material
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from tenths.errors import BadInput
from tenths.metrology.estimate import Estimate, Shape
from tenths.metrology.thermal import Temperature, correction_to_reference, material

_TO_STANDARD: dict[Shape, float] = {
    "normal": 0.5,  # a limit given for a normal distribution is taken as U with k = 2
    "rectangular": 1 / math.sqrt(3),
    "triangular": 1 / math.sqrt(6),
    "arcsine": 1 / math.sqrt(2),
}
_ROOT12 = math.sqrt(12)
STANDARDS = frozenset({"ring", "setting standard", "gauge block", "plug", "check weight"})


@dataclass(frozen=True, slots=True, kw_only=True)
class CalibrationPoint:
    """One line of a calibration certificate.

    Attributes:
        nominal: true size at the point [unit of the instrument].
        error: reading minus true size [same].
        u: standard uncertainty of that error [same]; the certificate's U divided by its k.
        freedom: its degrees of freedom [-], where the shop's own few readings found the error.
    """

    nominal: float
    error: float
    u: float
    freedom: float = math.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """One instrument of the shop. All amounts are in SI units of what it measures.

    Attributes:
        id: stable name, unique in the shop; part of the keys of its causes.
        kind: what it is ("outside micrometer", "ring", ...).
        name: what the shop calls it.
        unit: SI unit of what it measures.
        resolution: smallest step that is read [unit].
        limit_of_error: half-width of the maker's limit of error [unit]; unused where points are given.
        limit_relative: the same as a share of the reading [-], added.
        limit_shape: distribution within the limit; a normal one takes the limit as U with k = 2.
        points: calibration certificate, ordered by nominal; used instead of the limit.
        calibrated: date of the certificate.
        due: date from which it is overdue.
        repeatability: standard deviation of one reading [unit].
        repeatability_freedom: its degrees of freedom [-].
        reproducibility: standard deviation between people [unit], from a gauge study.
        reproducibility_freedom: its degrees of freedom [-].
        zeroing: standard deviation of setting it to its master [unit].
        lower: lower end of its range [unit].
        upper: upper end of its range [unit].
        set_from: id of the master that it is set from; None for one that reads absolute size.
        expansion: name of the material that its scale (or, for a standard, its size) grows with; None if it does not.
    """

    id: str
    kind: str
    name: str
    unit: str = "m"
    resolution: float = 0.0
    limit_of_error: float = 0.0
    limit_relative: float = 0.0
    limit_shape: Shape = "rectangular"
    points: tuple[CalibrationPoint, ...] = ()
    calibrated: date | None = None
    due: date | None = None
    repeatability: float = 0.0
    repeatability_freedom: float = math.inf
    reproducibility: float = 0.0
    reproducibility_freedom: float = math.inf
    zeroing: float = 0.0
    lower: float = -math.inf
    upper: float = math.inf
    set_from: str | None = None
    expansion: str | None = None

    @property
    def scale_cause(self) -> str:
        """Key of the cause that is this instrument's scale, or this standard's size."""
        return f"{'master' if self.kind in STANDARDS else 'scale'}:{self.id}"

    def scale_error(self, value: float) -> tuple[float, float]:
        """Known error at a reading, and the standard uncertainty that is left.

        Args:
            value: the reading [unit].

        Returns:
            Reading minus true size [unit], and its standard uncertainty [unit]. Between the points of a certificate
            both are interpolated; beyond them the end point holds.
        """
        if not self.points:
            limit = self.limit_of_error + self.limit_relative * abs(value)
            return 0.0, limit * _TO_STANDARD[self.limit_shape]
        return _interpolated(self.points, value)


def _interpolated(points: Sequence[CalibrationPoint], value: float) -> tuple[float, float]:
    if value <= points[0].nominal:
        return points[0].error, points[0].u
    for a, b in pairwise(points):
        if value <= b.nominal:
            w = (value - a.nominal) / (b.nominal - a.nominal)
            return a.error + w * (b.error - a.error), a.u + w * (b.u - a.u)
    return points[-1].error, points[-1].u


def reading_estimate(
    value: float,
    *,
    instrument: Instrument,
    reading_id: str,
    setting: str | None = None,
    master: Instrument | None = None,
    temperature: Temperature | None = None,
    part_material: str | None = None,
    operator: str | None = None,
    repeats: int = 1,
) -> Estimate:
    """A reading with all its causes, corrected for what is known (certificate, temperature).

    Args:
        value: size as read, or the average of the repeats [unit of the instrument]; for a gauge that shows deviations,
            set size plus deviation.
        instrument: what it was read with.
        reading_id: stable name of the reading.
        setting: stable name of the setting of the gauge that it was read from.
        master: what the gauge was set from: a ring, or the micrometer whose scale error it then carries.
        temperature: temperature of part and instrument; None takes 20 degC without doubt.
        part_material: name of the part's material; None leaves the temperature uncorrected.
        operator: who read; enters where the instrument's reproducibility is known.
        repeats: how many readings the value is the average of.

    Returns:
        The size at 20 degC with its causes [unit of the instrument].

    Raises:
        BadInput: if the value is not finite, the repeats are under 1, or the material is not known.

    Source: [JCGM100] clause 4.3 for limits and resolution (4.3.7, F.2.2.1).
    """
    if not math.isfinite(value) or repeats < 1:
        raise BadInput(f"reading {reading_id}: value {value} from {repeats} repeats; a finite value, from 1 or more")
    causes = _Causes()
    result = value - _scale(causes, value, instrument) - (_scale(causes, value, master) if master else 0.0)
    causes.add(f"resolution:{reading_id}", instrument.resolution / _ROOT12, shape="rectangular")
    causes.add(
        f"repeat:{reading_id}",
        instrument.repeatability / math.sqrt(repeats),
        freedom=instrument.repeatability_freedom,
    )
    if setting is not None:
        causes.add(f"setting:{setting}", instrument.zeroing)
    if operator is not None:
        causes.add(f"operator:{operator}/{instrument.id}", instrument.reproducibility,
                   freedom=instrument.reproducibility_freedom)
    if temperature is not None and part_material is not None:
        result += _reduce(causes, value, master or instrument, temperature, part_material)
    return Estimate(result, causes.parts, causes.freedom, causes.shape)


class _Causes:
    """The causes of one reading while they are gathered; a cause without effect is left out."""

    __slots__ = ("freedom", "parts", "shape")

    def __init__(self) -> None:
        self.parts: dict[str, float] = {}
        self.freedom: dict[str, float] = {}
        self.shape: dict[str, Shape] = {}

    def add(self, cause: str, part: float, *, shape: Shape = "normal", freedom: float = math.inf) -> None:
        if not part:
            return
        self.parts[cause] = self.parts.get(cause, 0.0) + part
        if shape != "normal":
            self.shape[cause] = shape
        if math.isfinite(freedom):
            self.freedom[cause] = freedom


def _scale(causes: _Causes, value: float, carrier: Instrument) -> float:
    """Add the doubt of a scale or master and give its known error."""
    error, u = carrier.scale_error(value)
    freedom = min((point.freedom for point in carrier.points), default=math.inf)
    causes.add(carrier.scale_cause, u, shape="normal" if carrier.points else carrier.limit_shape, freedom=freedom)
    return error


def _reduce(
    causes: _Causes, value: float, reference: Instrument, temperature: Temperature, part_material: str
) -> float:
    """Add the causes of the reduction to 20 degC and give the correction."""
    gauge = material(reference.expansion) if reference.expansion else None
    correction, found = correction_to_reference(
        value, part=material(part_material), gauge=gauge, temperature=temperature
    )
    for cause, part in found.items():
        is_temperature = cause == f"temperature:{temperature.id}"
        causes.add(
            cause,
            part,
            shape="rectangular" if cause.startswith("expansion:") else "normal",
            freedom=temperature.freedom if is_temperature else math.inf,
        )
    return correction


def remarks(
    instrument: Instrument, *, on: date, value: float | None = None, setting: str | None = None
) -> tuple[str, ...]:
    """What a finding must say about an instrument that it rests on.

    Args:
        instrument: the instrument.
        on: date of the reading.
        value: the reading [unit of the instrument], to be held against the range.
        setting: the setting that was used, if any.

    Returns:
        Sentences, none if all is in order.
    """
    said: list[str] = []
    if instrument.due is not None and on >= instrument.due:
        said.append(f"{instrument.name}: calibration was due on {instrument.due.isoformat()}")
    if instrument.set_from is not None and setting is None:
        said.append(f"{instrument.name}: no setting to {instrument.set_from} is recorded for this reading")
    if value is not None and not instrument.lower <= value <= instrument.upper:
        said.append(f"{instrument.name}: reads from {instrument.lower:g} to {instrument.upper:g} {instrument.unit}")
    return tuple(said)
