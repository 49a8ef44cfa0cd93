"""Rings of one kind exchanged between their holes, where that saves rings that would be too wide where they were read."""

from collections.abc import Sequence

from tenths.choose.rings import Filing, FilingState, Hole, Ring, assign_rings, filing
from tenths.findings.geometry import BORE
from tenths.logbook.build import Build
from tenths.metrology.estimate import Estimate
from tenths.services.gathered import Gathered


def exchanged(build: Build, rows: Sequence[Filing]) -> tuple[list[Filing], list[str]]:
    """The same filings, with rings exchanged where fewer are wasted so; and what was exchanged, in words.

    Args:
        build: the engine.
        rows: of rings that were read where they are.

    Returns:
        Filings in the order given. Rings stay where they are unless at least one more can be used.
    """
    if build.layout is None or not any(row.state is FilingState.TOO_WIDE for row in rows):
        return list(rows), []
    gathered, found, said = Gathered(build, build.layout), {row.hole.station: row for row in rows}, list[str]()
    for kind in dict.fromkeys(row.hole.station.rpartition(".")[2] for row in rows):
        own = [row for row in rows if row.hole.station.endswith(f".{kind}")]
        bores = {row.hole.station: gathered.of(BORE, row.hole.station) for row in own}
        known = {station: bore for station, bore in bores.items() if bore is not None}
        if len(known) == len(own):
            better, words = _better(own, known, kind)
            found |= {row.hole.station: row for row in better}
            said += words
    return [found[row.hole.station] for row in rows], said


def _better(rows: Sequence[Filing], bores: dict[str, Estimate], kind: str) -> tuple[list[Filing], list[str]]:
    rings = {f"of {_label(r.hole)}": Ring(f"of {_label(r.hole)}", r.gap, bores[r.hole.station]) for r in rows}
    holes = {r.hole.station: Hole(r.hole.station, bores[r.hole.station], r.hole.target, r.hole.lower, r.hole.upper) for r in rows}
    answer = assign_rings(list(rings.values()), list(holes.values()), others=0)
    wasted = sum(row.state is FilingState.TOO_WIDE for row in rows)
    if answer.scores[0].value >= wasted:
        return [], []
    picks = {pick.where: pick.what for pick in answer.picks}
    moved = [filing(rings[picks[s]], holes[s]) for s in holes if picks[s] != f"of {_label(holes[s])}"]
    words = (f"The {kind} rings of {', '.join(f.ring.removeprefix('of ') for f in moved)} change places: {int(answer.scores[0].value)} "
             f"instead of {wasted} would be too wide.")
    return moved, [words]


def _label(hole: Hole) -> str:
    return hole.station.split(".")[1]
