"""Fuels as blends of known liquids, and the charge that they make with air."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tenths.calc._check import not_negative, positive, within
from tenths.calc.gas import species
from tenths.errors import BadInput

_ROOM = 298.15
# Of each liquid: density at 15 degC [kg/m3], heat of evaporation at 25 degC [J/kg]. From memory of handbooks.
_LIQUIDS = {
    "iso-octane": (696.0, 308e3),
    "heptane": (688.0, 365e3),
    "toluene": (872.0, 413e3),
    "benzene": (884.0, 434e3),
    "ethanol": (794.0, 920e3),
    "methanol": (796.0, 1170e3),
    "propane": (508.0, 0.0),
    "methane": (0.717, 0.0),
}
# Parts by volume, and octane number by the mean of both methods. Petrol is a surrogate of three liquids with its hydrogen and heat.
_KNOWN = {
    "petrol 95": ({"iso-octane": 0.55, "toluene": 0.33, "heptane": 0.12}, 90.0),
    "petrol 98": ({"iso-octane": 0.56, "toluene": 0.36, "heptane": 0.08}, 93.0),
    "race petrol 110": ({"iso-octane": 0.60, "toluene": 0.40}, 110.0),
    "E10": ({"iso-octane": 0.49, "toluene": 0.29, "heptane": 0.12, "ethanol": 0.10}, 91.0),
    "E85": ({"iso-octane": 0.09, "toluene": 0.045, "heptane": 0.015, "ethanol": 0.85}, 98.0),
    "ethanol": ({"ethanol": 1.0}, 99.0),
    "methanol": ({"methanol": 1.0}, 99.0),
    "iso-octane": ({"iso-octane": 1.0}, 100.0),
    "propane": ({"propane": 1.0}, 104.0),
    "methane": ({"methane": 1.0}, 120.0),
}
_BLENDING = {"ethanol": 112.0, "methanol": 115.0, "toluene": 107.0, "benzene": 99.0, "iso-octane": 100.0, "heptane": 0.0}
_AIR = {"O2": 0.2095, "N2": 0.7808, "Ar": 0.0093, "CO2": 0.0004}  # dry air, by moles


@dataclass(frozen=True, slots=True)
class Fuel:
    """A fuel.

    Attributes:
        name: as asked for.
        parts: mole fraction of each species [-].
        molar_mass: [kg/mol].
        density: of the liquid at 15 degC [kg/m3].
        evaporation: heat that evaporates the liquid [J/kg].
        octane: mean of research and motor method [-].
    """

    name: str
    parts: dict[str, float]
    molar_mass: float
    density: float
    evaporation: float
    octane: float

    @property
    def atoms(self) -> species.Floats:
        """C, H, O, N and Ar in a mole of fuel [-]."""
        return np.sum([share * species.atoms(name) for name, share in self.parts.items()], axis=0)


def known_fuels() -> list[str]:
    """Names that `fuel` takes.

    Returns:
        The names.

    Validity: own list.
    Source: own list.
    """
    return list(_KNOWN)


def fuel(name: str, *, octane: float | None = None) -> Fuel:
    """A fuel by name.

    Args:
        name: one of `known_fuels`.
        octane: its number, mean of both methods, where the maker gives one [-].

    Returns:
        The fuel.

    Raises:
        BadInput: for a name that is not known.

    Validity: pump fuels differ by season and place: a surrogate with the same hydrogen, oxygen and heat stands for them.
    Source: parts chosen to meet hydrogen to carbon of 1.87 and 44.0 MJ/kg of petrol in [Heywood] appendix D within 3 %.
    """
    if name not in _KNOWN:
        raise BadInput(f"fuel is {name!r}: one of {', '.join(_KNOWN)}, or a blend of {', '.join(_LIQUIDS)}, is accepted")
    volumes, usual = _KNOWN[name]
    return blend(volumes, name=name, octane=usual if octane is None else octane)


def blend(volumes: Mapping[str, float], *, name: str = "blend", octane: float) -> Fuel:
    """A fuel by what it is blended of.

    Args:
        volumes: parts by volume of the liquids; their sum does not matter [-].
        name: for the record.
        octane: mean of both methods [-].

    Returns:
        The fuel.

    Raises:
        BadInput: for a liquid that is not known, or no parts.
        OutOfRange: for parts below 0, or an octane number outside of 40 to 130.

    Validity: volumes add up.
    Source: definition; densities and heats of evaporation from memory.
    """
    within(40.0, 130.0, octane=octane)
    unknown = set(volumes) - set(_LIQUIDS)
    if unknown or not volumes:
        raise BadInput(f"blend has {', '.join(sorted(unknown)) or 'no parts'}: parts of {', '.join(_LIQUIDS)} are accepted")
    not_negative(**{key.replace("-", "_"): value for key, value in volumes.items()})
    total = sum(volumes.values())
    positive(sum_of_parts=total)
    masses = {key: value * _LIQUIDS[key][0] for key, value in volumes.items() if value}
    moles = {key: mass / species.molar_mass(key) for key, mass in masses.items()}
    mass, count = sum(masses.values()), sum(moles.values())
    heat = sum(part * _LIQUIDS[key][1] for key, part in masses.items()) / mass
    return Fuel(name, {key: value / count for key, value in moles.items()}, mass / count, mass / total, heat, octane)


def mixed(name: str, added: Mapping[str, float], *, octane: float | None = None) -> Fuel:
    """A known fuel with other liquids mixed into it.

    Args:
        name: one of `known_fuels`.
        added: share of the whole volume of each liquid [-].
        octane: mean of both methods, where it is known [-]; else the volumes' mean of the liquids' own blending numbers.

    Returns:
        The fuel.

    Raises:
        BadInput: for a name or a liquid that is not known.
        OutOfRange: for shares below 0, or that make up all of it.

    Validity: volumes add up; octane numbers of blends go by volume only roughly, within 3.
    Source: definition; blending numbers from memory of handbooks.
    """
    base = fuel(name)
    share = sum(added.values())
    within(0.0, 0.999, added=share)
    volumes, _ = _KNOWN[name]
    whole = {key: part / sum(volumes.values()) * (1.0 - share) for key, part in volumes.items()}
    for key, part in added.items():
        whole[key] = whole.get(key, 0.0) + part
    own = base.octane * (1.0 - share) + sum(part * _BLENDING.get(key, base.octane) for key, part in added.items())
    parts = ", ".join(f"{part:.0%} {key}" for key, part in added.items())
    return blend(whole, name=f"{name} with {parts}", octane=min(own, 130.0) if octane is None else octane)


def stoichiometric(of: Fuel) -> float:
    """Mass of dry air that just burns a mass of fuel.

    Args:
        of: the fuel.

    Returns:
        Air over fuel by mass [-].

    Validity: burning to carbon dioxide and water.
    Source: [Heywood] Eq. 3.6, with argon.
    """
    carbon, hydrogen, oxygen = of.atoms[:3]
    wanted = carbon + hydrogen / 4.0 - oxygen / 2.0
    return float(wanted / _AIR["O2"] * air_mass() / of.molar_mass)


def air_mass() -> float:
    """Mass of a mole of dry air.

    Returns:
        Molar mass [kg/mol].

    Validity: near the ground.
    Source: composition in [Heywood] section 3.2.
    """
    return sum(share * species.molar_mass(name) for name, share in _AIR.items())


def heating_value(of: Fuel, *, liquid: bool = True) -> float:
    """Heat that a fuel gives when it burns to carbon dioxide and water vapour.

    Args:
        of: the fuel.
        liquid: whether it starts as a liquid.

    Returns:
        Lower heating value at 298.15 K [J/kg].

    Validity: as the heats of formation.
    Source: definition in [Heywood] section 3.5.
    """
    carbon, hydrogen, oxygen = of.atoms[:3]
    wanted = carbon + hydrogen / 4.0 - oxygen / 2.0
    names = (*of.parts, "O2", "CO2", "H2O")
    heats = dict(zip(names, species.enthalpy(names, _ROOM)[:, 0], strict=True))
    before = sum(share * heats[name] for name, share in of.parts.items()) + wanted * heats["O2"]
    after = carbon * heats["CO2"] + hydrogen / 2.0 * heats["H2O"]
    vapour = float((before - after) / of.molar_mass)
    return vapour - of.evaporation if liquid else vapour


def charge_moles(of: Fuel, *, richness: float, humidity: float = 0.0) -> dict[str, float]:
    """Moles of everything in the fresh charge.

    Args:
        of: the fuel.
        richness: fuel over that which the air just burns [-], 0.5 to 1.6.
        humidity: mass of water over mass of dry air [-], 0 to 0.06.

    Returns:
        Moles by species, for one mole of dry air [mol].

    Raises:
        OutOfRange: outside those ranges.

    Validity: all fuel evaporated and mixed.
    Source: definition.
    """
    within(0.5, 1.6, richness=richness)
    within(0.0, 0.06, humidity=humidity)
    moles = dict(_AIR)
    moles["H2O"] = humidity * air_mass() / species.molar_mass("H2O")
    amount = richness / stoichiometric(of) * air_mass() / of.molar_mass
    for name, share in of.parts.items():
        moles[name] = moles.get(name, 0.0) + share * amount
    return moles
