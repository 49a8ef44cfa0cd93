"""Ring gaps: how much is left to file on each ring in its own hole, in which order, and where to stop."""

import math

from tenths.choose.answer import Answer, Pick, Predicted
from tenths.choose.rings import Filing, FilingState, Hole, Ring, filing, filing_order
from tenths.findings.check import check
from tenths.findings.finding import Finding
from tenths.logbook.build import Build
from tenths.metrology.decide import Verdict
from tenths.metrology.estimate import Estimate
from tenths.services.questions import System


def filings(build: Build) -> tuple[list[Filing], list[str], list[str]]:
    """What is left on every ring whose gap is read and holds; the entries used; and which rings are left out, and why."""
    found: list[Filing] = []
    entries: list[str] = []
    notes: list[str] = []
    for row in check(build, ["ring-end-gap"]):
        gap, limits = row.estimate, row.limits
        if row.verdict is Verdict.NOT_MEASURED or gap is None:
            continue
        if row.verdict is Verdict.STALE or limits.lower is None:
            notes.append(f"{row.station} is left out: its gap is {row.verdict}")
            continue
        found.append(_filing(row, gap, limits.lower))
        entries += row.entries
    return found, list(dict.fromkeys(entries)), notes


def _filing(row: Finding, gap: Estimate, lower: float) -> Filing:
    """The ring was read in the hole that it will run in, so what is doubtful about the hole is in the gap already."""
    upper = math.inf if row.limits.upper is None else row.limits.upper
    target = row.limits.target
    if target is None:
        target = lower if math.isinf(upper) else (lower + upper) / 2
    hole = Estimate(0.0, {})
    return filing(Ring("as fitted", gap, hole), Hole(row.station, hole, target, lower, upper))


def ring_answer(rows: list[Filing], entries: list[str], system: System) -> Answer:
    """The filing as an answer: what to do ring by ring, in the order to do it."""
    ordered = filing_order(rows)
    picks = tuple(Pick(f.hole.station, _deed(f), f.in_words(system).replace(", ring as fitted", ""), max(f.left.value, 0.0))
                  for f in ordered)
    predicted = tuple(_predicted(f) for f in ordered)
    over = [f for f in ordered if f.state is FilingState.TOO_WIDE]
    to_file = [f for f in ordered if f.state in {FilingState.FILE, FilingState.LAST_STROKES}]
    reasons = [f"{len(to_file)} of {len(ordered)} rings are to be filed; filing is one way, so begin where most is left."]
    if over:
        reasons.append(f"{len(over)} too wide already: another ring is needed at "
                       f"{', '.join(f.hole.station for f in over)}.")
    return Answer("ring-gaps", picks, predicted, (), tuple(reasons), rests_on=tuple(entries))


def _deed(filed: Filing) -> str:
    deed = {FilingState.FILE: "file", FilingState.LAST_STROKES: "last strokes", FilingState.LEAVE: "leave",
            FilingState.TOO_WIDE: "replace"}[filed.state]
    return deed if filed.ring == "as fitted" else f"ring {filed.ring}: {deed}"


def _predicted(filed: Filing) -> Predicted:
    """The gap after filing to target, as sure as the gap now; or the gap as it is where nothing is filed."""
    filing_now = filed.state in {FilingState.FILE, FilingState.LAST_STROKES}
    value = filed.hole.target if filing_now else filed.gap.value
    upper = None if math.isinf(filed.hole.upper) else filed.hole.upper
    return Predicted(filed.hole.station, "ring-end-gap", Estimate(value, filed.gap.parts, filed.gap.freedom, filed.gap.shape),
                     filed.hole.lower, upper, filed.hole.target)
