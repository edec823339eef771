"""Drums: lift, profile drag and skin friction of a spinning cylinder across the stream.

The curves come one by one, not as the whole `RotorTables`: handing arrays on costs more than reading them.
"""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.curves import read_curve, smooth_step
from rotorwright.base.jit import jit
from rotorwright.base.records import QUIET, TURBULENT
from rotorwright.physics.rotor.tables import Floats

# Where a drum changes from the quiet to the turbulent family: centre of the change and half its width in ln Re, how
# far the factor drum_lift_family (±1) shifts it, and how the change moves with spin, Re (1 + spin_ratio²)^growth, by
# the air. Quiet: Swanson 1961 still finds the quiet lift at Re 5e5. Turbulent: Bordogna et al. 2019, 2 % turbulence,
# changed from spin ratio 2 at 1.8e5 and everywhere at 3.6e5. Outdoor: anywhere between 6e4 and 3.6e5 (judgement).
QUIET_CHANGE, QUIET_WIDTH, QUIET_SPREAD, QUIET_GROWTH = math.log(6.5e5), 0.30, 0.30, 0.0
OUTDOOR_CHANGE, OUTDOOR_WIDTH, OUTDOOR_SPREAD, OUTDOOR_GROWTH = math.log(1.47e5), 0.896, 0.75, 0.0
TURBULENT_CHANGE, TURBULENT_WIDTH, TURBULENT_SPREAD, TURBULENT_GROWTH = math.log(2.85e5), 0.30, 0.20, 0.3
ROUGH_SHIFT = math.log(3.0)
# Share of the quiet family's lift loss left in each air: the reversal needs a smooth skin in smooth air (Bordogna et
# al. 2019 find none at Re 1.8e5 in 2 % turbulence); outdoors is judgement.
QUIET_DIP, OUTDOOR_DIP, TURBULENT_DIP = 1.0, 0.6, 0.1
# The drag of the slow drum falls earlier than its lift changes (drag crisis of a plain cylinder, 2e5–4e5, from memory).
QUIET_DRAG_SHIFT, TURBULENT_DRAG_SHIFT = math.log(6.5e5 / 3.3e5), math.log(2.85e5 / 1.8e5)


@jit
def held_spin_ratio(spin_ratio: float) -> float:
    """Return the spin ratio up to 8, then a smooth approach to 12: beyond the data the lift is held, not extended."""
    if spin_ratio <= 8.0:
        return spin_ratio
    return 8.0 + 4.0 * math.tanh(0.25 * (spin_ratio - 8.0))


@jit
def turbulent_weight(
    spin_ratio: float, log_reynolds: float, flow: float, rough: float, shift: float, for_drag: float
) -> float:
    """Return the weight of the turbulent family, 0…1.

    Parameters
    ----------
    spin_ratio : float
        ≥ 0.
    log_reynolds : float
        ln of the Reynolds number on diameter.
    flow : float
        QUIET, OUTDOOR or TURBULENT.
    rough : float
        1 for a deliberately rough skin.
    shift : float
        The factor drum_lift_family.
    for_drag : float
        1 for the profile drag, which changes earlier than the lift.
    """
    centre, width, spread, growth, earlier = OUTDOOR_CHANGE, OUTDOOR_WIDTH, OUTDOOR_SPREAD, OUTDOOR_GROWTH, 0.0
    if flow == QUIET:
        centre, width, spread, growth, earlier = QUIET_CHANGE, QUIET_WIDTH, QUIET_SPREAD, QUIET_GROWTH, QUIET_DRAG_SHIFT
    elif flow == TURBULENT:
        centre, width, spread, growth = TURBULENT_CHANGE, TURBULENT_WIDTH, TURBULENT_SPREAD, TURBULENT_GROWTH
        earlier = TURBULENT_DRAG_SHIFT
    centre -= ROUGH_SHIFT * rough + earlier * for_drag + spread * shift
    if growth > 0.0:
        centre -= growth * math.log(1.0 + spin_ratio * spin_ratio)
    return smooth_step(log_reynolds, centre - width, centre + width)


@jit
def lift_dip(rows: Floats, table: Floats, spin_ratio: float, log_reynolds: float) -> float:
    """Return the section lift that a smooth drum in quiet air loses below spin ratio 0.9 [1].

    Notes
    -----
    Read from Swanson's curves: cubic in the spin ratio, C1 blend between the two neighbouring Reynolds numbers.
    """
    last = rows.shape[0] - 1
    if spin_ratio >= 1.0 or log_reynolds <= rows[0]:
        return 0.0
    low = last - 1
    weight = 1.0
    if log_reynolds < rows[last]:
        low = 0
        while rows[low + 1] <= log_reynolds:
            low += 1
        weight = smooth_step(log_reynolds, rows[low], rows[low + 1])
    nodes = table.shape[2] - 1
    place = spin_ratio * nodes
    node = min(int(place), nodes - 1)
    t = place - node
    step = 1.0 / nodes
    t2 = t * t
    t3 = t2 * t
    h00, h10, h01, h11 = 2.0 * t3 - 3.0 * t2 + 1.0, (t3 - 2.0 * t2 + t) * step, 3.0 * t2 - 2.0 * t3, (t3 - t2) * step
    high = low + 1
    below = h00 * table[low, 0, node] + h10 * table[low, 1, node]
    below += h01 * table[low, 0, node + 1] + h11 * table[low, 1, node + 1]
    above = h00 * table[high, 0, node] + h10 * table[high, 1, node]
    above += h01 * table[high, 0, node + 1] + h11 * table[high, 1, node + 1]
    return float(below + (above - below) * weight)


@jit
def drum_section_lift(
    quiet_lift: Floats,
    turbulent_lift: Floats,
    dip_reynolds: Floats,
    dip: Floats,
    spin_ratio: float,
    log_reynolds: float,
    flow: float,
    rough: float,
    factors: Any,
) -> float:
    """Return the section lift coefficient at a spin ratio ≥ 0.

    Notes
    -----
    (1 − w) quiet + w turbulent, w = `turbulent_weight`; quiet = table · (1 + (f − 1) fade) − g dip, f = factor
    drum_low_spin_lift, fade 1 below spin ratio 1 and 0 above 2; g = factor drum_lift_dip times 1 in quiet air, 0.6
    outdoors, 0.1 in a turbulent stream, and 0.3 of that on a rough skin; the whole times factor drum_lift.

    Validity: spin ratio 0–8 (held beyond), Reynolds number 4e3–1e6.

    Source: tables.py.
    """
    ratio = held_spin_ratio(spin_ratio)
    weight = turbulent_weight(ratio, log_reynolds, flow, rough, factors.drum_lift_family, 0.0)
    quiet = 0.0
    if weight < 1.0:
        fade = 1.0 - smooth_step(ratio, 1.0, 2.0)
        quiet = read_curve(quiet_lift, ratio) * (1.0 + (factors.drum_low_spin_lift - 1.0) * fade)
        left = OUTDOOR_DIP
        if flow == QUIET:
            left = QUIET_DIP
        elif flow == TURBULENT:
            left = TURBULENT_DIP
        left *= 1.0 - 0.7 * rough
        quiet -= left * factors.drum_lift_dip * lift_dip(dip_reynolds, dip, ratio, log_reynolds)
    turbulent = 0.0
    if weight > 0.0:
        turbulent = read_curve(turbulent_lift, ratio)
    return float(factors.drum_lift * (quiet + (turbulent - quiet) * weight))


@jit
def drum_profile_drag(
    quiet_drag: Floats, spin_ratio: float, log_reynolds: float, flow: float, rough: float, factors: Any
) -> float:
    """Return the profile drag coefficient at a spin ratio ≥ 0.

    Notes
    -----
    Quiet: table; turbulent: 0.06 + 0.36/(1 + (spin_ratio/1.3)⁴); blended as the lift but earlier; times factor
    drum_profile_drag.

    Source: Badalamenti & Prince 2008, Karabelas 2010 (quiet); Bordogna et al. 2019 at low spin and Östman 2023
    (turbulent).
    """
    ratio = held_spin_ratio(spin_ratio)
    weight = turbulent_weight(ratio, log_reynolds, flow, rough, factors.drum_lift_family, 1.0)
    quiet = read_curve(quiet_drag, ratio)
    square = (ratio / 1.3) ** 2
    turbulent = 0.06 + 0.36 / (1.0 + square * square)
    return float(factors.drum_profile_drag * (quiet + (turbulent - quiet) * weight))


@jit
def skin_friction(friction: Floats, spin_reynolds_number: float) -> float:
    """Return the skin friction coefficient of a smooth spinning cylinder (table of `smooth_cylinder_friction`)."""
    return math.exp(read_curve(friction, math.log(spin_reynolds_number + 1.0e-9)))


@jit
def drum_torque(
    friction: Floats,
    radius: float,
    span: float,
    rotor_speed: float,
    air_density: float,
    air_viscosity: float,
    build_factor: float,
) -> float:
    """Return the skin friction torque that a drum takes from its shaft [N m], signed as the spin.

    Notes
    -----
    π ρ Cf f ω |ω| r⁴ b, f = build factor. Source: normalisation of Vrancik, NASA TN D-4849 (1968), read in open code.
    """
    coefficient = skin_friction(friction, abs(rotor_speed) * radius * radius * (air_density / air_viscosity))
    square = radius * radius
    return math.pi * air_density * coefficient * build_factor * rotor_speed * abs(rotor_speed) * square * square * span
