"""The air: standard atmosphere, the air at a field, density altitude.

Heights are *geopotential* metres; at flying-field heights the geometric height differs by less than 0.03 %
(`geopotential_height` converts). Viscosity follows the dry-air temperature law.
"""

from __future__ import annotations

import math

from rotorwright.base.constants import GRAVITY, SEA_LEVEL_DENSITY
from rotorwright.base.jit import jit

# U.S. Standard Atmosphere 1976, identical with ISO 2533 and ICAO Doc 7488 below 32 km
SEA_LEVEL_TEMPERATURE = 288.15
SEA_LEVEL_PRESSURE = 101325.0
LAPSE_RATE = 0.0065
TROPOPAUSE = 11000.0
GAS_CONSTANT = 287.0528741
VAPOUR_GAS_CONSTANT = 461.495
HEAT_RATIO = 1.4
EARTH_RADIUS = 6356766.0
PRESSURE_EXPONENT = GRAVITY / (GAS_CONSTANT * LAPSE_RATE)
DENSITY_EXPONENT = PRESSURE_EXPONENT - 1.0
# Sutherland's law with the constants of the same standard
SUTHERLAND_FACTOR = 1.458e-6
SUTHERLAND_TEMPERATURE = 110.4


@jit
def geopotential_height(geometric_height: float) -> float:
    """Return the geopotential height [m] of a geometric height [m].

    Parameters
    ----------
    geometric_height : float
        [m]

    Notes
    -----
    H = R Z / (R + Z) with R = 6 356 766 m.
    Source: U.S. Standard Atmosphere 1976, eq. 18 (read in public documentation of the model).
    """
    return EARTH_RADIUS * geometric_height / (EARTH_RADIUS + geometric_height)


@jit
def viscosity_of_air(temperature: float) -> float:
    """Return the dynamic viscosity of air [Pa s] at ``temperature`` [K].

    Parameters
    ----------
    temperature : float
        [K]

    Notes
    -----
    μ = 1.458e-6 T^1.5 / (T + 110.4). Validity: 100–1500 K. Dry air; damp air differs by less than 1 % below 40 °C.
    Source: Sutherland's law, U.S. Standard Atmosphere 1976, eq. 51 (form read in public documentation, constants
    from memory, checked against the printed sea-level value 1.7894e-5).
    """
    warm = max(temperature, 1.0)
    return SUTHERLAND_FACTOR * warm * math.sqrt(warm) / (warm + SUTHERLAND_TEMPERATURE)


@jit
def standard_atmosphere(geopotential_height: float) -> tuple[float, float, float, float, float]:
    """Return the standard atmosphere at a geopotential height.

    Parameters
    ----------
    geopotential_height : float
        [m]

    Returns
    -------
    temperature, pressure, density, speed_of_sound, viscosity : float
        [K], [Pa], [kg/m³], [m/s], [Pa s]

    Notes
    -----
    T = 288.15 − 0.0065 H, p = 101325 (T/288.15)^5.2559 up to 11 km, isothermal above.
    Validity: −5 to 20 km. At 11 km the slope of the temperature has the kink that the standard gives it.
    Source: U.S. Standard Atmosphere 1976 (constants read in public documentation of the model).
    """
    below = min(geopotential_height, TROPOPAUSE)
    temperature = SEA_LEVEL_TEMPERATURE - LAPSE_RATE * below
    pressure = SEA_LEVEL_PRESSURE * (temperature / SEA_LEVEL_TEMPERATURE) ** PRESSURE_EXPONENT
    if geopotential_height > TROPOPAUSE:
        pressure *= math.exp(-GRAVITY * (geopotential_height - TROPOPAUSE) / (GAS_CONSTANT * temperature))
    density = pressure / (GAS_CONSTANT * temperature)
    speed_of_sound = math.sqrt(HEAT_RATIO * GAS_CONSTANT * temperature)
    return temperature, pressure, density, speed_of_sound, viscosity_of_air(temperature)


@jit
def saturation_pressure(temperature: float) -> float:
    """Return the saturation pressure of water vapour over water [Pa] at ``temperature`` [K].

    Parameters
    ----------
    temperature : float
        [K]

    Notes
    -----
    e_s = 611.2 exp(17.67 t / (t + 243.5)), t in °C. Validity: −35 to 35 °C within 0.1 %, usable to 50 °C.
    Source: D. Bolton, Mon. Wea. Rev. 108 (1980) 1046–1053, eq. 10 (from memory).
    """
    celsius = max(temperature - 273.15, -100.0)
    return 611.2 * math.exp(17.67 * celsius / (celsius + 243.5))


@jit
def air_state(elevation: float, temperature: float, humidity: float, pressure: float) -> tuple[float, float]:
    """Return density and viscosity of the air at a field.

    Parameters
    ----------
    elevation : float
        Geopotential height of the field [m]; used only when no pressure is given.
    temperature : float
        [K]
    humidity : float
        Relative humidity, 0…1.
    pressure : float
        Pressure measured *at the field* [Pa], not reduced to sea level; 0 or NaN: the standard pressure at that
        elevation, which is what an altimeter set to 1013.25 hPa stands for.

    Returns
    -------
    density, viscosity : float
        [kg/m³], [Pa s]

    Notes
    -----
    ρ = (p − e) / (287.053 T) + e / (461.495 T), e = humidity × saturation pressure.
    The day's pressure differs from the standard by about 1 % (one standard deviation, middle latitudes): that is in
    the Unknown ``air_density``, which whoever calls this applies.
    Source: mixture of ideal gases; U.S. Standard Atmosphere 1976 for dry air.
    """
    if not pressure > 0.0:
        pressure = standard_atmosphere(elevation)[1]
    warm = max(temperature, 1.0)
    vapour = min(max(humidity, 0.0), 1.0) * saturation_pressure(warm)
    vapour = min(vapour, pressure)
    density = (pressure - vapour) / (GAS_CONSTANT * warm) + vapour / (VAPOUR_GAS_CONSTANT * warm)
    return density, viscosity_of_air(warm)


@jit
def density_altitude(density: float) -> float:
    """Return the density altitude [m, geopotential]: the standard height with the same density [kg/m³].

    Parameters
    ----------
    density : float
        [kg/m³]

    Notes
    -----
    h = (288.15/0.0065) (1 − (ρ/1.225)^(1/4.2559)). Validity: below 11 km. NaN when the density is negative.
    Source: U.S. Standard Atmosphere 1976, inverted.
    """
    ratio = density / SEA_LEVEL_DENSITY
    return SEA_LEVEL_TEMPERATURE / LAPSE_RATE * (1.0 - ratio ** (1.0 / DENSITY_EXPONENT))
