"""Forces and torques of one whole rotor in a uniform stream across its axis."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from rotorwright.base.curves import smooth_step
from rotorwright.base.jit import jit, jit_into_caller
from rotorwright.base.records import DRUM, PLATE
from rotorwright.physics.rotor.discs import disc_drag, free_disc_torque
from rotorwright.physics.rotor.drum import drum_profile_drag, drum_section_lift, drum_torque, held_spin_ratio
from rotorwright.physics.rotor.side import side_constants
from rotorwright.physics.rotor.span import (
    aspect_ratio,
    capped_lift,
    closed_share,
    disc_ratio,
    effective_aspect_ratio,
    effective_span,
    lift_plateau,
)
from rotorwright.physics.rotor.tables import (
    BUCKET_TORQUE,
    OVERLAP_SLOPE,
    OVERLAP_TORQUE,
    QUIET_DRAG,
    QUIET_LIFT,
    SKIN_FRICTION,
    SLOW_BUCKET_TORQUE,
    THREE_BUCKET_TORQUE,
    TURBULENT_LIFT,
    RotorTables,
)  # fmt: skip
from rotorwright.physics.rotor.vaned import (
    bucket_line_at_speed,
    bucket_torque,
    plate_running_ratio,
    plate_torque,
    vaned_lift_slope,
    vaned_profile_drag,
)

STILL = 1.0e-6
"""Airspeed [m/s] that keeps the spin ratio finite in still air; forces still vanish there."""

TESTED_DISC = 1.1
"""End discs of this ratio are part of the measured torque of vaned rotors."""


class RotorConstants(NamedTuple):
    """What stays the same of a rotor while air and spin change, from `rotor_constants`; what a kind lacks is 0."""

    aspect_ratio: float
    """Effective, see `effective_aspect_ratio`."""
    wide: float
    """Effective span, see `effective_span` [m]."""
    plateau: float
    plain_share: float
    """How much of the ends is plain: there a drum's end drag rises early."""
    vaned_lift: float
    plate_running: float
    line_torque: float
    line_slope: float
    log_freewheel: float
    log_torque: float
    laminar_hub: float
    """(d/de)⁴: what the rotor's body hides of a disc in laminar flow …"""
    turbulent_hub: float
    """… and (d/de)^0.6, what of that is left in turbulent flow."""
    disc_torques: float
    """On a vaned rotor: how many free discs' torque all discs take."""
    slide: float
    """In sideslip, see `side_constants` [m²] …"""
    broadside: float
    """… [m²] …"""
    ahead: float
    """… and [m]."""


@jit
def rotor_constants(rotor: Any, tables: RotorTables, factors: Any) -> RotorConstants:
    """Return what `rotor_load_parts_given` needs of a rotor.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    tables : RotorTables
    factors : record of base.unknown.FACTORS
    """
    effective = effective_aspect_ratio(rotor, factors)
    plain_share, vaned_lift, running = 0.0, 0.0, 0.0
    line_torque, line_slope, log_freewheel, log_torque = 0.0, 0.0, 0.0, 0.0
    if rotor.kind == DRUM:
        plain_share = 1.0 - closed_share(rotor) * min(1.0, disc_ratio(rotor) - 1.0)
    else:
        vaned_lift = vaned_lift_slope(rotor, effective, factors)
        if rotor.section == PLATE:
            running = plate_running_ratio(aspect_ratio(rotor), factors)
        else:
            line_torque, line_slope = bucket_line_at_speed(
                rotor, tables.curves[OVERLAP_TORQUE], tables.curves[OVERLAP_SLOPE]
            )
            log_freewheel, log_torque = math.log(factors.vane_freewheel_ratio), math.log(factors.vane_torque)
    laminar_hub, turbulent_hub, disc_torques = 0.0, 0.0, 0.0
    if rotor.disc_diameter > rotor.diameter:
        inside = rotor.diameter / rotor.disc_diameter
        laminar_hub, turbulent_hub = inside * inside * inside * inside, inside**0.6
        end_discs = rotor.end_discs if rotor.discs_turn == 1.0 else 0.0
        tested = TESTED_DISC * inside
        disc_torques = end_discs * max(0.0, 1.0 - tested**4.6) + rotor.middle_discs
    slide, broadside, ahead = side_constants(rotor, factors)
    return RotorConstants(
        effective, effective_span(rotor, factors), float(lift_plateau(rotor, factors)), plain_share,
        vaned_lift, running, line_torque, line_slope, log_freewheel, log_torque,
        laminar_hub, turbulent_hub, disc_torques, slide, broadside, ahead,
    )  # fmt: skip


@jit
def disc_loads(
    rotor: Any,
    fixed: RotorConstants,
    airspeed: float,
    rotor_speed: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
) -> tuple[float, float]:
    """Return drag of all discs [N] and the torque they take from the shaft, signed as the spin [N m].

    Notes
    -----
    End disc on a drum: ½ M (2 − (d/de)ⁿ), n 4 laminar to 4.6 turbulent; disc between the ends of a drum:
    M (1 − (d/de)ⁿ); on a vaned rotor end discs count beyond 1.1 diameters (the rest is inside the measured torque)
    and discs between the ends count fully. M = `free_disc_torque`. Fixed end discs take no torque.
    """
    count = rotor.end_discs + rotor.middle_discs
    if count <= 0.0 or rotor.disc_diameter <= rotor.diameter:
        return 0.0, 0.0
    radius = 0.5 * rotor.disc_diameter
    full = free_disc_torque(radius, rotor_speed, airspeed, air_density, air_viscosity)
    end_discs = rotor.end_discs if rotor.discs_turn == 1.0 else 0.0
    if rotor.kind == DRUM:
        reynolds = abs(rotor_speed) * radius * radius * (air_density / air_viscosity)
        hub = fixed.laminar_hub
        if reynolds > 2.0e5:
            hub *= 1.0 + (fixed.turbulent_hub - 1.0) * smooth_step(reynolds, 2.0e5, 3.0e5)
        torque = full * (end_discs * 0.5 * (2.0 - hub) + rotor.middle_discs * (1.0 - hub))
    else:
        torque = full * fixed.disc_torques
    turning = disc_drag(radius, rotor.disc_thickness, rotor_speed, airspeed, air_density, air_viscosity)
    drag = turning * (end_discs + rotor.middle_discs)
    if end_discs < rotor.end_discs:
        drag += rotor.end_discs * disc_drag(radius, rotor.disc_thickness, 0.0, airspeed, air_density, air_viscosity)
    return float(drag * factors.disc_friction), float(torque * factors.disc_friction)


@jit
def rotor_load_parts(
    rotor: Any,
    tables: RotorTables,
    airspeed: float,
    rotor_speed: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
) -> tuple[float, float, float, float, float, float]:
    """Return the mean loads of a whole rotor in a uniform stream normal to its axis.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    tables : RotorTables
    airspeed : float
        [m/s], ≥ 0.
    rotor_speed : float
        [rad/s], > 0 in the lifting sense.
    air_density, air_viscosity : float
        [kg/m³], [Pa s].
    factors : record of base.unknown.FACTORS

    Returns
    -------
    lift, profile_drag, end_drag, disc_drag : float
        [N]; drag parts ≥ 0.
    body_torque, disc_torque : float
        Aerodynamic [N m], > 0 when they help a positive spin.

    Notes
    -----
    lift = q S CL, CL from the section law and the plateau of the ends; end_drag = q S CL²/(π AR_e), AR_e less a quarter
    above about 70 % of the plateau of plain-ended drums. C1 in airspeed and rotor speed; in still air only windage
    is left.
    """
    fixed = rotor_constants(rotor, tables, factors)
    return rotor_load_parts_given(rotor, fixed, tables, airspeed, rotor_speed, air_density, air_viscosity, factors)


@jit_into_caller
def rotor_load_parts_given(
    rotor: Any,
    fixed: RotorConstants,
    tables: RotorTables,
    airspeed: float,
    rotor_speed: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
) -> tuple[float, float, float, float, float, float]:
    """Return `rotor_load_parts` of a rotor whose constants are known.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    fixed : RotorConstants
        From `rotor_constants`.
    tables, airspeed, rotor_speed, air_density, air_viscosity, factors
        As `rotor_load_parts`.
    """
    curves = tables.curves
    radius = 0.5 * rotor.diameter
    area = rotor.span * rotor.diameter
    speed2 = airspeed * airspeed + STILL * STILL
    pressure_area = 0.5 * air_density * airspeed * airspeed * area
    spin_ratio = rotor_speed * radius / math.sqrt(speed2)
    size = abs(spin_ratio)
    log_reynolds = math.log(airspeed * rotor.diameter * (air_density / air_viscosity) + 100.0)
    softer = 1.0
    if rotor.kind == DRUM:
        section = drum_section_lift(
            curves[QUIET_LIFT],
            curves[TURBULENT_LIFT],
            tables.dip_reynolds,
            tables.dip,
            size,
            log_reynolds,
            rotor.flow,
            rotor.rough,
            factors,
        )
        lift_coefficient = capped_lift(section, fixed.plateau)
        drag_coefficient = drum_profile_drag(curves[QUIET_DRAG], size, log_reynolds, rotor.flow, rotor.rough, factors)
        softer = 1.0 - 0.25 * fixed.plain_share * smooth_step(lift_coefficient / fixed.plateau, 0.6, 0.85)
        build = factors.skin_friction * factors.stream_torque
        body_torque = -drum_torque(
            curves[SKIN_FRICTION], radius, rotor.span, rotor_speed, air_density, air_viscosity, build
        )
    else:
        section = fixed.vaned_lift * held_spin_ratio(size)
        lift_coefficient = capped_lift(section, fixed.plateau)
        drag_coefficient = vaned_profile_drag(rotor, size, lift_coefficient, factors)
        if rotor.section == PLATE:
            torque_coefficient = plate_torque(fixed.plate_running, spin_ratio, log_reynolds, factors)
        else:
            torque_coefficient = bucket_torque(
                rotor,
                fixed.line_torque,
                fixed.line_slope,
                fixed.log_freewheel,
                fixed.log_torque,
                curves[BUCKET_TORQUE],
                curves[SLOW_BUCKET_TORQUE],
                curves[THREE_BUCKET_TORQUE],
                spin_ratio,
                log_reynolds,
                factors,
            )
        body_torque = 0.5 * air_density * speed2 * area * radius * torque_coefficient
    end_drag = pressure_area * lift_coefficient * lift_coefficient / (math.pi * fixed.aspect_ratio * softer)
    if rotor_speed < 0.0:
        lift_coefficient = -lift_coefficient
    drag, disc_torque = disc_loads(rotor, fixed, airspeed, rotor_speed, air_density, air_viscosity, factors)
    return (
        float(pressure_area * lift_coefficient),
        float(pressure_area * drag_coefficient),
        float(end_drag),
        drag,
        float(body_torque),
        -disc_torque,
    )


@jit
def rotor_torque(
    rotor: Any,
    tables: RotorTables,
    airspeed: float,
    rotor_speed: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
) -> float:
    """Return the aerodynamic torque alone, body and discs [N m] (the same laws as `rotor_load_parts`).

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    tables : RotorTables
    airspeed, rotor_speed : float
        [m/s], [rad/s]
    air_density, air_viscosity : float
        [kg/m³], [Pa s]
    factors : record of base.unknown.FACTORS
    """
    parts = rotor_load_parts(rotor, tables, airspeed, rotor_speed, air_density, air_viscosity, factors)
    return parts[4] + parts[5]
