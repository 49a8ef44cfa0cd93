"""A finding: a characteristic at a station, judged."""

from dataclasses import dataclass

from tenths.findings.declare import Characteristic
from tenths.findings.instruments import InUse
from tenths.findings.limits import Limits
from tenths.findings.resolve import Input
from tenths.metrology.decide import Verdict
from tenths.metrology.estimate import Estimate, Propagated
from tenths.metrology.method import Method, choose


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
    curvature: float = 0.0  # second-order part of the doubt, relative to the first
    by_trial: bool = False  # the probability was found by trial

    @property
    def value(self) -> float | None:
        """The value in SI, or None when nothing was measured."""
        return self.estimate.value if self.estimate else None

    @property
    def instruments(self) -> tuple[InUse, ...]:
        """The instruments that the readings under it rest on, each with the state that it was in."""
        return tuple(dict.fromkeys(used for i in self.inputs for used in i.instruments))

    @property
    def method(self) -> tuple[Method, str] | None:
        """How its doubt is to be carried and why; None where nothing was measured."""
        return choose(Propagated(self.estimate, (), self.curvature, 0.0, ())) if self.estimate else None
