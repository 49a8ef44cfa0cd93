"""Gross mistakes that would explain an odd reading, ranked. Nothing is ever corrected by itself."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from tenths.errors import BadInput

INCH = 0.0254
ODD = 4.0
EXPLAINED = 3.0

# How often a slip is met, relative to the others: common practice, no source.
_TURN, _PLACE, _SWAP, _SIGN, _UNIT, _POINT, _FAR_SWAP = 1.0, 0.8, 0.7, 0.6, 0.3, 0.3, 0.2

# One turn of the thimble, and one figure on the sleeve, for inch and metric.
_TURNS_INCH = (0.025 * INCH, 0.1 * INCH)
_TURNS_METRIC = (0.5e-3, 1e-3)
# One turn of the hand of a dial, for inch and metric.
_DIAL_INCH = {"dial bore gauge": 0.010 * INCH, "dial indicator": 0.1 * INCH, "test indicator": 0.010 * INCH}
_DIAL_METRIC = {"dial bore gauge": 0.2e-3, "dial indicator": 1e-3, "test indicator": 0.2e-3}


@dataclass(frozen=True, slots=True)
class Slip:
    """One explanation of an odd reading.

    Attributes:
        what: kind of slip.
        words: a sentence for the bench.
        meant: what the reading would then have been [m], or the same value where it belongs to another place.
        place: the other place, for a reading put on the wrong one.
        away: how far the explained reading is from what is expected, in standard uncertainties [-].
        share: weight among all explanations found [-].
    """

    what: str
    words: str
    meant: float
    place: str | None
    away: float
    share: float


def likely_slips(
    value: float,
    *,
    expected: float,
    u: float,
    kind: str,
    unit: float = INCH,
    text: str | None = None,
    setting: float | None = None,
    neighbours: Mapping[str, float] | None = None,
) -> tuple[Slip, ...]:
    """Slips that would explain a reading that is far from what is expected.

    Args:
        value: the reading [m].
        expected: what it should be about [m].
        u: standard uncertainty of that expectation, spread of such parts included [m], above 0.
        kind: kind of the instrument.
        unit: size of the unit that was typed [m]: 0.0254 for inches, 0.001 for millimetres.
        text: the number as typed, in that unit; without it no digits are swapped.
        setting: the size that the gauge was set to [m], for a reading that was a deviation from it.
        neighbours: other places still open or alike -> what is expected there [m].

    Returns:
        Explanations, best first; none if the reading is within 4 u of what is expected.

    Raises:
        BadInput: if a number is not finite, or u or unit is not above 0.
    """
    if not (math.isfinite(value) and math.isfinite(expected) and 0 < u < math.inf and 0 < unit < math.inf):
        raise BadInput(
            f"value {value}, expected {expected}, u {u}, unit {unit}: finite, and u and unit above 0, needed"
        )
    if abs(value - expected) < ODD * u:
        return ()
    found: dict[tuple[str, int], tuple[float, Slip]] = {}
    for weight, slip in _all(value, expected, u, kind, unit, text, setting, neighbours or {}):
        key = (slip.place or "", round(slip.meant / (u * 1e-3)))
        score = weight * math.exp(-(slip.away**2) / 2)
        if slip.away <= EXPLAINED and (key not in found or found[key][0] < score):
            found[key] = (score, slip)
    total = sum(score for score, _ in found.values())
    ranked = sorted(found.values(), key=lambda pair: -pair[0])
    return tuple(Slip(s.what, s.words, s.meant, s.place, s.away, score / total) for score, s in ranked)


def _all(
    value: float,
    expected: float,
    u: float,
    kind: str,
    unit: float,
    text: str | None,
    setting: float | None,
    neighbours: Mapping[str, float],
) -> Iterator[tuple[float, Slip]]:
    for weight, what, words, meant in (
        *_turns(value, kind, unit),
        *_swaps(text, unit, setting),
        *_signs(value, setting),
        *_units(value),
    ):
        yield weight, Slip(what, words, meant, None, abs(meant - expected) / u, 0.0)
    for place, there in neighbours.items():
        words = f"It would fit {place}. Was it read there?"
        yield _PLACE, Slip("wrong place", words, value, place, abs(value - there) / u, 0.0)


Candidate = tuple[float, str, str, float]


def _turns(value: float, kind: str, unit: float) -> Iterator[Candidate]:
    inch = unit > 0.01
    if "micrometer" in kind:
        for step, weight in zip(_TURNS_INCH if inch else _TURNS_METRIC, (_TURN, _TURN / 2), strict=True):
            shown = _shown(step, unit)
            for sign, where in ((-1, "high"), (1, "low")):
                yield weight, "thimble turn", f"{shown} too {where}: a turn of the thimble?", value + sign * step
    hand = (_DIAL_INCH if inch else _DIAL_METRIC).get(kind)
    if hand is not None:
        for sign, where in ((-1, "high"), (1, "low")):
            yield _TURN, "dial turn", f"{_shown(hand, unit)} too {where}: a turn of the hand?", value + sign * hand


def _swaps(text: str | None, unit: float, setting: float | None) -> Iterator[Candidate]:
    """Two figures of the typed number exchanged."""
    if text is None:
        return
    places = [i for i, c in enumerate(text) if c.isdigit()]
    for a, i in enumerate(places):
        for b, j in enumerate(places[a + 1 :], a + 1):
            if text[i] == text[j]:
                continue
            swapped = text[:i] + text[j] + text[i + 1 : j] + text[i] + text[j + 1 :]
            try:
                meant = float(swapped.replace(",", ".").replace("−", "-")) * unit + (setting or 0.0)
            except ValueError:
                return
            yield _SWAP if b == a + 1 else _FAR_SWAP, "figures swapped", f"Was {swapped} meant?", meant


def _signs(value: float, setting: float | None) -> Iterator[Candidate]:
    middle = setting or 0.0
    yield _SIGN, "sign", "Plus and minus exchanged?", 2 * middle - value


def _units(value: float) -> Iterator[Candidate]:
    yield _UNIT, "inch and millimetre", "Was that in millimetres?", value / 25.4
    yield _UNIT, "inch and millimetre", "Was that in inches?", value * 25.4
    yield _POINT, "decimal point", "Decimal point one place too far right?", value / 10
    yield _POINT, "decimal point", "Decimal point one place too far left?", value * 10


def _shown(step: float, unit: float) -> str:
    return f"{step / unit:.3f} in" if unit > 0.01 else f"{step / unit:g} mm"
