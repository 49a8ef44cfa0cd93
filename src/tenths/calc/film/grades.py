"""Viscosity grades of engine oils: their limits, the grades an oil fits, and a middle oil of each."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tenths.calc._check import positive
from tenths.calc.film.oil import ZERO_CELSIUS, Oil, viscosity_index, walther
from tenths.errors import BadInput

_MM2 = 1e-6
# Hot grades: kinematic viscosity at 100 degC from, and below [mm2/s]; at 150 degC and 1e6 1/s at least [mPa s].
_HOT = {
    8: (4.0, 6.1, 1.7),
    12: (5.0, 7.1, 2.0),
    16: (6.1, 8.2, 2.3),
    20: (6.9, 9.3, 2.6),
    30: (9.3, 12.5, 2.9),
    40: (12.5, 16.3, 3.7),
    50: (16.3, 21.9, 3.7),
    60: (21.9, 26.1, 3.7),
}
_SOFT_40 = 3.5  # 0W-40, 5W-40 and 10W-40 may be as thin as this at high shear
# Cold grades: kinematic viscosity at 100 degC at least [mm2/s]; cranking at most [mPa s] at [degC]; pumping at [degC].
_COLD = {
    0: (3.8, 6200, -35, -40),
    5: (3.8, 6600, -30, -35),
    10: (4.1, 7000, -25, -30),
    15: (5.6, 7000, -20, -25),
    20: (5.6, 9500, -15, -20),
    25: (9.3, 13000, -10, -15),
}
_INDEX_MULTIGRADE = {0: 175.0, 5: 165.0, 10: 150.0, 15: 138.0, 20: 125.0, 25: 110.0}
_INDEX_SINGLE = 98.0
_KEPT = 0.9  # of its viscosity at low shear a usual multigrade keeps in the test at high shear; from memory


@dataclass(frozen=True, slots=True)
class Grade:
    """A viscosity grade.

    Attributes:
        name: as printed on the can, "10W-40" or "30".
        least: kinematic viscosity at 100 degC from [m2/s].
        below: the same, below [m2/s]; infinite for a cold grade alone.
        high_shear: dynamic viscosity at 150 degC and a million 1/s, at least [Pa s]; 0 for a cold grade alone.
        cranking: dynamic viscosity for cranking, at most [Pa s], or None.
        cranking_at: its temperature [K], or None.
        pumping_at: temperature down to which 60 Pa s are kept for pumping [K], or None.
    """

    name: str
    least: float
    below: float
    high_shear: float
    cranking: float | None
    cranking_at: float | None
    pumping_at: float | None


def grade(name: str) -> Grade:
    """The limits of a grade.

    Args:
        name: "30", "10W", "10W-40"; a leading SAE and spaces do not matter.

    Returns:
        Its limits.

    Raises:
        BadInput: for a name that is no grade of the standard.

    Validity: grades of the 2015 edition; the columns used are unchanged later.
    Source: tables 1 and 2 in [J300].
    """
    text = name.upper().replace("SAE", "").replace(" ", "")
    cold_text, dash, hot_text = text.partition("-") if "W" in text else ("", "", text)
    if "W" in text and not dash:
        cold_text, hot_text = text, ""
    try:
        cold = int(cold_text.removesuffix("W")) if cold_text else None
        hot = int(hot_text) if hot_text or dash or cold is None else None
        frosty = _COLD[cold] if cold is not None else None
        warm = _HOT[hot] if hot is not None else (0.0, math.inf, 0.0)
    except (ValueError, KeyError):
        known = ", ".join([*(f"{value}W" for value in _COLD), *map(str, _HOT)])
        raise BadInput(f"grade is {name!r}: one of {known}, or a pair such as 10W-40, is accepted") from None
    shear = _SOFT_40 if hot == 40 and cold in (0, 5, 10) else warm[2]
    return Grade(
        name=text,
        least=max(warm[0], frosty[0] if frosty else 0.0) * _MM2,
        below=warm[1] * _MM2,
        high_shear=shear * 1e-3,
        cranking=frosty[1] * 1e-3 if frosty else None,
        cranking_at=frosty[2] + ZERO_CELSIUS if frosty else None,
        pumping_at=frosty[3] + ZERO_CELSIUS if frosty else None,
    )


def hot_grades(*, at_100: float, high_shear: float) -> list[str]:
    """The hot grades that an oil fits.

    Args:
        at_100: kinematic viscosity at 100 degC [m2/s].
        high_shear: dynamic viscosity at 150 degC and a million 1/s [Pa s].

    Returns:
        Names of the grades, thin to thick; the thin ones overlap.

    Raises:
        OutOfRange: unless both are above 0.

    Validity: as of `grade`.
    Source: tables 1 and 2 in [J300]; for 40 the limit of single grades.
    """
    positive(at_100=at_100, high_shear=high_shear)
    return [
        str(name)
        for name, (least, below, shear) in _HOT.items()
        if least <= at_100 / _MM2 < below and high_shear * 1e3 >= shear
    ]


def middle_oil(name: str) -> Oil:
    """An oil in the middle of a grade, for when no more than the grade is known.

    Args:
        name: of a grade with a hot number, as for `grade`.

    Returns:
        The oil: middle of the range at 100 degC, a usual viscosity index, and nine tenths of its viscosity kept at high shear.

    Raises:
        BadInput: for no grade, or a cold grade alone.

    Validity: oils of one grade differ by 15 % and more; type the maker's two viscosities where they are known.
    Source: limits of [J300]; indices of usual oils from memory.
    """
    limits = grade(name)
    if not math.isfinite(limits.below):
        raise BadInput(f"grade is {name!r}: a grade with a hot number, such as 30 or 10W-40, is needed")
    at_100 = (limits.least + limits.below) / 2.0
    cold = limits.name.partition("W")[0] if "W" in limits.name else None
    index = _INDEX_MULTIGRADE[int(cold)] if cold is not None else _INDEX_SINGLE
    at_40 = _with_index(at_100, index)
    line = walther([ZERO_CELSIUS + 40.0, ZERO_CELSIUS + 100.0], [at_40, at_100])
    oil = Oil(line)
    at_top = oil.viscosity(ZERO_CELSIUS + 150.0)
    return Oil(line, high_shear=min(at_top, max(limits.high_shear, _KEPT * at_top)) if cold is not None else None)


def _with_index(at_100: float, index: float) -> float:
    thin, thick = at_100 * 1.5, at_100 * 60.0
    for _ in range(60):
        middle = math.sqrt(thin * thick)
        if viscosity_index(at_40=middle, at_100=at_100) > index:
            thin = middle
        else:
            thick = middle
    return math.sqrt(thin * thick)
