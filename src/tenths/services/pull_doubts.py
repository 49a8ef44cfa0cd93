"""How sure a pull is: what each part of the model does to the torque when it is moved by what it is known to."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import isfinite

from tenths.calc.gas import pull
from tenths.calc.gas.rubbing import Rubbing
from tenths.services.amounts import Answer

# What the answer's doubt is made of, besides sizes: relative standard uncertainty, and what is changed by it.
DOUBTS: Sequence[tuple[str, float, str]] = (
    ("flow of the valves", 0.05, "flow"), ("heat to the walls", 0.15, "burning__heat"), ("length of the burn", 0.12, "burning__duration"),
    ("friction", 0.12, "friction"), ("runner and header lengths", 0.03, "lengths"), ("duration of the lobes", 0.012, "duration"),
)
DOUBTED = ("torque", "power", "filling", "air", "fuel", "specific", "residual", "peak", "exhaust", "friction", "pumping", "middle", "knock")
# The same where both sides were measured on this very engine: the flow bench with its spread from head to head, lobes read at the wheel.
MEASURED = {"flow": 0.02, "duration": 0.003}


def _changed(of: pull.Engine, what: str, by: float) -> pull.Engine:
    match what:
        case "flow":
            sides = [replace(side, out_of=tuple(v * (1 + by) for v in side.out_of), into=tuple(v * (1 + by) for v in side.into))
                     for side in (of.intake, of.exhaust)]
            return replace(of, intake=sides[0], exhaust=sides[1])
        case "duration":
            sides = [replace(side, angles=tuple(v * (1 + by) for v in side.angles)) for side in (of.intake, of.exhaust)]
            return replace(of, intake=sides[0], exhaust=sides[1])
        case "friction":
            rubs = of.friction
            return replace(of, friction=replace(rubs, scale=rubs.scale * (1 + by)) if isinstance(rubs, Rubbing)
                           else tuple(v * (1 + by) for v in rubs))
        case "lengths":
            return pull.changed(of, induction__runner=of.induction.runner * (1 + by), outlet__primary=of.outlet.primary * (1 + by))
        case _:
            outer, _, inner = what.partition("__")
            return pull.changed(of, **{what: getattr(getattr(of, outer), inner) * (1 + by)})


def spread_of(
    of: pull.Engine, rates: Sequence[float], points: Sequence[pull.Point], progress: Callable[[int, int], None] | None, whole: int,
    write: Callable[[float], str], measured: frozenset[str] = frozenset(),
) -> Answer:
    """Standard uncertainty of each point from the parts of the model, and which of them makes most of the torque's.

    Args:
        of: the engine's gas side.
        rates: speeds of the crank [rad/s].
        points: what it came to at them.
        progress: told how many of how many speeds are done.
        whole: how many that will be in all.
        write: writes a torque.
        measured: those of `MEASURED` that were.

    Returns:
        ``each``: for each speed the standard uncertainty of everything in `DOUBTED`; ``causes``.
    """
    total = [dict.fromkeys(DOUBTED, 0.0) for _ in rates]
    causes: list[Answer] = []
    for number, (words, usual, what) in enumerate(DOUBTS, 1):
        by = MEASURED[what] if what in measured else usual

        def told(done: int, _of: int, number: int = number) -> None:
            if progress is not None:
                progress(number * len(rates) + done, whole)

        moved = pull.pull(_changed(of, what, by), rates, progress=told)
        shifts = [b.torque - a.torque for a, b in zip(points, moved, strict=True)]
        for sums, one, other in zip(total, points, moved, strict=True):
            for name in DOUBTED:
                far = getattr(other, name) - getattr(one, name)
                sums[name] += far * far if isfinite(far) else 0.0
        shift = sum(map(abs, shifts)) / len(shifts)
        causes.append({"cause": words, "by": f"{by:.1%}", "mean_shift": shift, "mean_text": write(shift),
                       "share": sum(s * s for s in shifts)})
    whole_share = sum(cause["share"] for cause in causes) or 1.0
    for cause in causes:
        cause["share"] = round(cause["share"] / whole_share, 4)
    causes.sort(key=lambda cause: -cause["share"])
    return {"each": [{name: square**0.5 for name, square in sums.items()} for sums in total], "causes": causes}
