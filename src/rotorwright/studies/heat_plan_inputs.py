"""Heat put into every motor, controller and pack in a settled condition, and the paths by which it leaves."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit
from rotorwright.base.records import FAN
from rotorwright.physics.power.battery import pack_resistance
from rotorwright.physics.power.heat import case_to_air
from rotorwright.physics.power.heat_parts import controller_to_air, pack_to_air
from rotorwright.physics.power.motor import controller_heat, effective_speed_constant, no_load_current_at
from rotorwright.studies.heat_plan_run import (
    CASE_HEAT,
    CONTROLLER_HEAT,
    CONTROLLER_PATH,
    COPPER,
    DRAWN,
    OUTER,
    PACK_HEAT,
    PACK_PATH,
    POWER,
    WINDING_HEAT,
)
from rotorwright.studies.power_state import MOTOR_SPEED, WINDING

SHUT_IN = 0.7
"""Of the conductance of still air that a motor keeps in a cowl without an exit (from memory)."""
STRAY_TO_CONTROLLER = 0.2
"""Of the loss that heats neither winding nor switches: the controller's share, the rest warms the case (judgement)."""
USUAL_CONTROLLER = 30.0
"""Size of a controller that tells no limit [A]."""


@jit
def fill_losses(part: Any, motor: Any, voltage: float, factors: Any, found: Any) -> None:
    """Fill heat in copper at 25 °C, other heat in winding, case and controller [W]; together all that is lost.

    Parameters
    ----------
    part : record
        THRUSTER or DRIVE row.
    motor : array, shape (5,)
        Columns of `rotorwright.studies.power_state`.
    voltage : float
        Of its pack [V].
    factors : record
        FACTORS: motor_resistance, winding_heat_share, motor_speed_constant, controller_efficiency.
    found : array, shape (6,)
        The first four are filled.

    Notes
    -----
    All of i² R_eff is loss: the Unknown share warms the winding, a fifth of the rest the controller, what is left the
    case. Iron loss I₀(Ω) Ω/K: half in the winding's stack, half in the case. Controller: see `controller_heat`.
    """
    current, speed = motor[WINDING], motor[MOTOR_SPEED]
    everything = factors.motor_resistance * part.motor_resistance * current * current
    constant = effective_speed_constant(part.motor_speed_constant, factors)
    idle = no_load_current_at(constant, part.motor_no_load_current, part.motor_no_load_voltage, speed)
    iron = idle * speed / constant
    stray = (1.0 - factors.winding_heat_share) * everything
    found[COPPER] = factors.winding_heat_share * everything
    found[WINDING_HEAT] = 0.5 * iron
    found[CASE_HEAT] = 0.5 * iron + (1.0 - STRAY_TO_CONTROLLER) * stray
    switches = controller_heat(current, voltage, part.controller_resistance, factors)
    found[CONTROLLER_HEAT] = switches + STRAY_TO_CONTROLLER * stray


@jit
def _fill_paths(part: Any, mass: float, turns: float, wind: float, inside: float, shut: bool, f: Any, to: Any) -> None:
    path = case_to_air(mass, 0.0 if shut else wind, math.fabs(turns), f)
    if shut:
        path /= SHUT_IN
    to[OUTER] = path
    limit = part.controller_current_limit
    if limit <= 0.0:
        limit = USUAL_CONTROLLER
    to[CONTROLLER_PATH] = controller_to_air(limit, inside, f)


@jit
def fill_inputs(
    numbers: Any, speeds: Any, thrusts: Any, states: Any, voltages: Any, currents: Any, inside_share: float,
    shut: bool, running: bool, motors: Any, packs: Any,
) -> None:  # fmt: skip
    """Fill the inputs of every case.

    Parameters
    ----------
    numbers : AeroplaneNumbers
    speeds, thrusts : arrays, shape (cases,)
        Airspeed [m/s] and thrust of all thrusters [N].
    states : array, shape (cases, motors, 5)
        As `rotorwright.studies.power_state`.
    voltages, currents : arrays, shape (cases, packs)
        [V], [A].
    inside_share : float
        Share of the airspeed that passes over what sits inside.
    shut : bool
        Whether the motors sit in a cowl without an exit.
    running : bool
        False: everything off.
    motors, packs : arrays, shape (cases, motors, 6), (cases, packs, 4)
        Filled; columns of `rotorwright.studies.heat_plan_run`.
    """
    thrusters = numbers.thrusters.shape[1]
    for case in range(speeds.shape[0]):
        factors = numbers.factors[case]
        speed = speeds[case]
        inside = inside_share * speed
        area = 0.0
        for i in range(thrusters):
            part = numbers.thrusters[case, i]
            if part.kind == FAN:
                area += 2.0 * part.exit_area
            else:
                area += 0.25 * math.pi * part.diameter**2
        wash = speed
        if area > 0.0:
            pull = max(thrusts[case], 0.0)
            wash = 0.5 * (speed + math.sqrt(speed * speed + 2.0 * pull / (numbers.air[case].density * area)))
        for i in range(thrusters):
            part = numbers.thrusters[case, i]
            turns = 0.0
            if running:
                turns = states[case, i, MOTOR_SPEED]
                fill_losses(part, states[case, i], voltages[case, int(part.battery)], factors, motors[case, i])
            _fill_paths(part, part.motor_mass, turns, wash, inside, shut, factors, motors[case, i])
        for i in range(numbers.drives.shape[1]):
            drive = numbers.drives[case, i]
            place = thrusters + i
            turns = 0.0
            if running:
                turns = states[case, place, MOTOR_SPEED]
                fill_losses(
                    drive, states[case, place], voltages[case, int(drive.battery)], factors, motors[case, place]
                )
            _fill_paths(drive, drive.motor_mass, turns, inside, inside, shut, factors, motors[case, place])
        for i in range(numbers.batteries.shape[1]):
            pack = numbers.batteries[case, i]
            packs[case, i, PACK_PATH] = pack_to_air(pack.mass, inside, factors)
            if running:
                drawn = currents[case, i]
                packs[case, i, DRAWN] = drawn
                packs[case, i, PACK_HEAT] = drawn * drawn * pack_resistance(pack, factors)
                packs[case, i, POWER] = drawn * voltages[case, i]
