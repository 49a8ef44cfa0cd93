"""Gas properties, equilibria, fuels and the burning cylinder against a general library's numbers and handbook values."""

import itertools
import math

import numpy as np
import pytest

from tenths.calc.gas import _kernels as kernels
from tenths.calc.gas import fuel, mixture, species
from tenths.errors import BadInput, OutOfRange

# Equilibrium of iso-octane with air of 3.773 N2 to O2 at one atmosphere, mole fractions: cantera 3.2.0, nasa_gas.yaml, twelve species.
CANTERA = {
    1700.0: {
        "CO2": 0.1241215793,
        "H2O": 0.1400053861,
        "N2": 0.7347285741,
        "CO": 5.162629842e-4,
        "O2": 2.725687962e-4,
        "NO": 1.009111625e-4,
    },
    2268.4: {"CO2": 0.1101346219, "H2O": 0.1342021946, "N2": 0.7269031935, "CO": 0.01337161234, "O2": 0.006131663441, "OH": 0.003118584663},
    2900.0: {"CO2": 0.04876210760, "H2O": 0.09302331343, "N2": 0.6788466819, "CO": 0.06757598536, "O": 0.01303753921, "H": 0.01538782221},
}


@pytest.mark.parametrize("temperature", CANTERA)
def test_equilibrium_is_the_librarys(temperature):
    elements = np.array([8.0, 18.0, 25.0, 25.0 * 3.773, 0.0])
    moles = species.equilibrium(elements, temperature, 101325.0)[:, 0]
    shares = dict(zip(species.BURNED, moles / moles.sum(), strict=True))
    for name, expected in CANTERA[temperature].items():
        assert shares[name] == pytest.approx(expected, rel=2e-6)
    matrix = np.array([species.atoms(name) for name in species.BURNED])
    assert moles @ matrix == pytest.approx(elements, rel=1e-9, abs=1e-9)


# [Heywood] appendix D and A.D; kJ/mol and J/(mol K) of GRI 3.0 at 1000 K as cantera gives them: other polynomials of the same gases.
@pytest.mark.parametrize(
    ("name", "capacity", "heat", "entropy"),
    [
        ("N2", 32.762, 21.470, 228.089),
        ("O2", 34.883, 22.707, 243.586),
        ("CO2", 54.321, -360.111, 269.286),
        ("H2O", 41.295, -215.822, 232.735),
    ],
)
def test_polynomials_at_1000_kelvin(name, capacity, heat, entropy):
    assert species.heat_capacity((name,), 1000.0)[0, 0] == pytest.approx(capacity, rel=3e-3)
    assert species.enthalpy((name,), 1000.0)[0, 0] == pytest.approx(heat * 1e3, abs=120.0)
    assert species.entropy((name,), 1000.0)[0, 0] == pytest.approx(entropy, abs=0.15)


@pytest.mark.parametrize(
    ("name", "ratio", "liquid", "vapour"),
    [
        ("iso-octane", 15.13, 44.3, 44.65),
        ("methanol", 6.47, 20.0, 21.10),
        ("ethanol", 9.00, 26.9, 27.73),
        ("propane", 15.67, None, 46.33),
        ("methane", 17.23, None, 50.03),
    ],
)
def test_fuels_of_the_handbook(name, ratio, liquid, vapour):
    """[Heywood] appendix D; vapour values by cantera."""
    one = fuel.fuel(name)
    assert fuel.stoichiometric(one) == pytest.approx(ratio, rel=2e-3)
    assert fuel.heating_value(one, liquid=False) / 1e6 == pytest.approx(vapour, rel=1e-3)
    if liquid is not None:
        assert fuel.heating_value(one) / 1e6 == pytest.approx(liquid, rel=6e-3)


def test_pump_fuels_are_near_the_handbook():
    """[Heywood] appendix D: petrol 14.6 and 44.0 MJ/kg; E85 about 9.77 and 29.2, handbook. Pump fuels differ by 3 %."""
    assert fuel.stoichiometric(fuel.fuel("petrol 95")) == pytest.approx(14.6, rel=0.015)
    assert fuel.heating_value(fuel.fuel("petrol 95")) / 1e6 == pytest.approx(44.0, rel=0.03)
    assert fuel.stoichiometric(fuel.fuel("E85")) == pytest.approx(9.77, rel=0.01)
    assert fuel.heating_value(fuel.fuel("E85")) / 1e6 == pytest.approx(29.2, rel=0.01)


def flame(name, richness, *, constant_volume):
    """Temperature of burned gas with the energy of the fresh charge at 298.15 K, and its pressure over the fresh one's."""
    one = fuel.fuel(name)
    moles = fuel.charge_moles(one, richness=richness)
    names = tuple(moles)
    amounts = np.array([moles[key] for key in names])
    elements = amounts @ [species.atoms(key) for key in names]
    heat = float(amounts @ species.enthalpy(names, 298.15)[:, 0])
    wanted = heat - (species.GAS_CONSTANT * 298.15 * amounts.sum() if constant_volume else 0.0)
    low, high, pressure, total = 1500.0, 3500.0, 101325.0, 0.0
    for _ in range(60):
        middle = (low + high) / 2
        for _ in range(30 if constant_volume else 1):
            burned = species.equilibrium(elements, middle, pressure)[:, 0]
            total = burned.sum()
            pressure = 101325.0 * total * middle / (amounts.sum() * 298.15) if constant_volume else 101325.0
        energy = float(burned @ species.enthalpy(species.BURNED, middle)[:, 0])
        energy -= species.GAS_CONSTANT * middle * total if constant_volume else 0.0
        low, high = (middle, high) if energy < wanted else (low, middle)
    return low, pressure / 101325.0


@pytest.mark.parametrize(("name", "expected"), [("iso-octane", 2268.4), ("methane", 2222.4), ("methanol", 2218.4)])
def test_adiabatic_flame_at_constant_pressure(name, expected):
    """cantera's equilibrium with its own air (3.76 N2); ours has argon and a trace of carbon dioxide: within 6 K."""
    assert flame(name, 1.0, constant_volume=False)[0] == pytest.approx(expected, abs=6.0)


@pytest.mark.parametrize(("name", "expected", "rise"), [("iso-octane", 2632.8, 9.501), ("methane", 2583.5, 8.789)])
def test_adiabatic_flame_at_constant_volume(name, expected, rise):
    """As above: 2632.8 K and 9.501 times the pressure."""
    found = flame(name, 1.0, constant_volume=True)
    assert found[0] == pytest.approx(expected, abs=8.0)
    assert found[1] == pytest.approx(rise, rel=5e-3)


@pytest.mark.parametrize(("ratio", "hottest", "peak", "mep"), [(8.0, 2882.3, 71.91, 14.20), (10.0, 2914.9, 90.91, 14.94)])
def test_fuel_air_cycle_by_the_zone_of_the_cylinder(ratio, hottest, peak, mep):
    """Constant-volume cycle, iso-octane vapour, phi 1, 350 K, 1 atm, no residual, equilibrium: cantera, after the charts of [Taylor].

    The product's own tables and one-zone solution go through compression, burning at constant volume and expansion.
    """
    gas = mixture.gas(fuel.fuel("iso-octane"), richness=1.0)
    tables = np.array(
        [
            mixture.FIRST,
            mixture.STEP,
            math.log(mixture.PRESSURES[0]),
            math.log(mixture.PRESSURES[1] / mixture.PRESSURES[0]),
            gas.fresh_constant,
        ]
    )
    out = np.empty(6)

    def state(burned, energy, volume, change, before, temperature, pressure):
        kernels.one_zone(
            1.0, burned, energy, volume, change, before, temperature, pressure, tables, gas.fresh_energy, gas.burned_energy,
            gas.burned_constant, out,
        )  # fmt: skip
        return out[0], out[1]

    energy = float(np.interp(350.0, mixture.temperatures(), gas.fresh_energy))
    big = gas.fresh_constant * 350.0 / 101325.0
    work, pressure, temperature = 0.0, 101325.0, 350.0

    def swept(burned, first, last, energy, pressure, temperature, work):
        volumes = np.geomspace(first, last, 2001)
        for a, b in itertools.pairwise(volumes):
            p, t = state(burned, energy, b, b - a, pressure, temperature, pressure * (a / b) ** 1.3)
            done = (pressure + p) / 2 * (b - a)
            energy, work, pressure, temperature = energy - done, work + done, p, t
        return energy, pressure, temperature, work

    energy, pressure, temperature, work = swept(0.0, big, big / ratio, energy, pressure, temperature, work)
    for _ in range(3):
        pressure, temperature = state(1.0, energy, big / ratio, 0.0, 8e6, 2800.0, pressure if pressure > 5e6 else 8e6)
    assert temperature == pytest.approx(hottest, abs=12.0)
    assert pressure / 1e5 == pytest.approx(peak, rel=6e-3)
    energy, pressure, temperature, work = swept(1.0, big / ratio, big, energy, pressure, temperature, work)
    assert work / (big * (1 - 1 / ratio)) / 1e5 == pytest.approx(mep, rel=0.012)


def test_what_is_refused():
    with pytest.raises(BadInput, match="species is 'gold'"):
        species.atoms("gold")
    with pytest.raises(BadInput, match="fuel is 'coal'"):
        fuel.fuel("coal")
    with pytest.raises(BadInput, match="blend has water"):
        fuel.blend({"water": 1.0}, octane=90)
    with pytest.raises(OutOfRange, match="richness"):
        fuel.charge_moles(fuel.fuel("ethanol"), richness=3.0)
    with pytest.raises(BadInput, match="soot"):
        species.equilibrium(np.array([1.0, 1.0, 0.9, 4.0, 0.0]), 1500.0, 1e5)


def test_mixing_a_tenth_of_ethanol_makes_the_pump_fuel():
    """A tenth of ethanol by volume, mixed here, and the one sold so: air and heat of handbooks, 14.1 and 41.9 MJ/kg, from memory."""
    own, sold = fuel.mixed("petrol 95", {"ethanol": 0.10}), fuel.fuel("E10")
    for one in (own, sold):
        assert fuel.stoichiometric(one) == pytest.approx(14.1, rel=0.015)
        assert fuel.heating_value(one) == pytest.approx(41.9e6, rel=0.03)  # as petrol itself: a surrogate
    assert own.octane == pytest.approx(90.0 * 0.9 + 112.0 * 0.1)  # by volume, with the blending number from memory
    assert fuel.mixed("petrol 95", {"toluene": 0.2}, octane=97.0).octane == 97.0
    with pytest.raises(OutOfRange, match=r"added is 1\.2"):
        fuel.mixed("petrol 95", {"ethanol": 1.2})
    with pytest.raises(BadInput, match="blend has water"):
        fuel.mixed("petrol 95", {"water": 0.1})


def test_the_fuels_that_can_be_stated_are_those_that_are_known():
    from tenths.engine.feature_gas import FUELS

    assert list(FUELS) == fuel.known_fuels()
