"""The few design numbers a quick start searches over, and the aeroplane they lay out.

Rules of layout, not of physics: everything else of the aeroplane follows the first guess, grown with the rotors. The
rotor axis, the thrust line and the middle of the body share one height, because drag of a rotor is as large as its
lift and would otherwise pitch the aeroplane.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from rotorwright.base.constants import RPM
from rotorwright.design.quick_start import CELL, QuickStartSizes

SPARE_SHARE, SPARE_LEAST = 0.16, 0.02
"""Kept free for receiver, servos, rotor mounts, linkages and glue: a share of the mass and a least [kg] (judgement)."""
MOTOR_POWER = 3000.0
"""Input a motor stands for minutes, per mass [W/kg] (common practice, no source)."""
MOTOR_EFFICIENCY = 0.75
FREE_SHARE = 0.72
"""Loaded over unloaded speed of a motor at full throttle (common practice)."""
GOVERNED_SHARE = 0.72
"""Share of the unloaded speed at which a governed drive is asked to run, so that it can hold (judgement)."""

START_TILT = {"free vaned": math.radians(10.0), "driven vaned": math.radians(8.0), "driven drum": math.radians(3.0)}
"""About half the angle that asks least thrust, the arc cotangent of lift to drag (judgement: more asks a long gear)."""


@dataclass(frozen=True)
class Shape:
    """The design numbers of the search; SI."""

    span: float
    """Of one rotor."""
    diameter: float
    disc_ratio: float
    thruster_diameter: float
    pitch_ratio: float
    shaft_power: float
    """The thruster motor gives at full throttle standing still [W]."""
    minutes: float
    """Of flight at a little under half power, which sizes the battery."""
    rim_speed: float
    """Of a driven rotor at full command [m/s]."""
    drive_mass: float
    """Of one drive motor [kg]."""
    tail: float
    """Tail size over that of the first guess [1]."""
    balance: float
    """Balance point aft of the rotor axis [m]."""
    tail_incidence: float
    """Nose up [rad]: the air behind the rotors comes from above; found by trimming, not searched."""
    tilt: float
    """Of a propeller's thrust line, upwards [rad]: with drag as large as lift, part of the thrust had better lift."""


def first_shape(guess: QuickStartSizes) -> Shape:
    """Return the shape of the first guess."""
    span, diameter = guess.rotor_span, guess.rotor_diameter
    if guess.rotor_count == 1:  # the same area in one piece
        span = min(math.sqrt(2.0) * span, guess.span_limit - 0.02)
        diameter = 2.0 * guess.rotor_span * guess.rotor_diameter / span
    return Shape(
        span=span,
        diameter=diameter,
        disc_ratio=guess.disc_diameter / guess.rotor_diameter,
        thruster_diameter=guess.thruster_diameter,
        pitch_ratio=guess.propeller_pitch / guess.thruster_diameter,
        shaft_power=guess.motor_mass * MOTOR_EFFICIENCY * MOTOR_POWER,
        minutes=8.0,
        rim_speed=guess.drive_speed * guess.rotor_diameter / 2.0,
        drive_mass=guess.drive_motor_mass,
        tail=1.0,
        balance=guess.balance_aft - guess.rotor_aft,
        tail_incidence=0.0,
        tilt=0.0 if guess.thrust_source == "fan" else START_TILT[guess.rotor_kind],
    )


def widest(guess: QuickStartSizes, shape: Shape) -> float:
    """Return the longest rotor the span limit allows [m]."""
    if guess.rotor_count == 1:
        return guess.span_limit - 0.02
    return (guess.span_limit - _between(guess, shape)) / 2.0 - 0.005


def _between(guess: QuickStartSizes, shape: Shape) -> float:
    """Return the gap between the two rotors: the body, or the fan that sits between them, and room to turn [m]."""
    room = 2.0 * (guess.rotor_side - guess.rotor_span / 2.0 - guess.body_width / 2.0)
    inside = 1.15 * shape.thruster_diameter if guess.thrust_source == "fan" else 0.0
    return max(guess.body_width, inside) + room


def lay_out(guess: QuickStartSizes, shape: Shape) -> QuickStartSizes:
    """Return the sizes of a shape; mass and battery place are settled later (`QuickStartSizes.settled`)."""
    whole = 0.5 * guess.rotor_count * shape.span * shape.diameter
    growth = math.sqrt(whole / (guess.rotor_span * guess.rotor_diameter))
    disc = (shape.disc_ratio if guess.discs else 1.05) * shape.diameter
    drum = guess.rotor_kind == "driven drum"
    stages = 1 if drum else max(2, min(6, round(shape.span / shape.diameter / 1.4)))
    aft = max(guess.rotor_aft * growth, 0.6 * disc + 0.03)
    tail_size = growth * math.sqrt(shape.tail)
    up = 0.0 if guess.rotor_count == 2 else 0.5 * guess.body_height + 0.5 * disc + 0.015
    if guess.thrust_source == "fan":
        up = max(up, 0.5 * guess.body_height + 0.6 * shape.thruster_diameter)
    turning, pitch = _thruster_turning(guess, shape)
    tail_chord = guess.tail_chord * tail_size
    tail_aft = aft + (guess.tail_aft - guess.rotor_aft) * growth
    if guess.length_limit > 0.0:  # a shorter boom
        tail_aft = max(min(tail_aft, guess.length_limit - 0.8 * tail_chord), aft + 0.5 * disc + 0.5 * tail_chord)
    drive_speed = shape.rim_speed / (shape.diameter / 2.0)
    drive_mass = shape.drive_mass
    drive_constant = min(max(1100.0 * math.sqrt(0.06 / drive_mass) * 3.0 / guess.cells, 200.0), 3000.0) * RPM
    volts = CELL * guess.cells
    return replace(
        guess,
        rotor_span=shape.span,
        rotor_diameter=shape.diameter,
        rotor_aft=aft,
        rotor_side=(_between(guess, shape) + shape.span) / 2.0 if guess.rotor_count == 2 else 0.0,
        rotor_up=up,
        thrust_line_up=up if guess.thrust_source == "fan" else up + aft * math.tan(shape.tilt),
        thrust_tilt=shape.tilt,
        tail_incidence=shape.tail_incidence,
        disc_diameter=disc,
        stages=stages,
        disc_count=stages + 1,
        skin_thickness=0.003 if shape.diameter <= 0.2 else 0.006,
        body_length=aft + shape.diameter,
        tail_aft=tail_aft,
        tail_span=guess.tail_span * tail_size,
        tail_chord=tail_chord,
        fin_height=guess.fin_height * tail_size,
        fin_chord=guess.fin_chord * tail_size,
        thruster_diameter=shape.thruster_diameter,
        propeller_pitch=pitch,
        motor_speed_constant=turning / (FREE_SHARE * volts),
        motor_mass=max(0.012, shape.shaft_power / MOTOR_EFFICIENCY / MOTOR_POWER),
        battery_capacity=_capacity(guess, shape, volts),
        drive_speed_constant=drive_constant,
        drive_motor_mass=drive_mass,
        drive_ratio=min(max(GOVERNED_SHARE * drive_constant * volts / drive_speed, 1.0), 40.0),
        drive_speed=drive_speed,
        balance_aft=aft + shape.balance,
    )


def _thruster_turning(guess: QuickStartSizes, shape: Shape) -> tuple[float, float]:
    """Return the speed a propeller takes up the shaft power at, standing still [rad/s], and its pitch [m].

    Power = C_P ρ n³ D⁵ with C_P = 0.02 + 0.045 pitch/diameter (rule of thumb; the balance decides).
    """
    if guess.thrust_source == "fan":
        return 125.0 / (shape.thruster_diameter / 2.0), shape.thruster_diameter
    coefficient = (0.02 + 0.045 * shape.pitch_ratio) * 1.225
    turns = (shape.shaft_power / 1.15 / (coefficient * shape.thruster_diameter**5)) ** (1.0 / 3.0)
    return 2.0 * math.pi * turns, shape.pitch_ratio * shape.thruster_diameter


def _capacity(guess: QuickStartSizes, shape: Shape, volts: float) -> float:
    """Return the battery capacity [A s] for the minutes asked for."""
    drives = 0.0 if guess.rotor_kind == "free vaned" else guess.rotor_count * 0.25 * shape.drive_mass * MOTOR_POWER
    power = 0.45 * shape.shaft_power / MOTOR_EFFICIENCY + drives
    return max(power * 60.0 * shape.minutes / (0.8 * volts), 800.0)
