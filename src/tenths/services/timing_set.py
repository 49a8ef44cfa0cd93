"""Which position of the timing set brings the intake's centre to its target, the chain's wear allowed for."""

import re
from math import degrees, radians

from tenths.calc.valves import timing
from tenths.choose.answer import Alternative, Answer, Pick, Predicted, Score, Stop, best_of
from tenths.engine.quantity import Quantity, parse
from tenths.errors import BadInput
from tenths.logbook.build import Build
from tenths.metrology.estimate import Estimate, combine, single
from tenths.services.asked import Asked
from tenths.services.knobs import Knob, Knobs
from tenths.services.lobe_fits import Read, carded, read_lobes, shaft_of
from tenths.services.wheel import Timed, timed

NAME, TITLE, CENTRE = "cam-timing", "Position of the timing set", "cam-centre"
MOST = radians(60)
FINE = radians(0.25)  # steps at which a vernier is looked at
USUAL = "-8 -6 -4 -2 0 2 4 6 8"
_NAMED = re.compile(r"(?:([A-Za-z0-9_.-]+)=)?([-+]?\d+(?:\.\d+)?)")


def positions_of(text: str) -> tuple[tuple[str, float], ...]:
    """Positions as typed: names and how much earlier each puts the shaft than the marks do, of the crank [rad].

    ``-4 -2 0 2 4`` or ``A=-4 B=0 C=4``; ``steps of 2 to 8`` is every 2 degrees to 8 either way; ``vernier 10`` anything to 10
    either way; with ``cam`` before it, degrees are those of the cam.

    Raises:
        BadInput: when the text is none of these.
    """
    said = text.strip().removesuffix("degrees").strip()
    scale = 2.0 if said.lower().startswith("cam ") else 1.0
    plain = said[4:].strip() if scale > 1.0 else said
    if found := re.fullmatch(r"vernier\s+(\d+(?:\.\d+)?)", plain, re.IGNORECASE):
        return _even(FINE, radians(float(found[1])) * scale)
    if found := re.fullmatch(r"steps\s+of\s+(\d+(?:\.\d+)?)\s+to\s+(\d+(?:\.\d+)?)", plain, re.IGNORECASE):
        if float(found[1]) == 0.0:
            raise BadInput(f"positions: {text!r} has steps of nothing; steps of 2 to 8 is taken")
        return _even(radians(float(found[1])) * scale, radians(float(found[2])) * scale)
    rows: list[tuple[str, float]] = []
    for word in plain.replace(",", " ").split():
        found = _NAMED.fullmatch(word)
        if found is None:
            raise BadInput(f"positions: {text!r} is not understood at {word!r}; give {TAKES}")
        angle = parse(found[2], Quantity.ANGLE, default_unit="deg", field="positions").si * scale
        rows.append((found[1] or f"{degrees(angle):+g}", angle))
    if not rows or max(abs(a) for _, a in rows) > MOST:
        raise BadInput(f"positions: {text!r} is not taken; give {TAKES}, none beyond 60 degrees")
    return tuple(rows)


def _even(step: float, most: float) -> tuple[tuple[str, float], ...]:
    if not 0.0 < most <= MOST or most / step > 400:
        raise BadInput(f"positions: {degrees(most):g} degrees in steps of {degrees(step):g} are not taken; "
                       "at most 60 degrees and 800 steps")
    count = int(most / step + 1e-9)
    return tuple((f"{degrees(k * step):+g}", k * step) for k in range(-count, count + 1))


TAKES = "positions in degrees of the crank such as -4 -2 0 2 4 or A=-4 B=0 C=4, steps of 2 to 8, or vernier 10; cam in front for the cam's"
A = Quantity.ANGLE
KNOBS = Knobs(NAME, (
    Knob("target", "intake centre wanted; empty takes the maker's card", A, least=radians(60), most=radians(150),
         takes="an angle after top dead centre, 60 to 150 degrees"),
    Knob("positions", "positions of the timing set, + is earlier", None, USUAL, reads=positions_of, takes=TAKES),
    Knob("wear", "how much later the shaft will be when the chain has worn in, degrees of the crank", A, "1 deg",
         takes="an angle, 0 to 6 degrees", most=radians(6)),
    Knob("check", "lift at the lobe at which seat events are told", Quantity.LENGTH, "0.006 in", "0.15 mm", least=2e-5, most=2e-3,
         takes="a lift of 0.02 to 2 mm"),
    Knob("wanted", "how sure the centre must be, 95 %", A, "0.25 deg", least=radians(0.02), most=radians(5),
         takes="an angle, 0.02 to 5 degrees"),
))


def cam_timing(build: Build) -> Asked | None:
    """The question which position of the timing set is best; None before an intake lobe was read and a target is known."""
    if build.layout is None or not build.cams.batches:
        return None
    model = timed(build)
    return asked(model, read_lobes(model))


def asked(model: Timed, read: list[Read]) -> Asked | None:
    """The question from lobes already worked out."""
    build = model.build
    lobe = guide(read)
    target = target_of(build)
    if lobe is None or target is None or lobe.now is None:
        return None
    rows, wear = positions_of(KNOBS.text(build, "positions")), KNOBS.number(build, "wear")
    here = sum(m.advance for m in build.cams.moves if m.body.shaft in {"", shaft_of(build, lobe.station)})
    options = timing.best_position(centre=lobe.now.value, target=target, wear=wear, advances=[a - here for _, a in rows])
    names = {round(a - here, 9): name for name, a in rows}
    answer = best_of(
        TITLE, [_option(lobe, p.advance, names[round(p.advance, 9)], p, target) for p in options],
        why=lambda best: _why(best, lobe, target, wear, here),
        rests_on=tuple(b.mark.entry for b in lobe.batches))
    if options[0].off > radians(4.0):
        answer = _far(options[0].off, lobe, target)
    entries = tuple(b.mark.entry for b in lobe.batches) + ((lobe.zero.zero.mark.entry,) if lobe.zero else ())
    notes = (lobe.late,) if lobe.late else ()
    return Asked(NAME, TITLE, answer, entries, notes, settings=KNOBS.settings(build))


def guide(read: list[Read]) -> Read | None:
    """The intake lobe that timing goes by: the surest one that holds."""
    rows = [r for r in read if r.side == "intake" and r.centre is not None and not r.stale]
    return min(rows, key=lambda r: r.centre.standard_error if r.centre else 0.0, default=None)


def target_of(build: Build) -> float | None:
    """The intake centre wanted: as set, else off the maker's card [rad]."""
    said = KNOBS.maybe(build, "target")
    return said if said is not None or build.cams.card is None else carded(build.cams.card, "intake").centre


def centre_estimate(lobe: Read, shift: float) -> Estimate:
    """The centre with its two causes: top dead centre, which all lobes of a zero share, and the lobe's own readings."""
    assert lobe.own is not None  # noqa: S101 - the caller has a centre
    assert lobe.zero is not None  # noqa: S101 - the same
    own = single(lobe.own.value - lobe.moved + shift, lobe.own.standard_error, f"lobe:{lobe.station}")
    return combine((1.0, 1.0), (own, single(0.0, lobe.zero.error, f"wheel:{lobe.zero.zero.mark.entry}")))


def _option(lobe: Read, advance: float, name: str, position: timing.Position, target: float) -> Alternative:
    way = "earlier" if advance > 0 else "later"
    words = "as it stands" if abs(advance) < 1e-6 else f"position {name}: {abs(degrees(advance)):.2f} degrees {way}"
    told = Predicted(lobe.station, CENTRE, centre_estimate(lobe, -advance), target=target)
    scores = (Score("farthest from the target, fresh or worn in", degrees(position.off), "deg"),
              Score("moved", abs(degrees(advance)), "deg"))
    return Alternative((Pick("timing", name, words, advance),), (told,), scores,
                       f"{words}: {degrees(position.fresh):.2f} degrees, worn in {degrees(position.worn):.2f}")


def _why(best: Alternative, lobe: Read, target: float, wear: float, here: float) -> tuple[str, ...]:
    assert lobe.now is not None  # noqa: S101 - the caller has a centre
    fresh = best.predicted[0].estimate
    stands = f"{degrees(lobe.now.value):.2f} ±{degrees(1.96 * lobe.now.standard_error):.2f}"
    said = [(f"The intake's centre stands at {stands} degrees after top dead centre; {degrees(target):.2f} is wanted."),
            (f"In this position it comes to {degrees(fresh.value):.2f}, and to {degrees(fresh.value + wear):.2f} when the chain has worn "
             f"in by {degrees(wear):.2f} degrees: the wear is split about the target as well as the positions let it.")]
    if here:
        said.append(f"The set stands {degrees(here):+.2f} degrees from its marks now.")
    return tuple(said)


def _far(off: float, lobe: Read, target: float) -> Answer:
    words = (f"No position comes nearer than {degrees(off):.1f} degrees to {degrees(target):.1f}: a tooth out, another cylinder's lobe, "
             "a wrong zero, or a set without such positions. Look before anything is moved.")
    return Answer(TITLE, (), stops=(Stop(lobe.station, "positions of the timing set", words),))


def wanted_of(build: Build) -> float:
    """How sure a centre must be: standard error [rad]."""
    return KNOBS.number(build, "wanted") / 1.96


def shared_and_own(lobe: Read) -> tuple[float, float]:
    """Standard errors of a centre: from top dead centre, and from the lobe's own readings [rad]."""
    return (lobe.zero.error if lobe.zero else 0.0), (lobe.own.standard_error if lobe.own else 0.0)

