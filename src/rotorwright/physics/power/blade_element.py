"""Thrust and power of a propeller with drawn blades: blade elements in their own slipstream (plain numpy solver)."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

MOST_LIFT, LIFT_SLOPE, ZERO_LIFT = 1.52, 7.0, math.radians(-4.0)
DRAG_LEAST, DRAG_RISE, LIFT_OF_LEAST_DRAG = 0.0187, 0.086, 0.55
REFERENCE_REYNOLDS = 1.0e5
STATIONS = 40
_ROUNDS = 60


class BladeLoads(NamedTuple):
    """What the blades do."""

    thrust: float
    """[N]"""
    torque: float
    """Asked of the shaft [N m]."""
    reynolds: float
    """At three quarters of the radius."""


def section(incidence: Any, reynolds: Any) -> tuple[Any, Any]:
    """Return lift and drag coefficient of a thin cambered blade section.

    Parameters
    ----------
    incidence : float or array
        Against the chord [rad].
    reynolds : float or array
        On the chord.

    Returns
    -------
    lift, drag : as given
        [1].

    Notes
    -----
    c_l = 1.52 tanh(7.0 (α + 4.0°)/1.52), c_d = (0.0187 + 0.086 (c_l − 0.55)²)(Re/10⁵)^−½. The lift starts early and
    rises steeply because photographs under-read the twist; a polar fitted to one of the two propellers misses the other
    by 8–10 % in thrust and 10–16 % in power (root mean square).

    Validity: moulded blades, Re 2e4–1.5e5. Source: fitted here to thrust and power, at rest and in flow, of two
    propellers of known plan of the UIUC propeller data site (Brandt, Deters, Ananda, Selig), read secondary.
    """
    lift = MOST_LIFT * np.tanh(LIFT_SLOPE * (incidence - ZERO_LIFT) / MOST_LIFT)
    drag = (DRAG_LEAST + DRAG_RISE * (lift - LIFT_OF_LEAST_DRAG) ** 2) * (reynolds / REFERENCE_REYNOLDS) ** -0.5
    return lift, drag


def blade_loads(
    *,
    diameter: float,
    radius_shares: Any,
    chord_shares: Any,
    angles: Any,
    blades: int,
    shaft_speed: float,
    airspeed: float,
    air_density: float,
    air_viscosity: float,
) -> BladeLoads:
    """Return thrust and torque of a propeller known by its blade plan.

    Parameters
    ----------
    diameter : float
        [m].
    radius_shares, chord_shares : array
        Stations over the radius, rising, and the chord there over the radius [1].
    angles : array
        Blade angle at the stations [rad].
    blades : int
        Number of blades.
    shaft_speed, airspeed : float
        [rad/s], > 0, and along the axis [m/s], ≥ 0.
    air_density, air_viscosity : float
        [kg/m³], [Pa s].

    Returns
    -------
    loads : BladeLoads

    Notes
    -----
    At each of 40 stations between the innermost and 0.998 of the radius: circulation ½ W c c_l equals
    v_t (4π r/B) F √(1 + (4 λ_w R/(π B r))²), F = (2/π) arccos(exp(−(B/2)(1 − r/R)/λ_w)), λ_w = (r/R) W_a/W_t, with
    W_a = ½ (V + U sin ψ), W_t = ½ (Ω r + U cos ψ), U² = V² + Ω² r²; ψ by halving. Plan and angle run straight between
    the stations.

    Validity: thrust within 16 % and power within 22 % of measurements, no better than the correlations: use it for
    drawn blades only. Working and lightly windmilling states.
    Source: L. Prandtl's tip loss; formulation after M. Drela, 2006 public note (from memory).
    """
    radius = 0.5 * diameter
    given = np.asarray(radius_shares, dtype=np.float64)
    edges = np.linspace(given[0], 0.998, STATIONS + 1)
    share = 0.5 * (edges[1:] + edges[:-1])
    width = (edges[1:] - edges[:-1]) * radius
    chord = np.interp(share, given, np.asarray(chord_shares, dtype=np.float64)) * radius
    angle = np.interp(share, given, np.asarray(angles, dtype=np.float64))
    place = share * radius
    around = shaft_speed * place
    whole = np.hypot(airspeed, around)
    low, high = np.full(STATIONS, 1.0e-6), np.full(STATIONS, 0.5 * math.pi)
    for _ in range(_ROUNDS):
        middle = 0.5 * (low + high)
        bound = _surplus_circulation(
            middle, airspeed, around, whole, share, place, chord, angle, blades, radius, air_density, air_viscosity
        )
        high = np.where(bound > 0.0, middle, high)
        low = np.where(bound > 0.0, low, middle)
    psi = 0.5 * (low + high)
    axial, turning = 0.5 * (airspeed + whole * np.sin(psi)), 0.5 * (around + whole * np.cos(psi))
    speed = np.hypot(axial, turning)
    flow = np.arctan2(axial, turning)
    reynolds = air_density * speed * chord / air_viscosity
    lift, drag = section(angle - flow, reynolds)
    push = 0.5 * air_density * speed**2 * chord * blades * width
    thrust = push * (lift * np.cos(flow) - drag * np.sin(flow))
    torque = push * (lift * np.sin(flow) + drag * np.cos(flow)) * place
    return BladeLoads(float(thrust.sum()), float(torque.sum()), float(np.interp(0.75, share, reynolds)))


def _surplus_circulation(
    psi: Floats,
    airspeed: float,
    around: Floats,
    whole: Floats,
    share: Floats,
    place: Floats,
    chord: Floats,
    angle: Floats,
    blades: int,
    radius: float,
    density: float,
    viscosity: float,
) -> Floats:
    """Return the circulation the wake holds less what the section makes, for trial angles ψ."""
    axial, turning = 0.5 * (airspeed + whole * np.sin(psi)), 0.5 * (around + whole * np.cos(psi))
    speed = np.hypot(axial, turning)
    lift, _ = section(angle - np.arctan2(axial, turning), density * speed * chord / viscosity)
    pitch = np.maximum(share * axial / np.maximum(turning, 1.0e-9), 1.0e-6)
    loss = 2.0 / math.pi * np.arccos(np.exp(-0.5 * blades * (1.0 - share) / pitch))
    held = (around - turning) * 4.0 * math.pi * place / blades * loss
    held = held * np.sqrt(1.0 + (4.0 * pitch * radius / (math.pi * blades * place)) ** 2)
    return np.asarray(held - 0.5 * speed * chord * lift, dtype=np.float64)
