"""What a shop's own studies say of its gauges, put in the place of what is commonly supposed."""

from dataclasses import replace
from datetime import date
from math import inf

from tenths.logbook.build import Build
from tenths.logbook.studies import Accepted
from tenths.metrology.instrument import CalibrationPoint, Instrument

REPEATABILITY, BIAS = "repeatability", "bias"


def with_studies(instrument: Instrument, build: Build) -> Instrument:
    """The instrument with what a person took from studies into its record.

    The scatter found stands in the place of the supposed one, that between people beside it. The bias found at masters
    stands in the place of the maker's limit of error, and of a certificate that is older than the study.

    Params:
        instrument: from its card over the template of its kind, and its certificate where there is one.
        build: the engine as its logbook leaves it.
    """
    spread, bias = (build.studied.get((instrument.id, kind)) for kind in (REPEATABILITY, BIAS))
    if spread is not None:
        instrument = _with_spread(instrument, spread)
    if bias is not None and bias.points and not _newer(instrument.calibrated, bias):
        points = tuple(CalibrationPoint(nominal=p.size, error=p.error, u=p.u, freedom=p.freedom) for p in bias.points)
        instrument = replace(instrument, points=points)
    return instrument


def _with_spread(instrument: Instrument, found: Accepted) -> Instrument:
    body = found.body
    if found.repeatability is not None:
        instrument = replace(instrument, repeatability=found.repeatability,
                             repeatability_freedom=body.repeatability_freedom or inf)
    if found.reproducibility is not None:
        instrument = replace(instrument, reproducibility=found.reproducibility,
                             reproducibility_freedom=max(1.0, body.reproducibility_freedom or inf))
    return instrument


def _newer(calibrated: date | None, found: Accepted) -> bool:
    return calibrated is not None and calibrated.isoformat() > found.body.day


def source_of(build: Build, instrument: str, kind: str) -> str:
    """Which study a gauge's scatter (``repeatability``) or error (``bias``) comes from, in words; empty when from none."""
    found = build.studied.get((instrument, kind))
    return f"study {found.body.study}, {found.body.day}" if found else ""
