"""The house's rules for the oil film: ``[film]`` of the house rules; limits by lining, and how engines of a use spend their time."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, cast

from tenths.calc.film.judged import LININGS, Lining
from tenths.engine.feature_film import STATES
from tenths.engine.quantity import Quantity, parse
from tenths.errors import BadInput
from tenths.findings.limits import HOUSE, PRACTICE, USES

_LIMITS = {"unit-load": Quantity.PRESSURE, "peak-pressure": Quantity.PRESSURE, "temperature": Quantity.TEMPERATURE, "film": Quantity.LENGTH,
           "ratio": Quantity.RATIO}
_DEFAULT_UNITS = {Quantity.PRESSURE: "MPa", Quantity.TEMPERATURE: "°C", Quantity.LENGTH: "µm", Quantity.RATIO: ""}
# Common practice, no source: share of the running time at idle, cruise, most torque, most power, highest speed.
TIMES: Mapping[str, tuple[float, ...]] = {
    "street": (0.25, 0.60, 0.10, 0.04, 0.01), "hard": (0.15, 0.50, 0.20, 0.12, 0.03), "circuit": (0.03, 0.15, 0.27, 0.40, 0.15),
    "drag": (0.20, 0.10, 0.20, 0.30, 0.20), "boosted": (0.20, 0.55, 0.18, 0.06, 0.01), "vintage": (0.25, 0.60, 0.12, 0.03, 0.0),
    "marine": (0.10, 0.30, 0.25, 0.30, 0.05),
}
# Common practice, no source: the lining where nobody says one.
USUAL_LININGS = {"circuit": "lead-bronze with overlay", "drag": "lead-bronze with overlay", "hard": "lead-bronze with overlay",
                 "boosted": "lead-bronze with overlay", "vintage": "tin-base white metal"}


@dataclass(frozen=True, slots=True)
class FilmRules:
    """What films are held against.

    Attributes:
        linings: limits of each lining, and the authority they have: house rule or common practice.
        times: share of the running time by kind of use [-], idle first, and the authority.
    """

    linings: Mapping[str, tuple[Lining, str]]
    times: Mapping[str, tuple[tuple[float, ...], str]]


def film_rules(house: Mapping[str, Any]) -> FilmRules:
    """Limits by lining and times by use: the house's own go before common practice.

    Args:
        house: the house rules as read from TOML.

    Raises:
        BadInput: naming the key of ``[film]`` that cannot be taken, and what is.
    """
    said = _table(house.get("film", {}), "film", (*_LIMITS, "source", "lining", "use"))
    every = {key: said[key] for key in (*_LIMITS, "source") if key in said}
    own = _table(said.get("lining", {}), "film.lining", tuple(one.name for one in LININGS))
    linings = {one.name: _lining(one, every, own.get(one.name, {})) for one in LININGS}
    uses = _table(said.get("use", {}), "film.use", USES)
    times = {use: (_times(uses[use], use), HOUSE) if use in uses else (shares, PRACTICE) for use, shares in TIMES.items()}
    return FilmRules(linings, times)


def vet_film(house: Mapping[str, Any]) -> None:
    """Raises BadInput unless ``[film]`` of house rules can be taken."""
    film_rules(house)


def _table(given: object, where: str, known: tuple[str, ...]) -> dict[str, Any]:
    if not isinstance(given, dict):
        raise BadInput(f"house rules: [{where}] is {given!r}: a table with {', '.join(known)} is taken")
    said = cast("dict[str, Any]", given)
    if unknown := sorted(set(said) - set(known)):
        raise BadInput(f"house rules: {where}: {unknown[0]!r} is not known; there are {', '.join(known)}")
    return said


def _lining(usual: Lining, every: Mapping[str, Any], own: object) -> tuple[Lining, str]:
    said = {**every, **_table(own, f"film.lining.{usual.name}", (*_LIMITS, "source"))}
    if not said:
        return usual, PRACTICE
    limits = {key.replace("-", "_"): _number(said[key], key) for key in _LIMITS if key in said}
    source = said.get("source", "house rules")
    if not isinstance(source, str):
        raise BadInput(f"house rules: film: source = {source!r}: text is taken")
    return replace(usual, **limits, source=source), HOUSE


def _number(value: object, key: str) -> float:
    quantity = _LIMITS[key]
    if isinstance(value, int | float) and not isinstance(value, bool) and quantity is Quantity.RATIO:
        found = float(value)
    elif isinstance(value, str):
        found = parse(value, quantity, default_unit=_DEFAULT_UNITS[quantity], field=f"house rules: film: {key}").si
    else:
        taken = "a number" if quantity is Quantity.RATIO else "text with its unit"
        raise BadInput(f"house rules: film: {key} = {value!r}: {taken} is taken")
    if not 0.0 < found < float("inf"):
        raise BadInput(f"house rules: film: {key} = {value!r}: more than 0 is taken")
    return found


def _times(given: object, use: str) -> tuple[float, ...]:
    said = _table(given, f"film.use.{use}", STATES)
    for state, value in said.items():
        if not isinstance(value, int | float) or isinstance(value, bool) or not 0.0 <= value <= 1.0:
            raise BadInput(f"house rules: film.use.{use}: {state} = {value!r}: a share from 0 to 1 is taken")
    shares = tuple(float(said.get(state, 0.0)) for state in STATES)
    if sum(shares) <= 0.0:
        raise BadInput(f"house rules: film.use.{use}: the shares are all 0; there are {', '.join(STATES)}")
    return shares
