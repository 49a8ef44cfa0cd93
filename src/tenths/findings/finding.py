"""A finding: a characteristic at a station, judged."""

from dataclasses import dataclass

from tenths.findings.declare import Characteristic
from tenths.findings.limits import Limits
from tenths.findings.resolve import Input
from tenths.metrology.decide import Verdict
from tenths.metrology.estimate import Estimate


@dataclass(frozen=True, slots=True)
class Finding:
    """Value and uncertainty in SI, limits with their authority, probability, verdict, and what it all came from."""

    station: str
    characteristic: Characteristic
    verdict: Verdict
    limits: Limits
    estimate: Estimate | None
    standard_uncertainty: float | None
    freedom: float
    probability: float | None
    expected: float | None  # what stated sizes lead one to expect, when nothing was read
    formula: str
    inputs: tuple[Input, ...]
    entries: tuple[str, ...]
    missing: tuple[str, ...]
    stale: tuple[str, ...]
    warnings: tuple[str, ...]

    @property
    def value(self) -> float | None:
        """The value in SI, or None when nothing was measured."""
        return self.estimate.value if self.estimate else None
