"""Properties of the gases in an engine, and what burned gas consists of when it is hot.

Energies are absolute: they include the heat of formation at 298.15 K, so that burning is a change of composition and nothing is
added. Amounts are in moles, temperatures in kelvin.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tenths.calc._check import positive, within
from tenths.errors import BadInput

Floats = NDArray[np.float64]
GAS_CONSTANT = 8.314462618  # J/(mol K)
BURNED = ("CO2", "H2O", "N2", "O2", "Ar", "CO", "H2", "H", "O", "OH", "NO", "N")
ELEMENTS = ("C", "H", "O", "N", "Ar")
_WEIGHTS = {"C": 0.012011, "H": 0.001008, "O": 0.015999, "N": 0.014007, "Ar": 0.03995}
_STANDARD = 101325.0  # Pa, pressure of the table
_FILE = Path(__file__).parents[2] / "data" / "species.json"
_ROUNDS = 300
COLDEST, HOTTEST = 200.0, 6000.0


@cache
def _table() -> dict[str, Any]:
    return json.loads(_FILE.read_text("utf-8"))["species"]


def names() -> list[str]:
    """All species of the table.

    Returns:
        Their names.

    Validity: as the table.
    Source: polynomials in seven coefficients of [NASA7].
    """
    return list(_table())


def _of(name: str) -> dict[str, Any]:
    try:
        return _table()[name]
    except KeyError:
        raise BadInput(f"species is {name!r}: one of {', '.join(names())} is accepted") from None


def atoms(name: str) -> Floats:
    """Atoms of a molecule.

    Args:
        name: of the species.

    Returns:
        Numbers of C, H, O, N and Ar [-].

    Raises:
        BadInput: for a species that is not in the table.

    Validity: as the table.
    Source: formula.
    """
    counted = _of(name)["atoms"]
    return np.array([float(counted.get(element, 0.0)) for element in ELEMENTS])


def molar_mass(name: str) -> float:
    """Mass of a mole.

    Args:
        name: of the species.

    Returns:
        Molar mass [kg/mol].

    Raises:
        BadInput: for a species that is not in the table.

    Validity: standard atomic weights.
    Source: atomic weights of [IUPAC].
    """
    return float(atoms(name) @ [_WEIGHTS[element] for element in ELEMENTS])


def _coefficients(species: tuple[str, ...], temperature: Floats) -> Floats:
    """Shape (7, species, temperatures)."""
    chosen = np.empty((7, len(species), temperature.size))
    for at, name in enumerate(species):
        one = _of(name)
        hot = temperature >= one["middle"]
        chosen[:, at] = np.where(hot, np.array(one["high"])[:, None], np.array(one["low"])[:, None])
    return chosen


def _checked(temperature: Floats | float) -> Floats:
    given = np.atleast_1d(np.asarray(temperature, dtype=np.float64)).ravel()
    for value in (float(np.min(given)), float(np.max(given))):
        within(COLDEST, HOTTEST, temperature=value)
    return given


def enthalpy(species: tuple[str, ...], temperature: Floats | float) -> Floats:
    """Molar enthalpy, with that of formation.

    Args:
        species: names.
        temperature: one or more [K], 200 to 6000.

    Returns:
        Enthalpy [J/mol], shape (species, temperatures).

    Raises:
        BadInput: for a species that is not in the table.
        OutOfRange: for temperatures outside of that range.

    Validity: ideal gases.
    Source: polynomials of [NASA7].
    """
    hot = _checked(temperature)
    a = _coefficients(species, hot)
    series = a[0] + hot * (a[1] / 2 + hot * (a[2] / 3 + hot * (a[3] / 4 + hot * a[4] / 5)))
    return GAS_CONSTANT * (hot * series + a[5])


def heat_capacity(species: tuple[str, ...], temperature: Floats | float) -> Floats:
    """Molar heat capacity at constant pressure.

    Args:
        species: names.
        temperature: one or more [K], 200 to 6000.

    Returns:
        Heat capacity [J/(mol K)], shape (species, temperatures).

    Raises:
        BadInput: for a species that is not in the table.
        OutOfRange: for temperatures outside of that range.

    Validity: ideal gases.
    Source: polynomials of [NASA7].
    """
    hot = _checked(temperature)
    a = _coefficients(species, hot)
    return GAS_CONSTANT * (a[0] + hot * (a[1] + hot * (a[2] + hot * (a[3] + hot * a[4]))))


def entropy(species: tuple[str, ...], temperature: Floats | float) -> Floats:
    """Molar entropy at one atmosphere.

    Args:
        species: names.
        temperature: one or more [K], 200 to 6000.

    Returns:
        Entropy [J/(mol K)], shape (species, temperatures).

    Raises:
        BadInput: for a species that is not in the table.
        OutOfRange: for temperatures outside of that range.

    Validity: ideal gases.
    Source: polynomials of [NASA7].
    """
    hot = _checked(temperature)
    a = _coefficients(species, hot)
    return GAS_CONSTANT * (a[0] * np.log(hot) + hot * (a[1] + hot * (a[2] / 2 + hot * (a[3] / 3 + hot * a[4] / 4))) + a[6])


def equilibrium(elements: Floats, temperature: Floats | float, pressure: Floats | float) -> Floats:
    """What burned gas consists of at equilibrium.

    Args:
        elements: moles of C, H, O, N and Ar atoms [mol], all but C and Ar above 0.
        temperature: one or more [K], 500 to 6000.
        pressure: of each, or one for all [Pa].

    Returns:
        Moles of each species of `BURNED` [mol], shape (species, temperatures).

    Raises:
        BadInput: for other than five amounts, a mixture without hydrogen, oxygen or nitrogen, or so rich that soot would form.
        OutOfRange: for temperatures or pressures outside of their range.

    Validity: ideal gases of carbon, hydrogen, oxygen, nitrogen and argon; no soot; below 1000 K equilibrium is not what an
        engine's exhaust has.
    Source: least free energy by element potentials, as in [Gordon] part I; Newton's method on their logarithms.
    """
    given = np.asarray(elements, dtype=np.float64)
    hot = _checked(temperature)
    under = np.broadcast_to(np.asarray(pressure, dtype=np.float64), hot.shape)
    within(500.0, HOTTEST, temperature=float(np.min(hot)))
    positive(pressure=float(np.min(under)))
    if given.shape != (len(ELEMENTS),) or np.any(given < 0.0) or not np.all(given[1:4] > 0.0):
        raise BadInput(f"elements are {given.tolist()}: amounts of C, H, O, N and Ar, with some H, O and N, are needed")
    if given[2] <= given[0] * 1.0001:
        raise BadInput(f"elements have {given[0]:g} mol C for {given[2]:g} mol O: more oxygen is needed, else soot forms")
    return _solved(given, hot, under)


def _solved(elements: Floats, hot: Floats, under: Floats) -> Floats:
    present = elements > 0.0
    matrix = np.array([atoms(name) for name in BURNED])
    allowed = ~np.any(matrix[:, ~present] > 0.0, axis=1)
    matrix = matrix[:, present]
    wanted = elements[present]
    free = enthalpy(BURNED, hot) / (GAS_CONSTANT * hot) - entropy(BURNED, hot) / GAS_CONSTANT + np.log(under / _STANDARD)
    total = float(np.sum(wanted))
    amounts = np.where(allowed[:, None], np.full(free.shape, 0.1 * total / len(BURNED)), 0.0)
    amount = np.full(hot.size, 0.1 * total)
    step = np.zeros_like(amounts)
    for _ in range(_ROUNDS):
        step, step_total = _newton(matrix, wanted, free, amounts, amount, allowed)
        size = _damping(step, step_total)
        amounts = np.where(allowed[:, None], amounts * np.exp(np.clip(size * step, -50.0, 50.0)), 0.0)
        amounts = np.maximum(amounts, np.where(allowed[:, None], 1e-30 * total, 0.0))
        amount = amount * np.exp(size * step_total)
        if np.max(np.abs(step_total)) < 1e-10 and np.max(np.abs(step * amounts)) < 1e-10 * total:
            return amounts
    worst = float(hot[int(np.argmax(np.max(np.abs(step * amounts), axis=0)))])
    raise BadInput(f"equilibrium did not settle at {worst:g} K: check elements {elements.tolist()}")


def _newton(
    matrix: Floats, wanted: Floats, free: Floats, amounts: Floats, amount: Floats, allowed: NDArray[np.bool_]
) -> tuple[Floats, Floats]:
    """Steps of the logarithms of each amount and of their sum, for all temperatures at once."""
    count = matrix.shape[1]
    potential = free + np.log(np.maximum(amounts, 1e-300) / amount)
    potential = np.where(allowed[:, None], potential, 0.0)
    weighted = np.einsum("se,st->ste", matrix, amounts)
    system = np.zeros((amount.size, count + 1, count + 1))
    system[:, :count, :count] = np.einsum("ste,sf->tef", weighted, matrix)
    sums = weighted.sum(axis=0)
    system[:, :count, count] = sums
    system[:, count, :count] = sums
    system[:, count, count] = amounts.sum(axis=0) - amount
    right = np.zeros((amount.size, count + 1))
    right[:, :count] = wanted - sums + np.einsum("ste,st->te", weighted, potential)
    right[:, count] = amount - amounts.sum(axis=0) + np.einsum("st,st->t", amounts, potential)
    found: Floats = np.asarray(np.linalg.solve(system, right[..., None])[..., 0], dtype=np.float64)
    return matrix @ found[:, :count].T + found[:, count] - potential, found[:, count]


def _damping(step: Floats, step_total: Floats) -> Floats:
    largest = np.maximum(5.0 * np.abs(step_total), np.max(np.abs(np.minimum(step, 1e9)), axis=0))
    return np.minimum(1.0, 2.0 / np.maximum(largest, 1e-300))
