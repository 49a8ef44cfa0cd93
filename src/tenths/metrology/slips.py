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
_SET, _WHEEL, _ONE = 0.6, 0.5, 0.15

# One turn of the thimble, and one figure on the sleeve, for inch and metric.
_TURNS_INCH = (0.025 * INCH, 0.1 * INCH)
_TURNS_METRIC = (0.5e-3, 1e-3)
# One turn of the hand of a dial, for inch and metric.
_DIAL_INCH = {"dial bore gauge": 0.010 * INCH, "dial indicator": 0.1 * INCH, "test indicator": 0.010 * INCH}
# Units that are taken for each other: what was typed is so many times what it would be in the other unit.
_PAIRS: dict[str, tuple[tuple[str, str, float], ...]] = {
    "length": (("inches", "millimetres", 25.4),),
    "mass": (("ounces", "grams", 28.349523125),),
    "volume": (("cubic inches", "cubic centimetres", 16.387064),),
    "force": (("pounds", "newtons", 4.4482216152605),),
    "torque": (("lbf ft", "N m", 1.3558179483314004), ("lbf ft", "lbf in", 12.0)),
    "pressure": (("bar", "psi", 14.503773773), ("psi", "kPa", 6.894757293)),
    "stiffness": (("N/mm", "lbf/in", 5.710147163),),
    "angle": (("cam degrees", "crank degrees", 2.0),),
}
# A burette by its figures [m3]; a degree wheel by a half turn.
_BURETTE = (1e-6, 1e-5)
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
    quantity: str = "length",
    set_to: float | None = None,
) -> tuple[Slip, ...]:
    """Slips that would explain a reading that is far from what is expected.

    Args:
        value: the reading [m, or the SI unit of the quantity].
        expected: what it should be about [same].
        u: standard uncertainty of that expectation, spread of such parts included [same], above 0.
        kind: kind of the instrument.
        unit: size of the unit that was typed [same]: 0.0254 for inches, 0.001 for millimetres.
        text: the number as typed, in that unit; without it no digits are swapped.
        setting: the size that the gauge was set to [m], for a reading that was a deviation from it.
        neighbours: other places still open or alike -> what is expected there [same].
        quantity: what is read: "length", "mass", "volume", "force", "torque", "pressure", "stiffness", "angle",
            "temperature"; any other has no units that are taken for each other.
        set_to: the size that the gauge is set to, for a reading that was typed as a size [same].

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
    typed = _Typed(value, expected, kind, unit, text, setting, quantity, set_to)
    for weight, slip in _all(typed, u, neighbours or {}):
        key = (slip.place or "", round(slip.meant / (u * 1e-3)))
        score = weight * math.exp(-(slip.away**2) / 2)
        if slip.away <= EXPLAINED and (key not in found or found[key][0] < score):
            found[key] = (score, slip)
    total = sum(score for score, _ in found.values())
    ranked = sorted(found.values(), key=lambda pair: -pair[0])
    return tuple(Slip(s.what, s.words, s.meant, s.place, s.away, score / total) for score, s in ranked)


@dataclass(frozen=True, slots=True)
class _Typed:
    """The reading that looks odd, and what is known of it."""

    value: float
    expected: float
    kind: str
    unit: float
    text: str | None
    setting: float | None
    quantity: str
    set_to: float | None


def _all(typed: _Typed, u: float, neighbours: Mapping[str, float]) -> Iterator[tuple[float, Slip]]:
    value, setting = typed.value, typed.setting
    length = typed.quantity == "length"
    for weight, what, words, meant in (
        *(_turns(value, typed.kind, typed.unit) if length else ()),
        *_scales(value, typed.kind),
        *_swaps(typed),
        *_signs(value, setting),
        *_units(typed),
        *_without_sign(value, typed.set_to),
    ):
        yield weight, Slip(what, words, meant, None, abs(meant - typed.expected) / u, 0.0)
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


def _scales(value: float, kind: str) -> Iterator[Candidate]:
    """Whole figures of a burette; a degree wheel from the other side, or a half turn on."""
    if kind == "burette":
        for step in _BURETTE:
            for sign, where in ((-1, "high"), (1, "low")):
                yield _WHEEL, "figure of the burette", f"{step * 1e6:.0f} cc too {where}: a figure misread?", value + sign * step
    if kind == "degree wheel":
        for meant in (math.pi - value, value - math.pi, value + math.pi, 2 * math.pi - value):
            yield _WHEEL, "side of the wheel", f"Read from the other side: {math.degrees(meant):.4g} deg?", meant


def _swaps(typed: _Typed) -> Iterator[Candidate]:
    """Two figures of the typed number exchanged, or one of them another."""
    text = typed.text
    if text is None:
        return
    places = [i for i, c in enumerate(text) if c.isdigit()]
    for a, i in enumerate(places):
        for b, j in enumerate(places[a + 1 :], a + 1):
            if text[i] == text[j]:
                continue
            swapped = text[:i] + text[j] + text[i + 1 : j] + text[i] + text[j + 1 :]
            meant = _number(swapped, typed)
            if meant is not None:
                yield _SWAP if b == a + 1 else _FAR_SWAP, "figures swapped", f"Was {swapped} meant?", meant
        others = [text[:i] + figure + text[i + 1 :] for figure in "0123456789" if figure != text[i]]
        read = [(other, meant) for other in others if (meant := _number(other, typed)) is not None]
        if read and a < len(places) - 1:
            other, meant = min(read, key=lambda pair: abs(pair[1] - typed.expected))
            yield _ONE, "one figure", f"One figure wrong: was {other} meant?", meant


def _number(text: str, typed: _Typed) -> float | None:
    try:
        return float(text.replace(",", ".").replace("−", "-")) * typed.unit + (typed.setting or 0.0)
    except ValueError:
        return None


def _signs(value: float, setting: float | None) -> Iterator[Candidate]:
    middle = setting or 0.0
    yield _SIGN, "sign", "Plus and minus exchanged?", 2 * middle - value


def _units(typed: _Typed) -> Iterator[Candidate]:
    value, away = typed.value, typed.setting or 0.0
    for large, small, factor in _PAIRS.get(typed.quantity, ()):
        kind = "inch and millimetre" if typed.quantity == "length" else "unit"
        yield _UNIT, kind, f"Was that in {small}?", away + (value - away) / factor
        yield _UNIT, kind, f"Was that in {large}?", away + (value - away) * factor
    if typed.quantity == "temperature":
        yield _UNIT, "unit", "Was that in °F?", (value - 273.15 + 459.67) * 5 / 9
        yield _UNIT, "unit", "Was that in °C?", value * 9 / 5 - 459.67 + 273.15
        return
    yield _POINT, "decimal point", "Decimal point one place too far right?", away + (value - away) / 10
    yield _POINT, "decimal point", "Decimal point one place too far left?", away + (value - away) * 10


def _without_sign(value: float, set_to: float | None) -> Iterator[Candidate]:
    """A deviation that was typed without its sign, so that it was taken for a size."""
    if set_to is None:
        return
    yield _SET, "deviation without its sign", "Was that a deviation, above the setting?", set_to + value
    yield _SET, "deviation without its sign", "Was that a deviation, below the setting?", set_to - value


def _shown(step: float, unit: float) -> str:
    return f"{step / unit:.3f} in" if unit > 0.01 else f"{step / unit:g} mm"
