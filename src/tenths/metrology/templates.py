"""Instruments as they are commonly found, to start from before the shop has its own certificates and studies.

All values: common practice, no source. Limits of error are those of a sound, cared-for instrument; repeatability is a
practised hand's. A gauge study or a certificate replaces them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from tenths.errors import BadInput
from tenths.metrology.instrument import Instrument

INCH = 0.0254
TENTH = 1e-4 * INCH
_MICRO = 1e-6
_LBF_FT = 1.3558179483314004
_LBF = 4.4482216152605
_DEGREE = math.pi / 180
_STEEL = "gauge steel"


def _length(key: str, kind: str, name: str, *, unit: float, **amounts: float | str) -> Instrument:
    """An instrument for lengths, its amounts given in tenths or micrometres."""
    given = {k: v * unit if isinstance(v, float) else v for k, v in amounts.items()}
    return Instrument(id=key, kind=kind, name=name, expansion=_STEEL, **given)  # pyright: ignore[reportArgumentType]


def _inch_lengths() -> list[Instrument]:
    t = TENTH
    return [
        _length("outside-micrometer-inch", "outside micrometer", "Outside micrometer 0.0001 in", unit=t,
                resolution=1.0, limit_of_error=1.5, repeatability=0.4),
        _length("inside-micrometer-inch", "inside micrometer", "Inside micrometer 0.0001 in", unit=t,
                resolution=1.0, limit_of_error=2.0, repeatability=1.0),
        _length("ball-micrometer-inch", "ball micrometer", "Ball micrometer 0.0001 in", unit=t,
                resolution=1.0, limit_of_error=1.0, repeatability=0.6),
        _length("bore-gauge-inch", "dial bore gauge", "Dial bore gauge 0.0001 in", unit=t,
                resolution=1.0, limit_of_error=0.5, repeatability=0.5, zeroing=0.3, set_from="outside-micrometer-inch"),
        _length("ring-inch", "ring", "Setting ring", unit=t, limit_of_error=0.5, limit_shape="normal"),
        _length("dial-indicator-inch", "dial indicator", "Dial indicator 0.0005 in", unit=t,
                resolution=5.0, limit_of_error=5.0, repeatability=2.0),
        _length("test-indicator-inch", "test indicator", "Test indicator 0.0001 in", unit=t,
                resolution=1.0, limit_of_error=1.0, repeatability=0.5),
        _length("depth-micrometer-inch", "depth micrometer", "Depth micrometer 0.001 in", unit=t,
                resolution=5.0, limit_of_error=5.0, repeatability=3.0),
        _length("caliper-inch", "caliper", "Caliper 0.0005 in", unit=t,
                resolution=5.0, limit_of_error=10.0, repeatability=5.0),
        _length("feeler-inch", "feeler stock", "Feeler stock by 0.001 in", unit=t,
                resolution=10.0, limit_of_error=2.0, repeatability=3.0),
        _length("ring-gap-feeler-inch", "ring-gap feeler", "Ring-gap feeler by 0.001 in", unit=t,
                resolution=10.0, limit_of_error=2.0, repeatability=2.0),
        _length("stretch-gauge-inch", "stretch gauge", "Stretch gauge 0.0001 in", unit=t,
                resolution=1.0, limit_of_error=1.0, repeatability=1.0),
    ]  # fmt: skip


def _metric_lengths() -> list[Instrument]:
    m = _MICRO
    return [
        _length("outside-micrometer-metric", "outside micrometer", "Outside micrometer 0.001 mm", unit=m,
                resolution=1.0, limit_of_error=4.0, repeatability=1.0),
        _length("inside-micrometer-metric", "inside micrometer", "Inside micrometer 0.01 mm", unit=m,
                resolution=5.0, limit_of_error=5.0, repeatability=2.5),
        _length("ball-micrometer-metric", "ball micrometer", "Ball micrometer 0.001 mm", unit=m,
                resolution=1.0, limit_of_error=2.5, repeatability=1.5),
        _length("bore-gauge-metric", "dial bore gauge", "Dial bore gauge 0.001 mm", unit=m,
                resolution=1.0, limit_of_error=1.5, repeatability=1.2, zeroing=0.8,
                set_from="outside-micrometer-metric"),
        _length("ring-metric", "ring", "Setting ring", unit=m, limit_of_error=1.3, limit_shape="normal"),
        _length("dial-indicator-metric", "dial indicator", "Dial indicator 0.01 mm", unit=m,
                resolution=10.0, limit_of_error=12.0, repeatability=4.0),
        _length("test-indicator-metric", "test indicator", "Test indicator 0.002 mm", unit=m,
                resolution=2.0, limit_of_error=3.0, repeatability=1.0),
        _length("depth-micrometer-metric", "depth micrometer", "Depth micrometer 0.01 mm", unit=m,
                resolution=10.0, limit_of_error=10.0, repeatability=7.0),
        _length("caliper-metric", "caliper", "Caliper 0.01 mm", unit=m,
                resolution=10.0, limit_of_error=25.0, repeatability=12.0),
        _length("feeler-metric", "feeler stock", "Feeler stock by 0.02 mm", unit=m,
                resolution=20.0, limit_of_error=5.0, repeatability=7.0),
        _length("ring-gap-feeler-metric", "ring-gap feeler", "Ring-gap feeler by 0.02 mm", unit=m,
                resolution=20.0, limit_of_error=5.0, repeatability=5.0),
        _length("stretch-gauge-metric", "stretch gauge", "Stretch gauge 0.002 mm", unit=m,
                resolution=2.0, limit_of_error=2.5, repeatability=2.5),
    ]  # fmt: skip


def _others() -> list[Instrument]:
    cc, gram, degree = 1e-6, 1e-3, _DEGREE
    return [
        Instrument(id="burette", kind="burette", name="Burette 0.1 cc", unit="m3",
                   resolution=0.1 * cc, limit_of_error=0.1 * cc, repeatability=0.1 * cc),
        Instrument(id="scale", kind="scale", name="Scale 0.1 g", unit="kg",
                   resolution=0.1 * gram, limit_of_error=0.2 * gram, repeatability=0.1 * gram),
        Instrument(id="degree-wheel", kind="degree wheel", name="Degree wheel by 1 deg, read to 0.25", unit="rad",
                   resolution=0.25 * degree, limit_of_error=0.25 * degree, repeatability=0.15 * degree),
        Instrument(id="torque-wrench-inch", kind="torque wrench", name="Torque wrench by 1 lbf ft", unit="N m",
                   resolution=_LBF_FT, limit_relative=0.04, repeatability=_LBF_FT),
        Instrument(id="torque-wrench-metric", kind="torque wrench", name="Torque wrench by 1 N m", unit="N m",
                   resolution=1.0, limit_relative=0.04, repeatability=1.0),
        Instrument(id="spring-tester-inch", kind="spring tester", name="Spring tester by 1 lbf", unit="N",
                   resolution=_LBF, limit_relative=0.01, repeatability=_LBF),
        Instrument(id="spring-tester-metric", kind="spring tester", name="Spring tester by 1 N", unit="N",
                   resolution=1.0, limit_relative=0.01, repeatability=4.0),
        Instrument(id="flow-bench", kind="flow bench", name="Flow bench, 1 % of reading", unit="m3/s",
                   limit_relative=0.01),
        Instrument(id="leak-down-tester", kind="leak-down tester", name="Leak-down tester by 1 %", unit="1",
                   resolution=0.01, limit_of_error=0.02, repeatability=0.005),
        Instrument(id="balancer", kind="balancing machine", name="Balancing machine by 1 g mm", unit="kg m",
                   resolution=_MICRO, limit_of_error=20 * _MICRO, repeatability=5 * _MICRO),
        Instrument(id="thermometer", kind="thermometer", name="Shop thermometer 0.5 K", unit="K",
                   resolution=0.5, limit_of_error=1.0, repeatability=0.2),
        Instrument(id="surface-gauge", kind="surface gauge", name="Surface gauge with a stylus, 10 % of reading", unit="m",
                   resolution=0.01 * _MICRO, limit_relative=0.10, repeatability=0.01 * _MICRO),
    ]  # fmt: skip


TEMPLATES: Mapping[str, Instrument] = MappingProxyType(
    {item.id: item for item in (*_inch_lengths(), *_metric_lengths(), *_others())}
)


def from_template(key: str, instrument_id: str, **changes: object) -> Instrument:
    """An instrument of the shop, begun from a template.

    Args:
        key: which template.
        instrument_id: stable name of the shop's own instrument.
        changes: fields of Instrument that differ.

    Returns:
        The instrument.

    Raises:
        BadInput: if there is no such template or no such field.
    """
    template = TEMPLATES.get(key)
    if template is None:
        raise BadInput(f"template {key!r} is not known; known are {', '.join(TEMPLATES)}")
    unknown = changes.keys() - set(Instrument.__dataclass_fields__)
    if unknown:
        raise BadInput(f"an instrument has no {', '.join(sorted(unknown))}")
    return replace(template, id=instrument_id, **changes)  # pyright: ignore[reportArgumentType]
