"""Second-order terms of a motor: resistance that grows with current and warmth, magnets that weaken, lag, iron loss."""

from __future__ import annotations

from rotorwright.base.jit import jit
from rotorwright.physics.power.heat import COPPER_COEFFICIENT

BENCH_WARMTH = 333.15
"""Temperature of a motor on the benches that the effective resistance was found on [K] (judgement: 60 °C)."""
MAGNET_COEFFICIENT = 0.0011
"""Rise of the speed constant with the magnets' temperature [1/K] (remanence falls 0.11–0.12 %/K, magnet makers' tables,
read secondary)."""


@jit
def warm_resistance(catalogue_resistance: float, winding_temperature: float) -> float:
    """Return what a winding's warmth adds to the effective resistance [Ω], against a motor as warm as on a bench.

    Parameters
    ----------
    catalogue_resistance : float
        At 25 °C [Ω].
    winding_temperature : float
        [K].

    Notes
    -----
    0.00393 (T − 60 °C) R: only copper warms, not the commutation's share of the effective resistance.
    Source: handbook coefficient (from memory); the bench's 60 °C is judgement.
    """
    return COPPER_COEFFICIENT * (winding_temperature - BENCH_WARMTH) * catalogue_resistance


@jit
def warm_speed_constant(speed_constant: float, magnet_temperature: float) -> float:
    """Return the speed constant with warm magnets [rad/s/V].

    Parameters
    ----------
    speed_constant : float
        As warm as on a bench [rad/s/V].
    magnet_temperature : float
        [K].

    Notes
    -----
    K (1 + 0.0011 (T − 60 °C)): weaker magnets turn faster and pull less. Above the magnets' limit the loss stays.
    Source: magnet makers' tables (read secondary).
    """
    return speed_constant * (1.0 + MAGNET_COEFFICIENT * (magnet_temperature - BENCH_WARMTH))


@jit
def second_order_current(
    speed_constant: float,
    resistance: float,
    resistance_rise: float,
    lag: float,
    motor_voltage: float,
    motor_speed: float,
) -> float:
    """Return the winding current with a resistance that grows with current and a magnetic lag.

    Parameters
    ----------
    speed_constant : float
        [rad/s/V].
    resistance : float
        At small current [Ω].
    resistance_rise : float
        R₂ of R + R₂ i² [Ω/A²], ≥ 0.
    lag : float
        τ of (1 + τ Ω) Ω/K [s]: the commutation's lag, 1–10 µs.
    motor_voltage : float
        Duty × bus voltage [V].
    motor_speed : float
        [rad/s].

    Returns
    -------
    current : float
        [A].

    Notes
    -----
    i (R + R₂ i²) = v − (1 + τ Ω) Ω/K, by Newton (the left side rises steadily); R₂ = τ = 0 gives the first order.
    Source: form of M. Drela's second-order motor model, 2006 (from memory).
    """
    drop = motor_voltage - (1.0 + lag * motor_speed) * motor_speed / speed_constant
    current = drop / resistance
    for _ in range(30):
        square = resistance_rise * current * current
        step = (current * (resistance + square) - drop) / (resistance + 3.0 * square)
        current -= step
        if step * step < 1.0e-20:
            break
    return current


@jit
def measured_no_load_current(at_rest: float, slope: float, curvature: float, motor_speed: float) -> float:
    """Return the no-load current from a maker's own free-running readings [A], odd and smooth in the speed.

    Parameters
    ----------
    at_rest : float
        Extrapolated to rest [A].
    slope, curvature : float
        [A s/rad], [A s²/rad²].
    motor_speed : float
        [rad/s].

    Notes
    -----
    s (I₀₀ + I₀₁ |Ω| + I₀₂ Ω²), s a smooth sign over 20 rad/s.
    Source: form of M. Drela's second-order motor model, 2006 (from memory).
    """
    size = (motor_speed * motor_speed + 400.0) ** 0.5
    return motor_speed / size * (at_rest + slope * size + curvature * motor_speed * motor_speed)
