"""How much gas an engine gives, and what the gas is like when it is hot."""

import math

from trialfit.exhaust.pressure import GAS_CONSTANT_J_KG_K, viscosity_pa_s
from trialfit.standards import refuse_not_positive, refuse_outside, table
from trialfit.sums import Ask, a_sum

PRANDTL = 0.75
"""Prandtl number of exhaust gas, 400 to 1100 K [-]; from memory."""
_FUEL = table("fuels")


@a_sum(
    "exhaust-gas-flow",
    title="Mass flow of exhaust gas from an engine's power",
    asks=(
        Ask("power", "power", "power at the crank"),
        Ask("consumption", "number", "fuel burnt for the work, in g/kWh (0.5 lb/(hp*h) is 304)"),
        Ask("air_fuel", "number", "air to fuel by mass (petrol at full power 12 to 13.5)"),
    ),
    gives="mass flow of the gas: fuel and air",
    dimension="mass-flow",
    unit="kg/s",
    words="power * consumption * (1 + air to fuel)",
    source="balance of mass; the consumption is the engine's (common figures from memory)",
)
def exhaust_gas_flow(power: float, consumption: float, air_fuel: float) -> float:
    """Mass flow [kg/s] of exhaust gas. Boost changes it only through the power it makes.

    Parameters
    ----------
    power : float
        at the crank, 1 to 2000 kW [W]
    consumption : float
        of fuel, 150 to 900 [g/kWh]
    air_fuel : float
        by mass, 4 to 40 [-]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: balance of mass (from memory).

    >>> round(exhaust_gas_flow(200e3, 300.0, 13.0), 4)
    0.2333
    """
    refuse_outside("power", power, 1e3, 2e6, "kW")
    refuse_outside("consumption", consumption, 150.0, 900.0, "")
    refuse_outside("air to fuel", air_fuel, 4.0, 40.0, "")
    return power * consumption * 1e-3 / 3.6e6 * (1.0 + air_fuel)


@a_sum(
    "exhaust-gas-flow-by-displacement",
    title="Mass flow of exhaust gas from displacement and speed",
    asks=(
        Ask("displacement", "volume", "swept volume of the whole engine"),
        Ask("speed", "rotation", "engine speed"),
        Ask("filling", "ratio", "volumetric efficiency, about 0.85 without boost", 0.85),
        Ask("manifold", "pressure", "pressure in the manifold, absolute", 0.1),
        Ask("temperature", "temperature", "of the air in the manifold", 310.0),
        Ask("air_fuel", "number", "air to fuel by mass", 12.8),
    ),
    gives="mass flow of the gas: fuel and air",
    dimension="mass-flow",
    unit="kg/s",
    words="displacement * speed / 2 * filling * density in the manifold * (1 + 1 / air to fuel), four-stroke",
    source="physics, ideal gas; four-stroke engine (from memory)",
)
def exhaust_gas_flow_by_displacement(displacement: float, speed: float, filling: float = 0.85, manifold: float = 0.1,
                                     temperature: float = 310.0, air_fuel: float = 12.8) -> float:
    """Mass flow [kg/s] of exhaust gas of a four-stroke engine.

    Parameters
    ----------
    displacement : float
        0.1 to 20 litres [mm3]
    speed : float
        of the crank [rad/s]
    filling : float
        volumetric efficiency, 0.3 to 1.3 [-]
    manifold : float
        absolute pressure, 0.02 to 0.5 [MPa]
    temperature : float
        of the air there, 230 to 450 [K]
    air_fuel : float
        by mass [-]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: physics, ideal gas; four-stroke engine (from memory).

    >>> round(exhaust_gas_flow_by_displacement(3.0e6, 628.3, 0.9), 3)
    0.164
    """
    refuse_outside("displacement", displacement, 1e5, 2e7, "l")
    refuse_outside("speed", speed, 10.0, 2100.0, "rpm")
    refuse_outside("filling", filling, 0.3, 1.3, "")
    refuse_outside("manifold", manifold, 0.02, 0.5, "bar")
    refuse_outside("temperature", temperature, 230.0, 450.0, "K")
    refuse_outside("air to fuel", air_fuel, 4.0, 40.0, "")
    density = manifold * 1e6 / (GAS_CONSTANT_J_KG_K * temperature)
    return displacement * 1e-9 * speed / (4.0 * math.pi) * filling * density * (1.0 + 1.0 / air_fuel)


def flow_range(power_w: float, fuel: str, mixture: float = 0.88) -> tuple[float, float]:
    """Least and most gas [kg/s] at full power, by the usual consumption of engines on that fuel.

    Parameters
    ----------
    power_w : float
        at the crank [W]
    fuel : str
        a row of the table of fuels
    mixture : float
        air over what burns all the fuel, 0.6 to 4; petrol at full power about 0.88 [-]

    Raises
    ------
    ValueError
        for an unknown fuel or an amount out of range

    Source: engine handbooks, common figures (from memory).
    """
    refuse_outside("mixture", mixture, 0.6, 4.0, "")
    air = _FUEL.number(fuel, "air_fuel") * mixture
    low, high = (exhaust_gas_flow(power_w, _FUEL.number(fuel, f"consumption_{end}"), air) for end in ("low", "high"))
    return low, high


def heat_capacity_j_kg_k(temperature: float) -> float:
    """Specific heat of exhaust gas at constant pressure [J/(kg*K)], 250 to 1400 K, petrol near full burning.

    A straight line through 1060 at 300 K (from memory) and 1270 at 973 K (a mixture of nitrogen, carbon dioxide, water
    and oxygen in a property library); lean diesel gas has up to a tenth less.

    Source: property library, one value; from memory, the other.

    >>> round(heat_capacity_j_kg_k(973.0))
    1270
    """
    refuse_outside("gas temperature", temperature, 250.0, 1400.0, "K")
    return 1060.0 + (1270.0 - 1060.0) / 673.0 * (temperature - 300.0)


def conductivity_w_m_k(temperature: float) -> float:
    """Heat conductivity of exhaust gas [W/(m*K)], from its viscosity, specific heat and Prandtl number.

    Source: physics (from memory).
    """
    return viscosity_pa_s(temperature) * heat_capacity_j_kg_k(temperature) / PRANDTL


@a_sum(
    "gas-sound-speed",
    title="Speed of sound in hot gas",
    asks=(Ask("temperature", "temperature", "temperature of the gas"),),
    gives="speed of sound",
    dimension="speed",
    unit="m/s",
    words="sqrt(k * R * T), k from the specific heat",
    source="physics, ideal gas (from memory)",
)
def sound_speed(temperature: float) -> float:
    """Speed of sound [mm/s] in exhaust gas; up to 2 % under that of air as hot.

    Source: physics, ideal gas (from memory).

    >>> round(sound_speed(773.15) / 1000.0)
    540
    """
    cp = heat_capacity_j_kg_k(temperature)
    k = cp / (cp - GAS_CONSTANT_J_KG_K)
    return 1000.0 * math.sqrt(k * GAS_CONSTANT_J_KG_K * temperature)


def density_kg_m3(temperature: float, pressure_mpa: float) -> float:
    """Density [kg/m3] of the gas at an absolute pressure.

    Source: physics, ideal gas (from memory).
    """
    refuse_not_positive(pressure=(pressure_mpa, "MPa"), temperature=(temperature, "K"))
    return pressure_mpa * 1e6 / (GAS_CONSTANT_J_KG_K * temperature)
