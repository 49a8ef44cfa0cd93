"""The gas of one engine: its fresh charge and the burned gas that comes of it, as tables that the cycle looks up."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tenths.calc._check import within
from tenths.calc.gas import species
from tenths.calc.gas.fuel import Fuel, charge_moles, stoichiometric

Floats = species.Floats
FROZEN = 1500.0  # K: below it burned gas keeps what it was here
FIRST, STEP, COUNT = 250.0, 25.0, 143  # K; the last is 3800
PRESSURES = np.geomspace(2e4, 3e7, 12)
_PIPE_FRESH, _PIPE_BURNED = (250.0, 900.0), (300.0, 1500.0)


@dataclass(frozen=True, slots=True)
class Gas:
    """Gas of one engine, per kilogram.

    Attributes:
        fresh: of energy e0 + c0 T + c1 T^2 / 2 and the gas constant, of the fresh charge in pipes: e0, c0, c1, R [J, kg, K].
        burned: the same of burned gas in pipes.
        fresh_energy: of the fresh charge at FIRST + k STEP [J/kg].
        fresh_constant: its gas constant [J/(kg K)].
        burned_energy: of burned gas in the cylinder [J/kg], shape (temperatures, pressures).
        burned_constant: its gas constant [J/(kg K)], the same shape.
        fuel_share: mass of fuel over mass of charge [-].
        air_share: mass of dry air over mass of charge [-].
    """

    fresh: Floats
    burned: Floats
    fresh_energy: Floats
    fresh_constant: float
    burned_energy: Floats
    burned_constant: Floats
    fuel_share: float
    air_share: float


def temperatures() -> Floats:
    """Knots of the tables.

    Returns:
        Temperatures [K].

    Validity: own choice.
    Source: own choice.
    """
    return FIRST + STEP * np.arange(COUNT, dtype=np.float64)


def gas(of: Fuel, *, richness: float, humidity: float = 0.0) -> Gas:
    """The gas of an engine.

    Args:
        of: the fuel.
        richness: fuel over that which the air just burns [-], 0.6 to 1.5.
        humidity: mass of water over mass of dry air [-], 0 to 0.06.

    Returns:
        Tables and polynomials.

    Raises:
        OutOfRange: outside those ranges.

    Validity: 250 to 3800 K; burned gas at equilibrium above 1500 K and frozen below. Polynomials for pipes fit within 1 % of
        the heat capacity there.
    Source: properties as of `species`.
    """
    within(0.6, 1.5, richness=richness)
    return _made(tuple(of.parts.items()), of.molar_mass, richness, humidity)


@lru_cache(maxsize=16)
def _made(parts: tuple[tuple[str, float], ...], molar_mass: float, richness: float, humidity: float) -> Gas:
    """Kept, since a change of pipes or valves leaves the gas as it is and a good many equilibria are solved for it."""
    of = Fuel("", dict(parts), molar_mass, 0.0, 0.0, 0.0)
    moles = charge_moles(of, richness=richness, humidity=humidity)
    names = tuple(moles)
    amounts = np.array([moles[name] for name in names])
    mass = float(amounts @ [species.molar_mass(name) for name in names])
    hot = temperatures()
    constant = species.GAS_CONSTANT * float(np.sum(amounts)) / mass
    energy = amounts @ species.enthalpy(names, hot) / mass - constant * hot
    burned_energy, burned_constant = _burned(np.asarray(amounts @ [species.atoms(name) for name in names]), mass, hot)
    middle = int(np.searchsorted(PRESSURES, 1.5e5))
    fuel_mass = richness / stoichiometric(of)
    whole = 1.0 + humidity + fuel_mass
    return Gas(
        fresh=_pipe(hot, energy, constant, _PIPE_FRESH),
        burned=_pipe(hot, burned_energy[:, middle], float(burned_constant[10, middle]), _PIPE_BURNED),
        fresh_energy=energy,
        fresh_constant=constant,
        burned_energy=burned_energy,
        burned_constant=burned_constant,
        fuel_share=fuel_mass / whole,
        air_share=1.0 / whole,
    )


def _burned(elements: Floats, mass: float, hot: Floats) -> tuple[Floats, Floats]:
    """Energy and gas constant of burned gas, shape (temperatures, pressures)."""
    kept = np.maximum(hot, FROZEN)
    energy, constant = np.empty((hot.size, PRESSURES.size)), np.empty((hot.size, PRESSURES.size))
    different = kept > FROZEN
    heats = species.enthalpy(species.BURNED, hot)
    for at, pressure in enumerate(PRESSURES):
        amounts = np.empty((len(species.BURNED), hot.size))
        amounts[:, different] = species.equilibrium(elements, hot[different], float(pressure))
        amounts[:, ~different] = species.equilibrium(elements, FROZEN, float(pressure))
        moles = amounts.sum(axis=0)
        constant[:, at] = species.GAS_CONSTANT * moles / mass
        energy[:, at] = (amounts * heats).sum(axis=0) / mass - constant[:, at] * hot
    return energy, constant


def _pipe(hot: Floats, energy: Floats, constant: float, between: tuple[float, float]) -> Floats:
    """Least squares of e0 + c0 T + c1 T^2 / 2 over the temperatures that pipes see."""
    chosen = (hot >= between[0]) & (hot <= between[1])
    terms = np.stack([np.ones(int(chosen.sum())), hot[chosen], hot[chosen] ** 2 / 2.0], axis=1)
    found = np.linalg.lstsq(terms, energy[chosen], rcond=None)[0]
    return np.array([*found, constant])
